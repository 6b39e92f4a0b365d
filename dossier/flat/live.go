package flat

import (
	"math"
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/recalc"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// table is a table of the live sheets; of nil nothing can be found.
type table struct{ *document.Table }

// liveTables are the tables of the live sheets that this one points at.
type liveTables struct{ most, typical, least, limits, doses table }

func liveTablesOf(live []*document.Section) *liveTables {
	of := map[string]*document.Table{}
	for _, s := range live {
		for _, b := range s.Blocks {
			if t, ok := b.(*document.Table); ok {
				of[t.ID] = t
			}
		}
	}
	return &liveTables{table{of[recalc.TableMost]}, table{of[recalc.TableTypical]}, table{of[recalc.TableLeast]},
		table{of[recalc.TableLimits]}, table{of[recalc.TableMargins]}}
}

// column is the place of a column by its key; -1: there is none.
func (t table) column(key string) int {
	return slices.IndexFunc(t.Columns, func(c document.Column) bool { return c.Key == key })
}

// cell is the cell in a row and a column by its key.
func (t table) cell(key string, row int) document.Cell {
	if i := t.column(key); i >= 0 && i < len(t.Rows[row].Cells) {
		return t.Rows[row].Cells[i]
	}
	return document.BlankCell()
}

// at names a cell in a formula.
func (t table) at(key string, row int) string {
	return "{" + t.ID + "!" + key + "@" + words.Itoa(row) + "}"
}

// rows are the rows of the table.
func (t table) rows() []document.Row {
	if t.Table == nil {
		return nil
	}
	return t.Rows
}

// rowOf is the first row that begins with a name; -1: there is none.
func (t table) rowOf(name string) int {
	return slices.IndexFunc(t.rows(),
		func(r document.Row) bool { return r.Kind == document.RowData && beginsWith(r, name) })
}

func beginsWith(r document.Row, begins ...string) bool {
	for i, x := range begins {
		if i >= len(r.Cells) || r.Cells[i].Text != x {
			return false
		}
	}
	return true
}

// same says whether two cells hold the same figure but for the last digits of a float.
func same(a, b document.Cell) bool {
	x, known := figureOf(a)
	y, too := figureOf(b)
	return known && too && math.Abs(x-y) <= tiny*math.Abs(x)
}

// tiny is by how much sums in binary fractions may miss an exact one, as a share of it.
const tiny = 1e-9

func figureOf(c document.Cell) (float64, bool) {
	switch c.Kind {
	case document.CellNum:
		return c.Num.Float(), true
	case document.CellFloat:
		return c.Float, true
	}
	return 0, false
}

// linked is c with a formula where the live cell holds the same figure.
func linked(c, live document.Cell, formula string) document.Cell {
	if same(c, live) {
		return c.Computed(formula)
	}
	return c
}

// substance is where the live sheets hold a substance.
type substance struct {
	*liveTables
	row     int   // in the tables of contents; -1: in none
	margins []int // its rows in the table of margins
}

func (l *liveTables) find(of *formula.Substance) *substance {
	s := &substance{liveTables: l, row: l.most.rowOf(show.SubstanceName(of))}
	if s.row < 0 { // what nobody has declared is named with a capital
		undeclared := *of
		undeclared.Undeclared = true
		s.row = l.most.rowOf(show.SubstanceName(&undeclared))
	}
	if s.row < 0 {
		return s
	}
	mine := "@" + words.Itoa(s.row) + "}" // its content is taken from that row, or from several cells of it
	for i, r := range l.doses.rows() {
		if r.Kind == document.RowData && strings.Contains(l.doses.cell("content", i).Formula, mine) {
			s.margins = append(s.margins, i)
		}
	}
	return s
}

// where names the variant and portion with most of it.
func (s *substance) where(printed string) document.Cell {
	if s.row < 0 {
		return document.TextCell(printed)
	}
	if c := s.most.cell("where", s.row); c.Text != "" {
		return document.TextCell(c.Text).Computed(s.most.at("where", s.row))
	}
	return document.TextCell(printed)
}

// content is a highest content that follows.
func (s *substance) content(c document.Cell) document.Cell {
	if s.row < 0 {
		return c
	}
	return linked(c, s.most.cell("worst", s.row), s.most.at("worst", s.row))
}

// beside is a typical or lowest content in the mixture with most of the substance.
func (s *substance) beside(c document.Cell, of table) document.Cell {
	if s.row < 0 {
		return c
	}
	first := s.most.column("where") + 1
	from, to := s.most.Columns[first].Key, s.most.Columns[len(s.most.Columns)-1].Key
	span := func(t table) string { return "{" + t.ID + "!" + from + ":" + to + "@" + words.Itoa(s.row) + "}" }
	for _, col := range s.most.Columns[first:] {
		if same(s.most.cell(col.Key, s.row), s.most.cell("worst", s.row)) {
			return linked(c, of.cell(col.Key, s.row),
				"INDEX("+span(of)+",1,MATCH("+s.most.at("worst", s.row)+","+span(s.most)+",0))")
		}
	}
	return c
}

// margin is the formula of a column of the table of margins: of several rows the one with
// the highest content now. row is the one that holds the content as printed; -1: none does.
func (s *substance) margin(key string, content document.Cell) (formula string, row int) {
	row = -1
	for i, at := range slices.Backward(s.margins) {
		if same(s.doses.cell("content", at), content) {
			row = at
		}
		cell := s.doses.at(key, at)
		if i == len(s.margins)-1 {
			formula = cell
			continue
		}
		formula = "IF(" + s.doses.at("content", at) + "=" + s.most.at("worst", s.row) + "," + cell + "," + formula + ")"
	}
	return formula, row
}
