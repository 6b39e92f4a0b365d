package cells

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// Place is where something stands in the file.
type Place struct {
	Page  int
	Sheet string // name of a sheet, or "header", "footer" of a word-processor file
	Line  int
	Where string // "table 1 row 3"
	Ref   string // cell of a sheet
}

// Cell is one cell of a row. Lines of a cell are parted by "\n".
type Cell struct {
	Text   string
	Ref    string
	Note   string
	Line   int // printed line on which it begins
	Hidden bool
	Number bool // stored as a number
	Struck string
	X0     float64      // left edge on a laid out page
	Words  []paper.Word // with positions, on a laid out page
	x0, x1 float64
	col    int
}

// Row is a row of text or of a table.
type Row struct {
	Place
	Cells  []Cell // of a table: one for each column, in order
	Hidden bool
	Quote  int
	Raw    string  // its text as it stands on the page, columns apart
	Grid   int     // table of the file that it stands in, 0 for none
	Size   float64 // height of its letters, 0 where the file is not laid out
	Y      float64 // baseline from the top of the page
}

// Text joins the cells of a row.
func (r Row) Text() string {
	var parts []string
	for _, c := range r.Cells {
		if t := strings.TrimSpace(strings.ReplaceAll(c.Text, "\n", " ")); t != "" {
			parts = append(parts, t)
		}
	}
	return strings.Join(parts, "  ")
}

// Column is a column of a table: its role (a key of the lexicon's heads, empty
// where unknown) and its head as printed.
type Column struct {
	Role   string
	Head   string
	x0, x1 float64
	col    int // in a file with cells
}

// Table is a table with a head.
type Table struct {
	Place
	Columns []Column
	Rows    []Row
	Hidden  bool
	Quote   int // how deep a mail quotes it; 0: the mail's own
}

// Has says whether a column has the role.
func (t *Table) Has(role string) bool { return t.Index(role) >= 0 }

// Index finds the first column with the role, −1 without one.
func (t *Table) Index(role string) int {
	for i, c := range t.Columns {
		if c.Role == role {
			return i
		}
	}
	return -1
}

// Item is a row of text or a table.
type Item struct {
	Row   *Row
	Table *Table
}

// reader builds the items of one file.
type reader struct {
	words *lexicon.Lexicon
	items []Item
	boxes []box  // rows that lines drawn on the region part from each other, from the top
	open  *Table // the last table of a laid out page, to be continued on the next

	roles, headings map[string]string // of texts that were looked at before
	single          map[string]bool   // texts that are no heads one after the other
}

func (r *reader) row(row Row) { r.items = append(r.items, Item{Row: &row}) }

// place is where a line stands.
func place(p paper.Page, l paper.Line) Place {
	return Place{Page: p.Number, Sheet: p.Name, Line: l.Number, Where: l.Where}
}

func rowOf(p paper.Page, l paper.Line) Row {
	row := Row{Place: place(p, l), Hidden: l.Hidden || p.Hidden, Quote: l.Quote, Grid: l.Grid, Size: l.Size,
		Y: l.Y}
	for _, c := range l.Cells {
		row.Cells = append(row.Cells, Cell{Text: c.Text, Ref: c.Ref, Note: c.Note, Line: l.Number,
			Hidden: c.Hidden, Number: c.Number, Struck: c.Struck, X0: c.X0, Words: c.Words, x0: c.X0,
			x1: c.X1, col: c.Col})
	}
	return row
}

// Filled counts the cells of a row that hold text.
func (r Row) Filled() int {
	n := 0
	for _, c := range r.Cells {
		if strings.TrimSpace(c.Text) != "" {
			n++
		}
	}
	return n
}
