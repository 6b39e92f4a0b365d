package document

import (
	"gallipot/dossier/words"
)

// Table is rows of typed cells under columns.
type Table struct {
	ID        string // anchor and name for formulas; unique in the document
	Title     string
	Remark    string // behind the title, in grey
	Columns   []Column
	Rows      []Row
	Notes     []string // below the table
	Sources   []string // below the notes, one each
	SheetName string   // sheet of the workbook it goes to; "" keeps it out of the workbook
	Empty     string   // what to say when there are no rows

	// InWorkbook keeps a long table for the workbook alone: on a page a line says
	// on which sheet it stands.
	InWorkbook bool

	// Whole keeps a table on one page where a page can hold it: what is read
	// while the hands are busy.
	Whole bool
	// Follows says that in the workbook the table stands under the head of the table
	// before it on its sheet, which has the same columns.
	Follows bool
}

// Column describes one column.
type Column struct {
	Key    string  // name for formulas; may be empty
	Head   string  // "Content"
	Unit   string  // "% w/w", printed below the head; figures of the column are in it
	Weight float64 // more than 1 gives a column of words more room, less than 1 less; 0 means 1
	Align  Align
	Kind   ColumnKind
	Fixed  bool // repeated in each part when the table is too wide for a page; the first column always is
}

// Align says where the text of a column stands.
type Align int

// The alignments. AlignAuto puts numbers on their decimal point and words left.
const (
	AlignAuto Align = iota
	alignLeft
	AlignRight
	AlignCentre
)

// ColumnKind says what a column holds. KindAuto looks at the cells.
type ColumnKind int

// The kinds of column. A spreadsheet gives KindRange three columns: min,
// typical, max.
const (
	kindAuto ColumnKind = iota
	KindText
	KindNumber
	KindRange
)

// rowKind says what a row is for.
type rowKind int

// The kinds of row.
const (
	RowData  rowKind = iota
	RowGroup         // a heading inside the table; its first cell is all it has
	RowTotal         // set off by a rule and in bold
)

// Row is one row of a table, with as many cells as the table has columns.
type Row struct {
	Kind  rowKind
	Cells []Cell
}

// Add appends a row of data and returns the table.
func (t *Table) Add(cells ...Cell) *Table {
	t.Rows = append(t.Rows, Row{Cells: cells})
	return t
}

// Group appends a heading inside the table and returns the table.
func (t *Table) Group(title string) *Table {
	t.Rows = append(t.Rows, Row{Kind: RowGroup, Cells: []Cell{TextCell(title)}})
	return t
}

// Total appends a row of totals and returns the table.
func (t *Table) Total(cells ...Cell) *Table {
	t.Rows = append(t.Rows, Row{Kind: RowTotal, Cells: cells})
	return t
}

// Note appends a note below the table and returns the table.
func (t *Table) Note(text string) *Table {
	t.Notes = append(t.Notes, text)
	return t
}

// Kind returns what column i holds, from the column or else from its cells.
func (t *Table) Kind(i int) ColumnKind {
	if k := t.Columns[i].Kind; k != kindAuto {
		return k
	}
	k := KindText
	for _, r := range t.Rows {
		if r.Kind == RowGroup || i >= len(r.Cells) {
			continue
		}
		switch r.Cells[i].Kind {
		case CellRange:
			return KindRange
		case CellNum, CellFloat:
			k = KindNumber
		}
	}
	return k
}

// UnitWords returns the unit below the head of column i as page and terminal show
// it: they put a range into one cell, and say so.
func (t *Table) UnitWords(i int) string {
	unit := t.Columns[i].Unit
	if t.Kind(i) != KindRange {
		return unit
	}
	for _, r := range t.Rows {
		if r.Kind != RowGroup && i < len(r.Cells) && r.Cells[i].Kind == CellRange && !r.Cells[i].Range.IsExact() {
			return words.Joined(", ", unit, "min–max (typical)")
		}
	}
	return unit
}

// Align returns how column i is set.
func (t *Table) Align(i int) Align {
	if a := t.Columns[i].Align; a != AlignAuto {
		return a
	}
	if t.Kind(i) == KindText {
		return alignLeft
	}
	return AlignRight
}

// AllSources lists the sources of the cells in the order of their first use, and
// gives each its number from 1.
func (t *Table) AllSources() (list []string, number map[string]int) {
	number = map[string]int{}
	for _, r := range t.Rows {
		for _, c := range r.Cells {
			if c.Source != "" && number[c.Source] == 0 {
				list = append(list, c.Source)
				number[c.Source] = len(list)
			}
		}
	}
	return list, number
}
