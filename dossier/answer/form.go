package answer

import (
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/document/word"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Form is Part B as it is issued: what stands in it and where there is room to write.
type Form struct {
	Product     string // id
	Fingerprint string
	Day         exact.Date // whose law was read
	Parts       []Part
}

// Part is one heading with its tables.
type Part struct {
	ID, Number, Title, Intro string
	Groups                   []Group
}

// Group is a table of rows of one kind.
type Group struct {
	ID, Title, Remark, Empty string
	Kind                     Kind
	Columns                  []Column // behind the code
	Rows                     []Row
}

// Kind says what the rows of a table are.
type Kind int

// The kinds of row.
const (
	Items     Kind = iota // of part-b.csv
	Variants              // V…
	Markets               // M…
	Points                // O…
	Questions             // Q…
	Values                // S…
)

// Column is one column behind the code.
type Column struct {
	Head    string
	Weight  float64
	Answer  bool     // to be written in
	Choices []string // the answers taken; none: any words
}

// Row is one row: its code, what was issued in its cells, and what it is about.
type Row struct {
	Code   string
	Issued []string // one a column; "" where there is room to write
	Item   *tox.Item
	ID     string              // of a variant, a market or a substance
	Points []workshop.Accepted // the findings behind an open point
}

// sheetName is the sheet of the workbook that has the same rows.
const sheetName = "Answers"

// closed says that a cell is no place to write, whatever its column: the row has its answer
// already, or can have none.
func (g *Group) closed(r *Row, i int) bool { return !g.Columns[i].Answer || r.Issued[i] != "" }

// prompt is what stands in a cell to fill in while nothing is written there: the choices, or
// room to write.
func prompt(c Column) string {
	if len(c.Choices) > 0 {
		return "[" + strings.Join(c.Choices, " / ") + "]"
	}
	return word.WriteIn
}

// Sections prints the form, with what a record answers in its places; nil prints room to
// write.
func (f *Form) Sections(given *Reading) []*document.Section {
	var out []*document.Section
	for _, p := range f.Parts {
		s := &document.Section{ID: p.ID, Number: p.Number, Title: p.Title, Intro: p.Intro}
		for i := range p.Groups {
			s.Add(p.Groups[i].table(given))
		}
		out = append(out, s)
	}
	return out
}

func (g *Group) table(given *Reading) *document.Table {
	t := &document.Table{ID: g.ID, Title: g.Title, Remark: g.Remark, Empty: g.Empty, SheetName: sheetName,
		Columns: []document.Column{{Head: "Code", Weight: 0.4}}}
	for _, c := range g.Columns {
		t.Columns = append(t.Columns, document.Column{Head: c.Head, Weight: c.Weight, Kind: document.KindText})
	}
	for i := range g.Rows {
		r := &g.Rows[i]
		cells := []document.Cell{document.TextCell(r.Code)}
		for j, c := range g.Columns {
			switch text := given.cell(r.Code, j); {
			case g.closed(r, j):
				cells = append(cells, document.TextCell(r.Issued[j]))
			case text != "":
				cells = append(cells, document.TextCell(text))
			default:
				room := document.WriteInCell()
				room.Text = prompt(c)
				cells = append(cells, room)
			}
		}
		t.Add(cells...)
	}
	return t
}

// Document is the form as a document of its own.
func (f *Form) Document(base document.Document, given *Reading) *document.Document {
	d := base
	d.Cover, d.Workbook, d.NoContents = nil, nil, true
	d.Sections = f.Sections(given)
	return &d
}

// Code makes the code of row n of a kind, from 1: S07.
func Code(letter string, n int) string {
	if n < 10 {
		return letter + "0" + words.Itoa(n)
	}
	return letter + words.Itoa(n)
}
