package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/listing"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// What is said of a list that cannot be printed as it stands.
func TestListFindingsInWords(t *testing.T) {
	blend := supplied(sheet(t, "blend", "A", "9-16", "B", "4-12", "Aqua", "q.s."), "Alder Supplies (invented)", "")
	blend.Composition.Pos = exact.Pos{File: "ingredients/blend.yaml", Line: 5}
	in := &formula.Input{Session: testSession(table.Builtin()), Product: &formula.Product{ID: "test", Pos: exact.Pos{File: "p", Line: 1}, TailPos: exact.Pos{File: "p", Line: 9}}, Sheets: map[string]*ingredients.Sheet{"blend": blend}}
	pair := listing.OpenPair{First: "A", Second: "B", LeastPct: num(t, "-0.31234"), Materials: []string{"blend", "other"}}
	list := func(pair listing.OpenPair) finding.Finding {
		fs := calc.ListFindings(in, &calc.Result{List: &listing.List{Open: []listing.OpenPair{pair}}})
		require.Equal(t, []string{"ask open-order"}, codes(fs))
		return fs[0]
	}
	f := list(pair)
	assert.Equal(t, "listed in this order by typical content, but within the ranges declared the first could be less than the second", said(f).Message)
	assert.Equal(t, "ask for the exact composition of blend or other", said(f).Fix)
	assert.Equal(t, "Alder Supplies (invented)", said(f).Ask)
	assert.Equal(t, blend.Composition.Pos, f.Pos)
	assert.Equal(t, "smallest possible difference: -0.312 % of the product", termText(f.Sum[0]))
	pair.Together = true
	assert.Equal(t, "ask for the exact composition of blend and other", said(list(pair)).Fix)
	pair.Materials = []string{"unknown"}
	f = list(pair)
	assert.Equal(t, "the supplier", said(f).Ask)
	assert.Equal(t, in.Product.Pos, f.Pos)
	pair.Materials = nil
	assert.Equal(t, in.Product.Pos, list(pair).Pos)
	pair.Materials = []string{"lye reaction of rose"}
	assert.Equal(t, "ask for the exact composition of lye reaction of rose", said(list(pair)).Fix)
	in.Product.Saponify = &formula.Saponification{}
	assert.Equal(t, "ask for the saponification values of the lots and enter them under saponify: values; the order rests on their ranges", said(list(pair)).Fix)
	pair.Materials = []string{"blend"}
	assert.Equal(t, "ask for the exact composition of blend", said(list(pair)).Fix)

	entries := &listing.List{Entries: []listing.ListEntry{{Name: "Aqua"}, {Name: "undeclared part of blend", Kind: listing.EntryUndeclared}}}
	fs := calc.ListFindings(in, &calc.Result{List: entries})
	require.Equal(t, []string{"ask list-incomplete"}, codes(fs))
	assert.Equal(t, "the ingredient list cannot be printed, because undeclared part of blend stands for substances with no name", said(fs[0]).Message)
	in.Product.TailOrder = []string{"AQUA", "Aqau", "Exemplum"}
	fs = calc.ListFindings(in, &calc.Result{List: &listing.List{Entries: entries.Entries[:1]}})
	require.Equal(t, []string{"note tail-order", "note tail-order"}, codes(fs))
	assert.Equal(t, "it is named in tail_order but is not in the list", said(fs[0]).Message)
	assert.Equal(t, "did you mean Aqua?", said(fs[0]).Fix)
	assert.Equal(t, "take it out of tail_order", said(fs[1]).Fix)
	assert.Equal(t, in.Product.TailPos, fs[0].Pos)
}

// Doses per area, by hand: body lotion 7.82 g over 15670 cm² = 0.499043 mg/cm²; 1 %
// of it 4.99043 µg/cm². Of children the same film. Exposure SCCS/1647/22.
func TestLocalDosesInWords(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "50")
	run := func(product string, audience formula.Audience, o *formula.OwnExposure) *calc.Result {
		p := withFormula(t, formula.Percent, "base", "q.s.", "fo", "2")
		p.IntendedFor, p.Exposure = audience, o
		return assessed(t, p, &formula.Variant{}, product, rows.GB, 20261125, squalane(t), fo)
	}
	r := run("body-lotion", formula.Adults, nil)
	require.Len(t, r.LocalDoses, 1)
	d := r.LocalDoses[0]
	assert.InDelta(t, 0.499043, d.ProductMgCm2.Value, 1e-6)
	assert.InDelta(t, 4.99043, d.UgCm2, 1e-5)
	assert.InDelta(t, 4.99043, d.TypicalUgCm2, 1e-5)
	assert.Equal(t, "0.499 mg/cm² × 1 % × 1000 = 4.99 µg/cm² a day", d.Arithmetic)
	assert.Equal(t, "7820 mg/d over 15670 cm²", d.ProductMgCm2.Note)
	assert.True(t, d.OnLabel)
	assert.Equal(t, "", d.Reason)
	assert.Empty(t, findingsOf(r, "no-skin-area"))
	assert.InDelta(t, 4.99043, run("body-lotion", formula.ChildrenThree, nil).LocalDoses[0].UgCm2, 1e-5)
	// from an exposure per body weight: 10 mg/kg × 60 kg = 600 mg over 300 cm² = 2
	r = run("body-lotion", formula.Adults, own(t, "relative", "10", "area", "300"))
	assert.InDelta(t, 2, r.LocalDoses[0].ProductMgCm2.Value, 1e-9)
	assert.Equal(t, "600 mg/d over 300 cm²", r.LocalDoses[0].ProductMgCm2.Note)
	// no area: the first such type of the table
	for _, pt := range law.ProductTypes(table.Builtin()) {
		if e, _ := exposureOf(t, pt.Key, formula.Adults, nil); e.Known() && e.AreaCm2 == nil {
			r = run(pt.Key, formula.Adults, nil)
			require.Len(t, r.LocalDoses, 1)
			assert.Equal(t, "the skin area treated is not known", r.LocalDoses[0].Reason)
			assert.Zero(t, r.LocalDoses[0].UgCm2)
			f := findingOf(t, r, "no-skin-area")
			assert.Equal(t, finding.Ask, f.Severity)
			assert.Equal(t, []string{"Linalool"}, said(f).Items)
			require.Len(t, gapsBy(r, "no-skin-area"), 1)
			assert.Empty(t, findingsOf(assessed(t, withFormula(t, formula.Percent, "base", "100"), &formula.Variant{}, pt.Key, rows.GB, 20261125, squalane(t)), "no-skin-area"), "nothing to compute")
			break
		}
	}
	r = run("nail-oil", formula.Adults, nil)
	assert.Equal(t, "the exposure to the product is not known", r.LocalDoses[0].Reason)
	assert.Empty(t, findingsOf(r, "no-skin-area"), "asked for with the exposure")
}
