package soap_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/headroom"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// deltas compares a range with three figures worked by hand.
func deltas(t testing.TB, low, middle, high float64, got exact.Range, what string) {
	t.Helper()
	assert.InDelta(t, low, got.Min.Float(), 1e-4, what+", lowest")
	assert.InDelta(t, middle, got.Typ.Float(), 1e-4, what+", middle")
	assert.InDelta(t, high, got.Max.Float(), 1e-4, what+", highest")
}

// By hand, of 100 g poured:
//
//	the oil takes 9, 10, 11 g KOH; 8 g are given: 8/11, 8/10, 8/9 of it reacts
//	oil that reacts 36.3636, 40, 44.4444 g; that stays 5.5556, 10, 13.6364 g
//	glycerin 8 × 92.09/168.33 = 4.37664 g
//	soap = oil that reacts + 8 − glycerin = 39.98700, 43.62336, 48.06780 g
//	water 41 − 20 = 21 g; together 43.62336 + 10 + 4.37664 + 21 = 79 g
//	sold are 80 g: divided by 0.8
//
// Source of the relations: stoichiometry, as at react.
func TestReactionByHand(t *testing.T) {
	r := calctest.PotashSoap(t, nil)
	x := r.Reactions[0]
	deltas(t, 39.98700/.8, 43.62336/.8, 48.06780/.8, x.Soap, "soap")
	deltas(t, 5.55556/.8, 10/.8, 13.63636/.8, x.UnreactedFat, "oil that stays")
	deltas(t, 4.37664/.8, 4.37664/.8, 4.37664/.8, x.Glycerin, "glycerin")
	deltas(t, 21/.8, 21/.8, 21/.8, x.Water, "water")
	deltas(t, 0, 0, 0, x.FreeAlkali, "free lye")
	// (10 − 8) of 10; (9 − 8) of 9; (11 − 8) of 11
	deltas(t, 11.11111, 20, 27.27273, x.ExcessFatPct, "oil that stays, of all oil")

	shares := r.Whole().Mixture.Shares
	require.Len(t, shares, 2)
	assert.Equal(t, "lye reaction 98.75", shares[0].Ingredient+" "+shares[0].Pct.Exact()) // 79 of 80 g
	assert.Equal(t, "fo 1.25", shares[1].Ingredient+" "+shares[1].Pct.Exact())
	given := map[string]string{}
	for _, p := range r.Input.Materials["lye reaction"].Parts {
		given[p.INCI] = p.Given
	}
	assert.Equal(t, map[string]string{
		"Potassium Olivate":       "from 50 % oil, 180 to 220 mg KOH/g (own value)",
		"Olea Europaea Fruit Oil": "unreacted: 50 % oil, 180 to 220 mg KOH/g (own value)",
		"Glycerin":                "set free by the lye",
		"Aqua":                    "water after drying",
	}, given)
	table := calctest.PotashSoap(t, func(p *formula.Product, _ *ingredients.Sheet) { p.Saponify.Values = nil })
	assert.Equal(t, "from 50 % oil, 182 to 196 mg KOH/g (saponification.csv, olive, olive-pomace)", table.Input.Materials["lye reaction"].Parts[0].Given)
	// olive 184 to 196 and pomace 182 to 193 share the name: 182 to 196, middle 189
	deltas(t, 9.1, 9.45, 9.8, table.Reactions[0].TakesKOH, "KOH that olive oil takes")
	deltas(t, 8, 8, 8, table.Reactions[0].GivenKOH, "KOH given")
}

