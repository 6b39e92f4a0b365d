package recalc

import (
	"cmp"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
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

// Build builds the sheets of the workbook that recalculate: formula,
// contents, substances, allergens, exposure and margins, with inputs that may be
// changed and formulas that follow.
//
// Where fats react with lye, the sheets start from the product as sold: what the
// lye makes of the fats is computed by the program alone.
//
// Units: as on the sheets; contents in % w/w, doses in mg/kg bw/d.
// Basis: all figures come from the first market of each variant, save the
// allergens, which are judged for each market.
func Build(a *assess.Assessment) []*document.Section {
	if len(a.Results) == 0 {
		return nil
	}
	m := newModel(show.Show(a, ""))
	sections := []*document.Section{m.formulaSection(), m.contentsSection(), m.substancesSection()}
	sections = append(sections, m.allergenSections()...)
	sections = append(sections, m.exposureSection())
	sections = append(sections, m.marginSections()...)
	return append([]*document.Section{m.guideSection(sections)}, sections...)
}

func newModel(v *show.View) *model {
	m := &model{v: v, names: newCellNames(), subAt: map[string]*modelSubstance{}}
	for _, x := range v.Variants {
		r := v.First(x)
		var whole *modelColumn
		for i, c := range r.Compositions {
			col := &modelColumn{key: "m" + words.Itoa(len(m.columns)), variant: x, result: r, mix: i, comp: c,
				contents: map[string]*formula.Substance{}, uses: map[string]exact.Num{}, keys: map[string]string{}}
			col.head = cmp.Or(x.ID, "Product")
			if i == 0 {
				whole = col
			} else {
				col.head += ": " + c.Mixture.Name
				col.whole = whole
				whole.portions = append(whole.portions, col)
			}
			for _, s := range c.Substances {
				col.contents[s.Key()] = s
			}
			m.columns = append(m.columns, col)
		}
	}
	m.gatherMaterials()
	m.gatherSubstances()
	m.placeSubstances()
	return m
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
