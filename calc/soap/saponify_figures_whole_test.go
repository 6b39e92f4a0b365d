package soap_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/soap"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// partsOf are the parts of the reaction of a bar, by name.
func partsOf(t testing.TB, p *formula.Product, sheets ...*ingredients.Sheet) map[string]formula.Part {
	t.Helper()
	out := map[string]formula.Part{}
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, sheets...)
	for _, x := range r.Input.Materials["lye reaction"].Parts {
		out[x.INCI] = x
	}
	return out
}

// A wax may take no lye at all, and the parts still add up to 100. By hand: 50 g of wax that
// takes 0 to 5 g KOH with 4 g, so that 40 to 50 g react, and soap of 40 g and no lye leaves
// room for 4 g that nothing fills: with 10 g of wax and 46 g of water it is 44 g at least.
//
// Beside 40 g of oil that takes 8 g KOH, 10 g of wax that takes 0 to 1 g, with 8.5 g: of both
// 8.5/9 to all react. Soap of the oil is 40 + 8 − 8 × 92.09/168.33 = 43.62336 g at most and
// 8.5/9 of it at least; soap of the wax 10 × 8.5/9 to 10 + 8.5/9.
func TestWaxByHand(t *testing.T) {
	p := formulatest.SoapProduct(t, "KOH", "wax", "50", "koh", "4", "water", "46")
	exactSV(t, p, "wax", "100")
	sheets := formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil", "wax", "Cera Alba")
	parts := partsOf(t, p, sheets...)
	deltas(t, 44, 44, 54, parts["Potassium Beeswax"].Pct, "soap")
	deltas(t, 0, 10, 10, parts["Cera Alba"].Pct, "wax that stays")
	deltas(t, 46, 46, 46, parts["Aqua"].Pct, "water")

	p = formulatest.SoapProduct(t, "KOH", "oil", "40", "wax", "10", "koh", "8.5", "water", "41.5")
	exactSV(t, p, "oil", "200")
	exactSV(t, p, "wax", "100")
	parts = partsOf(t, p, sheets...)
	deltas(t, 41.19984, 41.19984, 43.62336, parts["Potassium Olivate"].Pct, "soap of the oil")
	deltas(t, 9.44444, 10.38889, 10.94444, parts["Potassium Beeswax"].Pct, "soap of the wax") // 10 × 8.5/9 + 8.5/9
}

// Water of a lye that is open itself: 8 g of 85 to 92 % KOH bring 0.64 to 1.2 g, in the
// middle 0.92 g; with 41 g poured and 20 g that dry off, of 80 g sold.
func TestWaterOfTheLye(t *testing.T) {
	sheets := append(formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil"),
		formulatest.Sheet(t, "koh", "Potassium Hydroxide", "85-92", "Aqua", "q.s."),
		formulatest.ScentSheet("fo"))
	p := formulatest.WithFormula(t, formula.Percent, "oil", "50", "koh", "8", "water", "41", "fo", "1")
	p.Saponify = &formula.Saponification{Alkali: []string{"KOH"}, WaterLossPct: exact.Int(20)}
	exactSV(t, p, "oil", "200")
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, sheets...)
	deltas(t, 21.64/.8, 21.92/.8, 22.2/.8, r.Reactions[0].Water, "water")
}

// What does not react stays a line of its own, as poured: clay, and a water that is not
// plain. What reacts stands in the phase of its first line. The maker's own materials stay
// as they were.
func TestWhatStaysBeside(t *testing.T) {
	sheets := append(formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil"),
		formulatest.Sheet(t, "clay", "Kaolin", "100"), formulatest.Sheet(t, "herbal", "Aqua", "90", "Glycerin", "10"))
	p := formulatest.SoapProduct(t, "KOH", "clay", "5", "herbal", "10", "oil", "40", "koh", "6", "water", "39")
	lines := p.Formula.Phases[0].Lines
	p.Formula.Phases = []formula.Phase{{ID: "A", Lines: lines[:2]}, {ID: "B", Lines: lines[2:3]},
		{ID: "C", Lines: lines[3:]}}
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, sheets...)
	assert.Equal(t, []string{"lye reaction 85", "clay 5", "herbal 10"}, formulatest.Shares(r.Whole().Mixture))
	poured, _ := formula.Resolve(p, r.Input.Variant, exact.Num{})
	assert.Equal(t, poured.Whole.Shares[2].Phase, r.Whole().Mixture.Shares[0].Phase)
	assert.NotEqual(t, poured.Whole.Shares[4].Phase, r.Whole().Mixture.Shares[0].Phase)

	byID := map[string]*ingredients.Sheet{}
	for _, s := range sheets {
		byID[s.ID] = s
	}
	in := &formula.Input{Product: p, Variant: &formula.Variant{}, Type: r.Input.Type, Sheets: byID,
		Materials: formula.PrepareAll(byID, r.Input.Dict), Session: r.Input.Session}
	sold, _, _, _ := soap.Saponify(in, poured)
	assert.Contains(t, sold.Materials, "lye reaction")
	assert.NotContains(t, in.Materials, "lye reaction")
	assert.NotContains(t, in.Sheets, "lye reaction")
}