// TestReactionCarriesThePapers: what the oil's sheet says goes with it, thinned
// from 50 g of oil to 79 g of soap; the sheets of the maker stay as they were.
func TestReactionCarriesThePapers(t *testing.T) {
	before := map[string]bool{}
	r := calctest.PotashSoap(t, func(_ *formula.Product, oil *ingredients.Sheet) { before[oil.Allergens.Declared[0].Pct.Text] = true })
	s := r.Input.Sheets["lye reaction"]
	require.NotNil(t, s)
	assert.Equal(t, []string{"emollient"}, s.Functions)
	assert.True(t, s.Composition.Complete)
	require.Len(t, s.Impurities, 1, "no lye may be left over: 11 g are taken at most, 8 g given, 9 g at least")
	assert.Equal(t, "Lead", s.Impurities[0].Name)
	assert.Equal(t, formulatest.Num(t, "0.02").Quo(formulatest.Num(t, "79")).Exact(), s.Impurities[0].Amount.Max.Exact()) // 0.0004 × 50 / 79
	require.Len(t, s.Toxicology, 1)
	assert.Equal(t, "7", s.Toxicology[0].PoD.Exact())
	require.NotNil(t, s.Allergens)
	assert.Equal(t, ingredients.List2003, s.Allergens.List)
	assert.Equal(t, exact.Date(20260102), s.Allergens.Dated)
	require.Len(t, s.Allergens.Declared, 1)
	assert.Equal(t, "10/79", s.Allergens.Declared[0].Pct.Typ.Exact()) // 0.2 × 50 / 79
	// Linalool of the product as sold: 0.2 × 50 / 80 = 0.125 %
	assert.Equal(t, "0.125", r.Whole().Find("Linalool").Total.Typ.Exact())
	assert.Equal(t, map[string]bool{"0.2": true}, before)

	// Two papers: the shorter list answers for the whole, whichever comes first.
	for _, first := range []string{ingredients.List2003, ingredients.List2023} {
		sheets := formulatest.SoapSheets(t, "a", "Olea Europaea Fruit Oil", "b", "Cocos Nucifera Oil")
		a, b := sheets[len(sheets)-2], sheets[len(sheets)-1]
		a.Functions, b.Functions = []string{"emollient", "skin conditioning"}, []string{"emollient"}
		formulatest.Declared(t, a, first, "Linalool", "0.1")
		formulatest.Declared(t, b, map[string]string{ingredients.List2003: ingredients.List2023, ingredients.List2023: ingredients.List2003}[first], "Limonene", "0.3")
		p := formulatest.SoapProduct(t, "KOH", "a", "40", "b", "10", "koh", "8", "water", "42")
		s := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, sheets...).Input.Sheets["lye reaction"]
		assert.Equal(t, ingredients.List2003, s.Allergens.List)
		assert.Equal(t, []string{"emollient", "skin conditioning"}, s.Functions)
		require.Len(t, s.Allergens.Declared, 2)
		assert.Equal(t, "0.04", s.Allergens.Declared[0].Pct.Typ.Exact())
		assert.Equal(t, "0.03", s.Allergens.Declared[1].Pct.Typ.Exact())
	}
}

// TestLyeLeftOverByHand: 12 g KOH where the oil takes 9 to 11 leave 1, 2, 3 g, of
// 80 g sold; what is certain is a part of the soap, and no trace beside it. At 9.5 g,
// 0.5 g may be left over, and that is a trace.
func TestLyeLeftOverByHand(t *testing.T) {
	lye := func(koh, water string) *calc.Result {
		return calctest.PotashSoap(t, func(p *formula.Product, oil *ingredients.Sheet) {
			p.Formula.Phases[0].Lines[1].Amount = formulatest.Num(t, koh)
			p.Formula.Phases[0].Lines[2].Amount = formulatest.Num(t, water)
			oil.Impurities = nil
		})
	}
	r := lye("12", "37")
	deltas(t, 1/.8, 2/.8, 3/.8, r.Reactions[0].FreeAlkali, "free lye")
	assert.Empty(t, r.Input.Sheets["lye reaction"].Impurities)
	f := calctest.Finding(t, r, "lye-excess")
	assert.Contains(t, wordstest.Said(f).Message, "16.7 % of it stays free") // 2 of 12
	assert.Contains(t, wordstest.Said(f).Why, "saponification values from your own values under saponify; as KOH 12 % added, 9 to 11 % taken up")
	assert.Contains(t, wordstest.Said(f).Fix, "at most 9 % pure KOH leaves no free lye")
	require.Len(t, f.Sum, 1)
	assert.Equal(t, "takes up 9 to 11 % KOH: 50 % oil, 180 to 220 mg KOH/g (own value)", wordstest.Term(f.Sum[0]))
	deltas(t, -33.33333, -20, -9.09091, r.Reactions[0].ExcessFatPct, "below 0 as lye is left over")

	r = lye("9.5", "39.5")
	deltas(t, 0, 0, 0.5/.8, r.Reactions[0].FreeAlkali, "lye that may be left over")
	s := r.Input.Sheets["lye reaction"]
	require.Len(t, s.Impurities, 1)
	assert.Equal(t, "Potassium Hydroxide", s.Impurities[0].Name)
	assert.Equal(t, formulatest.Num(t, "50").Quo(formulatest.Num(t, "79")).Exact(), s.Impurities[0].Amount.Max.Exact()) // 0.5 of 79 g
	assert.Equal(t, "0", s.Impurities[0].Amount.Min.Exact())
	f = calctest.Finding(t, r, "lye-excess-possible")
	assert.Contains(t, wordstest.Said(f).Message, "the fat left over is -5.556 to 13.64 %") // (9 − 9.5) of 9, (11 − 9.5) of 11
	assert.Equal(t, "the supplier of oil", wordstest.Said(f).Ask)

	// exactly what the lowest value takes: none is left, and nothing is asked
	r = lye("9", "40")
	assert.Empty(t, calctest.Findings(r, "lye-excess-possible"))
	deltas(t, 0, 0, 0, r.Reactions[0].FreeAlkali, "free lye")
	assert.Empty(t, r.Input.Sheets["lye reaction"].Impurities)
	// exactly what the middle value takes is no certain excess
	r = lye("10", "39")
	assert.Empty(t, calctest.Findings(r, "lye-excess"))
	assert.Len(t, calctest.Findings(r, "lye-excess-possible"), 1)
}

