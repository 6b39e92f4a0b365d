package calc_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/calc/standards"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

func totals(r *calc.Result) map[string][3]string {
	out := map[string][3]string{}
	for _, a := range r.Allergens {
		if !a.Worst.IsZero() {
			out[a.LabelName] = [3]string{a.Worst.Min.Exact(), a.Worst.Max.Exact(), string(a.Verdict)}
		}
	}
	return out
}

// Worked example 1 of the reference paper on fragrance documents, section 9: a
// body butter with 1.2 % of one fragrance, certificate 2.35 % in category 5A.
// Arithmetic there by hand; thresholds of Annex III. GB list, since the example
// predates the longer one.
func TestFragranceExampleOne(t *testing.T) {
	scent := func() *ingredients.Sheet {
		return formulatest.Certified(t, formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003,
			"Linalool", "4.80", "Geraniol", "6200 ppm", "Limonene", "0.075", "Benzyl Salicylate", "0.083", "Coumarin",
			"<0.01", "Hexyl Cinnamal", "1-5"), "5A", "2.35")
	}
	p := formulatest.WithFormula(t, formula.Percent, "butter", "q.s.", "fo", "1.2")
	butter := formulatest.Sheet(t, "butter", "Butyrospermum Parkii Butter", "100")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-butter", rows.GB, 20261125, butter, scent())
	assert.Equal(t, map[string][3]string{
		"Linalool":          {"0.0576", "0.0576", "declare"},
		"Geraniol":          {"0.00744", "0.00744", "declare"},
		"Limonene":          {"0.0009", "0.0009", "below"},
		"Benzyl Salicylate": {"0.000996", "0.000996", "below"}, // 0.0010 when rounded: rounding would mislead
		"Coumarin":          {"0", "0.00012", "below"},
		"Hexyl Cinnamal":    {"0.012", "0.06", "declare"},
	}, totals(r))
	require.Len(t, r.Fragrances, 1)
	assert.Equal(t, standards.FragranceKept, r.Fragrances[0].Status)
	assert.Equal(t, "0.5106", r.Fragrances[0].Ratio.Fixed(4)) // 1.2 / 2.35, printed there as 0.511

	// The same fragrance in a rinse-off product: geraniol stays below 0.01 %.
	p = formulatest.WithFormula(t, formula.Percent, "butter", "q.s.", "fo", "1.2")
	r = calctest.Assess(t, p, &formula.Variant{}, "shower-gel", rows.GB, 20261125, butter, scent())
	got := totals(r)
	assert.Equal(t, "declare", got["Linalool"][2])
	assert.Equal(t, "declare", got["Hexyl Cinnamal"][2])
	assert.Equal(t, "below", got["Geraniol"][2])
}

// Worked example 2 of the same paper: a beard oil with two fragrances and
// expressed bergamot oil, category 5B.
func TestFragranceExampleTwo(t *testing.T) {
	a := formulatest.Certified(t, formulatest.Declared(t, formulatest.ScentSheet("fo-a"), ingredients.List2003,
		"Linalool", "3.0", "Citral", "0.10", "Citronellol", "0.020"), "5B", "1.20")
	b := formulatest.Certified(t, formulatest.Declared(t, formulatest.ScentSheet("fo-b"), ingredients.List2003,
		"Linalool", "1.4", "Limonene", "0.9", "Citronellol", "0.035"), "5B", "1.10")
	oil := formulatest.Declared(t, formulatest.Sheet(t, "bergamot", "Citrus Aurantium Bergamia Peel Oil", "100"),
		ingredients.List2003, "Linalool", "9.0", "Limonene", "38", "Citral", "0.45")
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo-a", "0.80", "fo-b", "0.50", "bergamot", "0.15")
	r := calctest.Assess(t, p, &formula.Variant{}, "beard-oil", rows.GB, 20261125,
		formulatest.Sheet(t, "base", "Squalane", "100"), a, b, oil)
	assert.Equal(t, map[string][3]string{
		"Linalool":    {"0.0445", "0.0445", "declare"},
		"Limonene":    {"0.0615", "0.0615", "declare"},
		"Citral":      {"0.001475", "0.001475", "declare"}, // although A alone and bergamot alone stay below
		"Citronellol": {"0.000335", "0.000335", "below"},
	}, totals(r))
	byID := map[string]standards.FragranceUse{}
	for _, f := range r.Fragrances {
		byID[f.Ingredient] = f
	}
	assert.Equal(t, "0.667", byID["fo-a"].Ratio.Fixed(3))
	assert.Equal(t, "0.455", byID["fo-b"].Ratio.Fixed(3))
	require.NotEmpty(t, r.FragranceSums)
	assert.Equal(t, "1.121", r.FragranceSums[0].Ratio.Fixed(3))
	assert.Contains(t, formulatest.Codes(r.Findings), "ask fragrance-sum")
	assert.NotContains(t, formulatest.Codes(r.Findings), "stop fragrance-over")
}

