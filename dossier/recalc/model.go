package recalc

import (
	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
	"strings"
)

// model is the product as a spreadsheet computes it: from the lines of the
// formula to what is in each mixture, to allergen totals, doses and margins.
// Every cell holds the program's own figure, as its value or beside a formula,
// so that a recalculation which gives anything else is seen.
type model struct {
	v       *show.View
	columns []*modelColumn
	names   *cellNames

	materials []*modelMaterial
	rows      []*contentRow
	subs      []*modelSubstance
	subAt     map[string]*modelSubstance
}

// modelColumn is one mixture: the whole of a variant, or a portion of it. It has
// the same column on every sheet.
type modelColumn struct {
	key      string // of the column in the tables
	head     string
	variant  *formula.Variant
	result   *calc.Result
	mix      int // 0: the whole; else the portion
	comp     *formula.Composition
	contents map[string]*formula.Substance
	uses     map[string]exact.Num // % of the mixture, by key of the material
	keys     map[string]string    // of raw materials, by id
	whole    *modelColumn         // of a portion: the whole it belongs to
	portions []*modelColumn       // of a whole that is filled in portions
}

// isBase says whether the mixture is computed from lines of the formula and not
// from portions.
func (m *model) isBase(c *modelColumn) bool { return len(c.portions) == 0 || m.reacts() }

// reacts says whether the product is what a reaction with lye leaves.
func (m *model) reacts() bool { return m.v.A.Product.Saponify != nil }

// mixtureColumns heads one column for each mixture.
func (m *model) mixtureColumns() []document.Column {
	cols := make([]document.Column, len(m.columns))
	for i, c := range m.columns {
		cols[i] = document.Column{Key: c.key, Head: c.head, Kind: document.KindNumber}
	}
	return cols
}

// numbers is a column of figures.
func numbers(key, head, unit string) document.Column {
	return document.Column{Key: key, Head: head, Unit: unit, Kind: document.KindNumber}
}

// span names the columns of all mixtures in a formula.
func (m *model) span() string { return m.columns[0].key + ":" + m.columns[len(m.columns)-1].key }

// fill appends a cell for each mixture to a row.
func (m *model) fill(row []document.Cell, cell func(*modelColumn) document.Cell) []document.Cell {
	for _, c := range m.columns {
		row = append(row, cell(c))
	}
	return row
}

// cellAt names a cell of a mixture in a row of a table.
func cellAt(table string, key string, row int) string {
	return "{" + table + "!" + key + "@" + words.Itoa(row) + "}"
}

// rowsAt names the cells of a column from one row to another.
func rowsAt(table string, key string, from, to int) string {
	return "{" + table + "!" + key + "@" + words.Itoa(from) + ":" + words.Itoa(to) + "}"
}

// tiny is the slack for sums that binary fractions miss by their last digits,
// in per cent; far below any amount that can be weighed.
const tiny = "0.000000001"

// placeText names a place in the maker's files.
func placeText(p exact.Pos) string {
	if p.IsZero() {
		return ""
	}
	return p.File + ":" + words.Itoa(p.Line)
}

// fromPlace says where a value comes from, for the note beside an input.
func fromPlace(p exact.Pos) string {
	if p.IsZero() {
		return ""
	}
	return "From " + placeText(p)
}

// modelMaterial is a raw material, or what a reaction with lye has made of some,
// which may differ from variant to variant.
type modelMaterial struct {
	key   string // unique in the workbook
	id    string // of the sheet
	name  string
	made  bool              // by a reaction
	of    *formula.Material // nil: no sheet can be read
	row   int               // in the table of uses
	first *modelColumn
}

// contentRow is one content of a substance in a raw material.
type contentRow struct {
	material *modelMaterial
	sub      *modelSubstance
	route    formula.Route
	in       exact.Range   // % of the material
	counted  exact.Range   // % of the material, what is listed already taken off
	listed   []*contentRow // of a declaration: the same substance listed in the composition
	given    string
	pos      exact.Pos
	row      int // in the table of contents
}

// modelSubstance is a substance with all contents that bring it.
type modelSubstance struct {
	key    string
	like   *formula.Substance
	name   string
	rows   []*contentRow // constituents first
	own    int           // how many of them are constituents
	row    int           // in the tables of substances
	ownRow int           // row of what comes in as a constituent alone; -1: the same
}

// bound is one of the three figures of a range.
type bound struct {
	key, table, title string
	of                func(exact.Range) exact.Num
}

var bounds = []bound{
	{"max", TableMost, "Highest content of each substance, % w/w",
		func(r exact.Range) exact.Num { return r.Max }},
	{"typ", TableTypical, "Typical content of each substance, % w/w",
		func(r exact.Range) exact.Num { return r.Typ }},
	{"min", TableLeast, "Lowest content of each substance, % w/w",
		func(r exact.Range) exact.Num { return r.Min }},
}

// verdictText is a verdict as a sheet shows it.
func verdictText(c document.Cell) string { return strings.ReplaceAll(c.String(), "\u00a0", " ") }