// TestWaterLossByHand: all the water may dry off, and no more than there is. Of 41 g
// poured all 41 may go; 41.5 g is a mistake, and the figures are those of no loss.
func TestWaterLossByHand(t *testing.T) {
	dry := func(loss string) *calc.Result {
		return calctest.PotashSoap(t, func(p *formula.Product, _ *ingredients.Sheet) { p.Saponify.WaterLossPct = formulatest.Num(t, loss) })
	}
	r := dry("41")
	assert.Empty(t, calctest.Findings(r, "water-loss"))
	assert.True(t, r.Reactions[0].Water.IsZero())
	assert.Nil(t, r.Whole().Find("Aqua"))
	deltas(t, 39.98700/.59, 43.62336/.59, 48.06780/.59, r.Reactions[0].Soap, "soap")
	r = dry("41.5")
	f := calctest.Finding(t, r, "water-loss")
	assert.Equal(t, "41.5 % is said to dry off, but the lines that react contain only 41 % of water", wordstest.Said(f).Message)
	deltas(t, 41, 41, 41, r.Reactions[0].Water, "water")
	assert.Empty(t, calctest.Findings(dry("0"), "water-loss"))
}

// TestPlannedExcess: of 10 g KOH that the oil takes by middle values, 5 % excess
// leave 9.5 g; the lye given leaves 11.1 to 27.3 % (TestReactionByHand).
func TestPlannedExcess(t *testing.T) {
	plan := func(pct string) *calc.Result {
		return calctest.PotashSoap(t, func(p *formula.Product, _ *ingredients.Sheet) {
			p.Saponify.ExcessFatPct = formulatest.Ptr(formulatest.Num(t, pct))
		})
	}
	r := plan("5")
	assert.Equal(t, "9.5", r.Reactions[0].NeededPct.Exact())
	assert.Equal(t, "9", r.Reactions[0].SafePct.Exact())
	f := calctest.Finding(t, r, "excess-fat")
	assert.Equal(t, "5 % of the fat should stay unsaponified, but this lye leaves 11.11 to 27.27 %", wordstest.Said(f).Message)
	assert.Equal(t, "change the lye or excess_fat_pct: 9.5 % pure KOH leaves 5 % of the fat unsaponified by middle values; at most 9 % pure KOH leaves no free lye at the lowest saponification values; divide by the purity of the lye", wordstest.Said(f).Fix)
	require.Len(t, f.Sum, 1)
	assert.Len(t, calctest.Findings(plan("30"), "excess-fat"), 1)
	assert.Empty(t, calctest.Findings(plan("12"), "excess-fat"))
	assert.Empty(t, calctest.Findings(plan("27"), "excess-fat"))
	// 9.35 g, as 187 × 50 / 1000, times 40.00/56.11 are 6.66548… g of NaOH: printed
	// downward, since the most must hold
	r = calctest.PotashSoap(t, func(p *formula.Product, _ *ingredients.Sheet) {
		p.Saponify.Alkali = []string{"NaOH"}
		p.Saponify.Values[0].MgKOH = exact.Exactly(formulatest.Num(t, "187"))
		p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines[:1], p.Formula.Phases[0].Lines[2:]...)
		p.Formula.Phases[0].Lines[1].Amount = formulatest.Num(t, "49")
	})
	assert.Contains(t, wordstest.Said(calctest.Finding(t, r, "no-lye")).Fix, "at most 6.6654 % pure NaOH")
}