// Soaps whose names are in no edition of the inventory are told to the assessor, the others
// are not: jojoba and olive.
func TestFormedNamesAreTold(t *testing.T) {
	p := formulatest.SoapProduct(t, "NaOH", "jojoba", "10", "olive", "40", "naoh", "5", "water", "45")
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, formulatest.SoapSheets(t,
		"jojoba", "Simmondsia Chinensis Seed Oil", "olive", "Olea Europaea Fruit Oil")...)
	f := calctest.Finding(t, r, "soap-name-formed")
	assert.Equal(t, "Sodium Jojobate", f.Subject)
	assert.Equal(t, finding.Note, f.Severity)
	assert.Equal(t, []finding.Party{finding.TheAssessor}, f.Who)
}

// Lye and fat are told with four digits, what the maker planned as it was written. By hand:
// 50 g of an oil that takes 180.1234 to 220.5678 mg KOH/g take 9.00617 to 11.02839 g.
func TestFiguresOfTheBar(t *testing.T) {
	bar := func(koh, excess, loss string) *formula.Product {
		p := formulatest.WithFormula(t, formula.Percent, "oil", "50", "koh", koh, "water", "q.s.")
		p.Saponify = &formula.Saponification{Alkali: []string{"KOH"}, WaterLossPct: formulatest.Num(t, loss),
			ExcessFatPct: formulatest.Ptr(formulatest.Num(t, excess)),
			Values: []formula.OwnSV{{Ingredient: "oil", MgKOH: exact.Range{Min: formulatest.Num(t, "180.1234"),
				Typ: formulatest.Num(t, "200.3456"), Max: formulatest.Num(t, "220.5678")}}}}
		return p
	}
	of := func(p *formula.Product, code string) finding.Finding {
		return calctest.Finding(t, calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
			formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil")...), code)
	}
	f := of(bar("8.123456", "35.12345", "0"), "excess-fat")
	assert.Equal(t, []string{"8.123", "9.006 to 11.03", "35.12345"},
		[]string{calctest.Shown(t, f, "given"), calctest.Shown(t, f, "taken"), calctest.Shown(t, f, "planned")})
	lye, ok := f.Values.Get("lye")
	require.True(t, ok)
	excess, _ := lye.List.Get("excess")
	needed, _ := lye.List.Get("needed")
	assert.Equal(t, "35.12345", excess.Round.Of(excess.Low))
	assert.Equal(t, "6.499", needed.Round.Of(needed.Low)) // 10.01728 × 0.6487655 = 6.498866
	f = of(bar("8.123456", "20", "41.9"), "water-loss")
	assert.Equal(t, "41.88", calctest.Shown(t, f, "water")) // 100 − 50 − 8.123456

	// just the excess that was planned: 8 g of 10 leave 20 %
	p := bar("8", "20", "0")
	p.Saponify.Values[0].MgKOH = exact.Exactly(exact.Int(200))
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil")...)
	assert.Empty(t, calctest.Findings(r, "excess-fat"))
}

// Of two lyes that may each be most of it, the highest of both soaps together is not above the
// whole: 80 g of fat with 1 to 9 g of either.
func TestSoapIsNotAboveTheWhole(t *testing.T) {
	p := formulatest.SoapProduct(t, "KOH+NaOH", "oil", "80", "koh", "10", "naoh", "10")
	exactSV(t, p, "oil", "100")
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		formulatest.Sheet(t, "oil", "Olea Europaea Fruit Oil", "100"),
		formulatest.Sheet(t, "koh", "Potassium Hydroxide", "10-90", "Aqua", "q.s."),
		formulatest.Sheet(t, "naoh", "Sodium Hydroxide", "10-90", "Aqua", "q.s."))
	assert.Equal(t, "100", r.Reactions[0].Soap.Max.Exact())
	var most exact.Num
	for _, x := range r.Input.Materials["lye reaction"].Parts {
		if x.INCI == "Potassium Olivate" || x.INCI == "Sodium Olivate" {
			most = most.Add(x.Pct.Max)
		}
	}
	assert.True(t, formula.Hundred.Less(most), "either alone may be most of it")
}
