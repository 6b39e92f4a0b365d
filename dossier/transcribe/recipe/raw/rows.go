package raw

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/paper"
	"gallipot/ingredients/pattern"
)

// Cell is a cell of a row; x0 and x1 are positions where the file is laid out.
type Cell struct {
	Col, Span int
	Text      string
	Ref, Note string
	Struck    string
	Hidden    bool
	Number    bool
	X0, X1    float64
	Words     []paper.Word // of a laid out text
}

// Row is a row of a table, or a line of text (grid 0).
type Row struct {
	sheet  string
	Number int
	where  string
	Grid   int
	Gap    bool // an empty row or line stands above
	Hidden bool
	Quote  int
	Cells  []Cell
	Raw    string
	page   int // of a file whose pages run on
}

// Sheet is a page of the document as rows.
type Sheet struct {
	Name   string
	Hidden bool
	Rows   []Row
	Laid   bool // cells stand at positions, not in columns
}

// At is the cell of a column, an empty one where there is none.
func (r Row) At(col int) Cell {
	for _, c := range r.Cells {
		if c.Col == col {
			return c
		}
	}
	return Cell{Col: col}
}

// Filled are the cells that hold a text, crossed out or not.
func (r Row) Filled() []Cell {
	return slices.DeleteFunc(slices.Clone(r.Cells), func(c Cell) bool {
		return c.Text == "" &&
			c.Struck == ""
	})
}

// Text is the row as one text.
func (r Row) Text() string {
	if r.Grid == 0 && r.Raw != "" {
		return strings.TrimSpace(r.Raw)
	}
	var parts []string
	for _, c := range r.Cells {
		if c.Text != "" {
			parts = append(parts, c.Text)
		}
	}
	return strings.Join(parts, "  ")
}

// Place names a row of a table by the cell of a column where it has one.
func (r Row) Place(col int) string {
	for _, c := range r.Cells {
		if c.Col == col && c.Ref != "" {
			if r.sheet == "" {
				return c.Ref
			}
			return r.sheet + "!" + c.Ref
		}
	}
	if r.where != "" {
		return r.where
	}
	if r.page > 1 {
		return fmt.Sprintf("page %d line %d", r.page, r.Number)
	}
	for _, c := range r.Cells {
		if c.Ref != "" {
			return fmt.Sprintf("%s row %d", r.sheet, r.Number)
		}
	}
	return fmt.Sprintf("line %d", r.Number)
}

// OneLine is a text with one blank for each gap.
func OneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// Unmarked is a name on one line without the raised mark of a footnote behind it.
func Unmarked(s string) string {
	return strings.TrimSpace(strings.TrimRight(OneLine(s), "⁰¹²³⁴⁵⁶⁷⁸⁹"))
}

// Clean takes the marks of emphasis off a text.
func Clean(s string) string {
	s = strings.NewReplacer("**", "", "__", "", "`", "", "\u00a0", " ", "&nbsp;", " ").Replace(s)
	if len(s) > 2 && s[0] == '*' && s[len(s)-1] == '*' {
		s = s[1 : len(s)-1]
	}
	return strings.TrimSpace(s)
}

// Unstrike parts what is crossed out by the marks of plain text.
func Unstrike(s string) (text, struck string) {
	for _, m := range tildes.FindAllStringSubmatch(s, -1) {
		struck = strings.TrimSpace(struck + " " + m[1])
	}
	if struck == "" {
		return s, ""
	}
	return strings.TrimSpace(tildes.ReplaceAllString(s, "")), struck
}

var tildes = pattern.New(`~~(.+?)~~`)