// Hand-computed: 27 % of a surfactant blend (glucoside 50-55, salt below 2, the
// rest water) in water with 0.8 % fragrance.
//
//	glucoside 27 × 50…55 / 100 = 13.5 … 14.85, typical 14.175
//	salt      27 × 0…2 / 100 = 0 … 0.54, typical 0.27
//	water in the blend 43 … 50, typical 46.5: 11.61 … 13.5, typical 12.555
//	added water 100 − 27 − 0.8 = 72.2, so Aqua 83.81 … 85.7, typical 84.755
func TestComposeByHand(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "blend", "27", "fo", "0.8")
	r := calctest.Assess(t, p, &formula.Variant{}, "shower-gel", rows.EU, 20261125,
		formulatest.Sheet(t, "water", "Water", "100"),
		formulatest.Sheet(t, "blend", "Aqua", "q.s.", "Decyl Glucoside", "50-55", "Sodium Chloride", "<2"),
		formulatest.ScentSheet("fo"))
	got := map[string][3]string{}
	var sum exact.Num
	for _, s := range r.Whole().Substances {
		got[s.INCI] = formulatest.ExactRange(s.Pct)
		sum = sum.Add(s.Pct.Typ)
	}
	assert.Equal(t, map[string][3]string{
		"Aqua":            {"83.81", "84.755", "85.7"},
		"Decyl Glucoside": {"13.5", "14.175", "14.85"},
		"Sodium Chloride": {"0", "0.27", "0.54"},
		"Parfum":          {"0.8", "0.8", "0.8"},
	}, got)
	assert.Equal(t, "100", sum.Exact())
	aqua := r.Whole().Find("Aqua")
	require.Len(t, aqua.Contributions, 2)
	assert.Equal(t, "water", aqua.Contributions[0].Ingredient)
	assert.Equal(t, [3]string{"43", "46.5", "50"}, formulatest.ExactRange(aqua.Contributions[1].InMaterial))
	assert.Equal(t, "Aqua, Decyl Glucoside, Parfum, Sodium Chloride", r.List.Line())
}

// An allergen that stands in the composition and in the declaration of the same
// material counts once; in two materials it adds up.
func TestDeclaredAllergenCountsOnce(t *testing.T) {
	oil := formulatest.Declared(t,
		formulatest.Sheet(t, "oil", "Juniperus Communis Fruit Oil", "q.s.", "Limonene", "4"), ingredients.List2023,
		"Limonene", "3-6")
	scent := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Limonene", "10")
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "oil", "1", "fo", "0.5")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-butter", rows.EU, 20261125,
		formulatest.Sheet(t, "base", "Squalane", "100"), oil, scent)
	// oil: listed 0.04, declared up to 0.06, so 0.04 to 0.06; fragrance 0.05
	assert.Equal(t, [3]string{"0.09", "0.11", "declare"}, totals(r)["Limonene"])
}

// Article 19 and Annex III: exactly at the threshold is not above it.
func TestAllergenAtTheThreshold(t *testing.T) {
	for _, c := range []struct{ pct, verdict string }{{"0.1", "below"}, {"0.1000001", "declare"}, {"0.05-0.2", "open"}} {
		p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1")
		r := calctest.Assess(t, p, &formula.Variant{}, "body-butter", rows.GB, 20261125,
			formulatest.Sheet(t, "base", "Squalane", "100"),
			formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", c.pct))
		assert.Equal(t, c.verdict, totals(r)["Linalool"][2], c.pct)
	}
}

// A portion is judged on its own: 60 % of the pack with 1 % of a fragrance that
// holds 0.15 % linalool are 0.0009 % of the whole, below the threshold of
// 0.001 %, and 0.0015 % of the portion, above it.
func TestAllergenInThePortionGoverns(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":scent", "1")
	v := &formula.Variant{Portions: []formula.Portion{{Name: "moss", SharePct: formulatest.Num(t, "60"),
		Fill: []formula.Fill{formulatest.Fill("scent", "fo")}}, {Name: "plain", SharePct: formulatest.Num(t, "40")}}}
	r := calctest.Assess(t, p, v, "body-butter", rows.GB, 20261125, formulatest.Sheet(t, "base", "Squalane", "100"),
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "0.15"))
	require.Len(t, r.Allergens, 1)
	a := r.Allergens[0]
	assert.Equal(t, []string{"0.0009", "0.0015", "moss", "declare"},
		[]string{a.Whole.Max.Exact(), a.Worst.Max.Exact(), a.WorstIn, string(a.Verdict)})
	assert.Equal(t, "Squalane, Parfum, Linalool", r.List.Line())
}

// What lies outside the supplier's list is unstated, not zero: against the
// longer list the 57 further names are asked for.
func TestShortDeclarationLeavesNamesUnstated(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-butter", rows.EU, 20261125,
		formulatest.Sheet(t, "base", "Squalane", "100"),
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "3"))
	unstated := 0
	for _, a := range r.Allergens {
		if a.Verdict == listing.Unstated {
			unstated++
		}
	}
	assert.Equal(t, 57, unstated) // allergens.md: 81 names less the 24 of the older list
	assert.Contains(t, formulatest.Codes(r.Findings), "ask short-declaration")
	// Too little of it to lift anything above 0.001 %: nothing to ask for.
	p = formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "0.001")
	r = calctest.Assess(t, p, &formula.Variant{}, "body-butter", rows.EU, 20261125,
		formulatest.Sheet(t, "base", "Squalane", "100"),
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "3"))
	assert.NotContains(t, formulatest.Codes(r.Findings), "ask short-declaration")
}