// TestSoapOfTwoPortions: each portion reacts for itself, under a name of its own.
// The whole has 50 × 0.4 + 50 × 0.6 = 50 % of oil, and 1 % of scent in one of them.
func TestSoapOfTwoPortions(t *testing.T) {
	sheets := append(formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil"), formulatest.ScentSheet("fo"))
	p := formulatest.WithFormula(t, formula.Percent, "oil", "50", "koh", "8", "water", "q.s.", ":scent", "1")
	p.Saponify = &formula.Saponification{Alkali: []string{"NaOH"}, Values: []formula.OwnSV{{Ingredient: "oil", MgKOH: exact.Exactly(exact.Int(130))}}}
	r := calctest.Assess(t, p, &formula.Variant{Portions: []formula.Portion{{Name: "rose", SharePct: formulatest.Num(t, "40"), Fill: []formula.Fill{formulatest.Fill("scent", "fo")}}, {Name: "plain", SharePct: formulatest.Num(t, "60")}}},
		"bar-soap", rows.GB, 20261125, sheets...)
	require.Len(t, r.Compositions, 3)
	for i, want := range []string{"lye reaction 99.6", "lye reaction of rose 99", "lye reaction of plain 100"} {
		s := r.Compositions[i].Mixture.Shares[0]
		assert.Equal(t, want, s.Ingredient+" "+s.Pct.Exact())
	}
	var messages []string
	for _, f := range calctest.Findings(r, "lye-excess") {
		messages = append(messages, wordstest.Said(f).Message)
	}
	// 6.5 g of 8 g are taken up: 18.75 % stays
	assert.ElementsMatch(t, []string{
		"more lye than the fats can take up: 18.8 % of it stays free by middle saponification values",
		"more lye than the fats can take up in portion rose: 18.8 % of it stays free by middle saponification values",
		"more lye than the fats can take up in portion plain: 18.8 % of it stays free by middle saponification values",
	}, messages)
	assert.NotEmpty(t, calctest.Findings(r, "wrong-alkali"))
}

// Two lyes of half the strength each, 4 g KOH and 40.00/56.11 × 4 g NaOH, on 50 g of an oil
// that takes 10 g KOH: four fifths, 40 g, react, and each lye makes half of the soap.
//
//	glycerin 8 × 92.09/168.33; potassium soap (40 + 8 − glycerin) / 2 = 21.81168
//	sodium soap (40 + 8 × 40.00/56.11 − glycerin) / 2 = 20.66325
func TestTwoLyesByHand(t *testing.T) {
	p := formulatest.SoapProduct(t, "KOH+NaOH", "oil", "50", "koh", "4", "naoh", "2.8515416", "water", "43.1484584")
	exactSV(t, p, "oil", "200")
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil")...)
	parts := map[string]formula.Part{}
	for _, x := range r.Input.Materials["lye reaction"].Parts {
		parts[x.INCI] = x
	}
	deltas(t, 21.81168, 21.81168, 21.81168, parts["Potassium Olivate"].Pct, "potassium soap")
	deltas(t, 20.66325, 20.66325, 20.66325, parts["Sodium Olivate"].Pct, "sodium soap")
	assert.Equal(t, "7732-18-5", parts["Aqua"].CAS)
	assert.Equal(t, "56-81-5", parts["Glycerin"].CAS)
	deltas(t, 42.47493, 42.47493, 42.47493, r.Reactions[0].Soap, "soap of both")
}

// The parts of a reaction are what their sum of 100 leaves possible: none can be so high
// that the least of the others would not fit, none so low that the most of them would not
// fill it.
func TestReactionPartsAreTight(t *testing.T) {
	p := formulatest.SoapProduct(t, "NaOH", "a", "40", "b", "10", "naoh", "6", "water", "44")
	r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, formulatest.SoapSheets(t, "a", "Olea Europaea Fruit Oil", "b", "Cocos Nucifera Oil")...)
	parts := r.Input.Materials["lye reaction"].Parts
	for i, x := range parts {
		least, most := exact.Num{}, exact.Num{}
		for k, o := range parts {
			if k != i {
				least, most = least.Add(o.Pct.Min), most.Add(o.Pct.Max)
			}
		}
		assert.False(t, formula.Hundred.Less(x.Pct.Max.Add(least)), x.INCI)
		assert.False(t, x.Pct.Min.Add(most).Less(formula.Hundred), x.INCI)
	}
}

