package recalc

import (
	"cmp"
	"gallipot/calc/formula"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

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
	margins := m.marginRows()
	inside := m.marginSections(margins)
	sections = append(sections, m.limitsSection(margins, tableOf(inside, tableAggregate)), m.exposureSection())
	sections = append(sections, inside...)
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
