package columns

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
)

// Table is a table of a document with the roles of its columns.
type Table struct {
	Sheet    string
	hidden   bool // it stands on a hidden sheet
	Above    []raw.Row
	Head     *raw.Row
	Cols     []Column
	Body     []raw.Row
	from, to int // columns of the band that the table is, 0 and 0 for all
}

// shape says how sure a row is the head of a table.
type shape int

const (
	noHead shape = iota
	weak
	Middling
	Strong
)

// HeadAt looks whether a row is the head of a table. first says that the part of
// the document has had none.
func (d *Finder) HeadAt(rows []raw.Row, i int, first bool) ([]Column, shape) {
	cells := rows[i].Filled()
	if len(cells) < 2 {
		return nil, noHead
	}
	var cols []Column
	names, amounts, known, bare, figures := 0, 0, 0, 0, 0
	for _, c := range cells {
		if c.Text == "" || len(c.Text) > 160 || len(strings.Fields(c.Text)) > 8 {
			return nil, noHead
		}
		h := d.HeadOf(c.Text)
		h.Col, h.Hidden, h.X0, h.X1, h.Ref = c.Col, c.Hidden, c.X0, c.X1, c.Ref
		for k := 1; k < c.Span; k++ {
			h.Also = append(h.Also, c.Col+k)
		}
		if h.Role == Unknown {
			if a, ok := d.Amount(c); ok && !a.None {
				return nil, noHead
			}
		}
		switch h.Role {
		case IsName, IsINCI:
			names++
		case IsAmount:
			amounts++
			if a, ok := d.Amount(c); ok && !a.None {
				figures++
				if h.Unit == "" || h.Batch != "" && !strings.ContainsAny(h.Batch, "gkml") {
					bare++
				}
			}
		}
		if h.Role != Unknown {
			known++
		}
		cols = append(cols, h)
	}
	if names > 0 && amounts > 0 && (figures < amounts || known > figures) {
		return cols, Strong
	}
	if d.IsLabel(strings.TrimRight(cells[0].Text, ": ")) && len(cells) == 2 || first &&
		d.strongBelow(rows, i) {
		return nil, noHead
	}
	switch {
	case amounts > 0 && figures == 0 && d.figuresBelow(rows, i, cols, IsAmount) > 0:
		return cols, Middling
	case amounts == 0 && first && d.figuresBelow(rows, i, cols, Unknown) > 1:
		return cols, weak
	}
	return nil, noHead
}

// strongBelow says whether a plain head stands in the next rows: what is above it
// is its title.
func (d *Finder) strongBelow(rows []raw.Row, i int) bool {
	for j := i + 1; j < min(len(rows), i+12); j++ {
		if cells := rows[j].Filled(); len(cells) < 2 {
			continue
		}
		if _, kind := d.HeadAt(rows[:j+1], j, false); kind == Strong {
			return true
		}
	}
	return false
}

// figuresBelow counts rows below a head that have a figure under one of its cells
// with the role, and a text elsewhere.
func (d *Finder) figuresBelow(rows []raw.Row, i int, cols []Column, r Role) int {
	n := 0
	for _, x := range rows[i+1 : min(len(rows), i+9)] {
		figure, name := false, false
		for _, c := range x.Filled() {
			a, ok := d.Amount(c)
			switch {
			case ok && !a.None:
				figure = figure || slices.ContainsFunc(cols, func(k Column) bool {
					return k.Role == r &&
						(k.Col == c.Col || slices.Contains(k.Also, c.Col))
				})
			default:
				name = true
			}
		}
		if figure && name {
			n++
		}
	}
	return n
}

// Tables parts a run of rows with columns into tables. What stands above the first
// head, or between a table and the title of the next, goes to the table below it.
func (d *Finder) Tables(s raw.Sheet, rows []raw.Row) []*Table {
	var out []*Table
	var open *Table
	var above []raw.Row
	for i := 0; i < len(rows); i++ {
		cols, kind := d.HeadAt(rows, i, open == nil)
		if kind == noHead {
			if open != nil {
				open.Body = append(open.Body, rows[i])
			} else {
				above = append(above, rows[i])
			}
			continue
		}
		head := rows[i]
		if i+1 < len(rows) && !rows[i+1].Gap && d.goesUnder(rows[i+1]) {
			cols = d.stacked(cols, rows[i], rows[i+1])
			i++
		}
		if open != nil {
			if d.SameColumns(open.Cols, cols) && !d.titled(open.Body) {
				continue // the head once more
			}
			open.Body, above = d.cutTitle(open.Body)
		}
		open = &Table{Sheet: s.Name, hidden: s.Hidden, Above: above, Head: &head, Cols: cols}
		d.under(open)
		above = nil
		out = append(out, d.bands(open)...)
		open = out[len(out)-1]
		if n := len(out); n > 1 && out[n-2].Head != nil && out[n-2].Head.Number == head.Number &&
			out[n-2].Sheet == s.Name {
			// tables side by side share their rows
			rest := d.bodyEnd(rows, i+1)
			for _, t := range out {
				if t.Head != nil && t.Head.Number == head.Number {
					t.Body = t.own(rows[i+1 : rest])
				}
			}
			i = rest - 1
			open = nil
		}
	}
	if len(out) == 0 {
		if t := d.headless(s, rows); t != nil {
			return []*Table{t}
		}
		return nil
	}
	if open == nil && len(above) > 0 {
		out[len(out)-1].Body = append(slices.Clone(out[len(out)-1].Body), above...)
	}
	var turned []*Table
	for _, t := range out {
		turned = append(turned, d.turned(t)...)
	}
	return turned
}

func (d *Finder) bodyEnd(rows []raw.Row, from int) int {
	for i := from; i < len(rows); i++ {
		if _, kind := d.HeadAt(rows, i, false); kind != noHead {
			return i
		}
	}
	return len(rows)
}

// titled says whether the end of a table's rows names another product: a line
// alone, after a gap, that is no phase.
func (d *Finder) titled(body []raw.Row) bool {
	rest, above := d.cutTitle(body)
	return len(above) > 0 && len(rest) > 0
}

// cutTitle parts the rows of a table from the title of the next below them.
func (d *Finder) cutTitle(body []raw.Row) (rest, above []raw.Row) {
	n := len(body)
	for n > 0 && len(body)-n < 4 {
		r := body[n-1]
		cells := r.Filled()
		if len(cells) != 1 && !(len(cells) == 2 && d.IsLabel(cells[0].Text)) {
			break
		}
		if _, ok := d.PhaseOf(cells[0].Text); ok {
			break
		}
		n--
	}
	for n < len(body) && !body[n].Gap { // the title begins after a gap
		n++
	}
	return body[:n], body[n:]
}

// SameColumns says whether two heads say the same.
func (d *Finder) SameColumns(a, b []Column) bool {
	if len(a) != len(b) {
		return false
	}
	same := 0
	for i := range a {
		if lexicon.Fold(a[i].Head) == lexicon.Fold(b[i].Head) && a[i].Col == b[i].Col {
			same++
		}
	}
	return same >= len(a)-1
}