// Without fat or without lye nothing is computed: the mixture is as poured.
func TestNothingToReact(t *testing.T) {
	for _, p := range []*formula.Product{formulatest.SoapProduct(t, "NaOH", "water", "90", "naoh", "10"), formulatest.SoapProduct(t, "NaOH", "oil", "50", "water", "50")} {
		r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil")...)
		assert.NotContains(t, r.Input.Materials, "lye reaction")
		assert.NotContains(t, formulatest.Shares(r.Whole().Mixture), "lye reaction 100")
		assert.Len(t, r.Whole().Mixture.Shares, 2)
	}
}

// What takes part: a fat with its companions, which pass through as they are; a blend
// with a value of its own whose names are fats; no scent, whatever it is diluted in. Two
// lines of one lye are one lye.
func TestWhatTakesPart(t *testing.T) {
	react := func(values bool, blend *ingredients.Sheet, lines ...string) *calc.Result {
		p := formulatest.SoapProduct(t, "KOH", append([]string{"oil", "40", "koh", "4", "koh", "3", "water", "40", "blend", "10"}, lines...)...)
		if values {
			exactSV(t, p, "blend", "190")
		}
		blend.ID = "blend"
		return calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125, append(formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil"), blend)...)
	}
	fats := func(r *calc.Result) []string {
		var out []string
		for _, f := range r.Reactions[0].Fats {
			out = append(out, f.INCI)
		}
		return out
	}
	r := react(false, formulatest.Sheet(t, "blend", "Cocos Nucifera Oil", "90", "Tocopherol", "10"))
	assert.Equal(t, []string{"Olea Europaea Fruit Oil", "Cocos Nucifera Oil"}, fats(r))
	// 10 of 97 g are the blend: a tenth of it passes through, 1/0.97 %
	assert.Equal(t, "100/97", pctOf(t, r, "Tocopherol").Exact())
	require.Len(t, r.Reactions[0].Alkalis, 1)
	assert.Equal(t, "700/97", r.Reactions[0].Alkalis[0].Pct.Typ.Exact()) // 4 and 3 of 97 g
	r = react(true, formulatest.Sheet(t, "blend", "Exemplum Seed Oil", "90", "Tocopherol", "10"))
	assert.Equal(t, []string{"Olea Europaea Fruit Oil", "Exemplum Seed Oil"}, fats(r), "the value is that of the fat in it")
	assert.Equal(t, "100/97", pctOf(t, r, "Tocopherol").Exact())
	r = react(false, formulatest.Sheet(t, "blend", "Cocos Nucifera Oil", "50", "Exemplum Seed Oil", "50"))
	assert.Equal(t, []string{"Olea Europaea Fruit Oil", "Cocos Nucifera Oil"}, fats(r), "no table and no value knows it")

	scent := formulatest.Sheet(t, "blend", "Cocos Nucifera Oil", "50", "Linalool", "50")
	scent.Functions = []string{"perfuming"}
	assert.Equal(t, []string{"Olea Europaea Fruit Oil"}, fats(react(false, scent)))
	scent = formulatest.Certified(t, formulatest.Sheet(t, "blend", "Cocos Nucifera Oil", "50", "Linalool", "50"), "9", "5")
	assert.Equal(t, []string{"Olea Europaea Fruit Oil"}, fats(react(false, scent)))
	scent = formulatest.Sheet(t, "blend", "Cocos Nucifera Oil", "50", "Linalool", "50")
	scent.LabelAs = ingredients.LabelParfum
	assert.Equal(t, []string{"Olea Europaea Fruit Oil"}, fats(react(false, scent)))
}

// What fats and lye become is bought from nobody and cannot be raised: who is
// asked are the suppliers of what went in, and the headroom names none of it.
func TestReactionIsNoMaterial(t *testing.T) {
	r := calctest.PotashSoap(t, func(_ *formula.Product, oil *ingredients.Sheet) { oil.Impurities = nil })
	traces := map[string]bool{}
	for _, g := range r.Gaps() {
		assert.NotContains(t, g.Subject, "lye reaction")
		assert.NotContains(t, g.Ask, "lye reaction")
		if g.Code == "no-impurities" {
			for id := range strings.SplitSeq(g.Subject, ", ") {
				traces[id] = true
			}
		}
		if g.Code == "no-pod" && g.Subject == "Potassium Olivate" {
			assert.Equal(t, "the suppliers of the fats, else the assessor", g.Ask)
		}
	}
	assert.True(t, traces["oil"], "its sheet names no trace: %v", traces)
	for _, h := range headroom.Headrooms(r) {
		assert.NotContains(t, h.Ingredient, "lye reaction")
	}
}
