package masses_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/listing"
	"gallipot/calc/masses"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

func made(t testing.TB, ingredient, portion, planned, g string) masses.MadeLine {
	t.Helper()
	l := masses.MadeLine{Ingredient: ingredient, Portion: portion, G: formulatest.Num(t, g)}
	if planned != "" {
		l.PlannedG = formulatest.Ptr(formulatest.Num(t, planned))
	}
	return l
}

// deltas compares a range with three figures worked by hand.
func deltas(t testing.TB, low, middle, high float64, got exact.Range, what string) {
	t.Helper()
	assert.InDelta(t, low, got.Min.Float(), 1e-4, what+", lowest")
	assert.InDelta(t, middle, got.Typ.Float(), 1e-4, what+", middle")
	assert.InDelta(t, high, got.Max.Float(), 1e-4, what+", highest")
}

// Reports of undesirable effects: 3 of 12 000 units are 2.5 of 10 000. By hand.
func TestEffectRate(t *testing.T) {
	rate, ok := masses.EffectRate(3, 12_000)
	assert.True(t, ok)
	assert.Equal(t, "2.5", rate.Exact())
	rate, ok = masses.EffectRate(1, 1)
	assert.True(t, ok)
	assert.Equal(t, "10000", rate.Exact())
	_, ok = masses.EffectRate(0, 0)
	assert.False(t, ok)
	_, ok = masses.EffectRate(3, -1)
	assert.False(t, ok)
}

// Bounds of yields and deviations are kept at their figures: 95 and 102 %; 1 % of
// 1000 g either way; a division where it is as wide as the tolerance leaves the rule.
func TestBatchBoundsAtTheFigure(t *testing.T) {
	for out, usual := range map[string]bool{"950": true, "949.9": false, "1020": true, "1020.1": false} {
		y, ok := masses.YieldOf(formulatest.Num(t, "1000"), formulatest.Num(t, out), exact.Num{},
			formulatest.Num(t, "20"), table.Builtin())
		require.True(t, ok)
		assert.Equal(t, usual, y.Usual, out)
	}
	for g, within := range map[string]bool{"1010": true, "1010.1": false, "990": true, "989.9": false} {
		d := masses.Deviations([]masses.MadeLine{made(t, "water", "", "1000", g)}, nil, formulatest.Num(t, "0.1"),
			table.Builtin())
		require.Len(t, d, 1)
		assert.Equal(t, within, d[0].Within, g)
	}
	d := masses.Deviations([]masses.MadeLine{made(t, "water", "", "1000", "1010"), made(t, "none", "", "0", "1"),
		made(t, "dye", "", "10", "10"), made(t, "wax", "", "10.10101", "10")},
		nil, formulatest.Num(t, "10"), table.Builtin())
	require.Len(t, d, 3, "a plan of 0 g is no plan")
	assert.Equal(t, "weigh-tolerance-main", d[0].Rule.Key, "10 g of 1000 g are as wide as the division of 10 g")
	assert.Nil(t, d[1].Rule)
	assert.Equal(t, "10", d[1].AllowedG.Exact())
	// exactly 1 % of the plan is no small addition: 10 of 1000 g
	d = masses.Deviations([]masses.MadeLine{made(t, "water", "", "990", "990"), made(t, "dye", "", "10", "10")},
		nil, formulatest.Num(t, "0.01"), table.Builtin())
	assert.Equal(t, "weigh-tolerance-main", d[1].Rule.Key)
	active := formulatest.Sheet(t, "a", "Niacinamide", "100")
	active.Functions = []string{"Skin-conditioning ACTIVE"}
	d = masses.Deviations([]masses.MadeLine{made(t, "a", "", "100", "100")},
		formula.PrepareAll(map[string]*ingredients.Sheet{"a": active}, ingredients.NewDictionary()),
		formulatest.Num(t, "0.01"), table.Builtin())
	assert.Equal(t, "weigh-tolerance-critical", d[0].Rule.Key)
}

// A batch of one mixture: 99 g and 1 g are 99 % and 1 %; looked at like a formula it
// has linalool 1 % × 0.2 % = 0.002 %, above 0.001 %, and a scent above its 0.5 %.
func TestBatchAsWeighed(t *testing.T) {
	fo := formulatest.Certified(t,
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "0.2", "Exemplum Borealis", "0.1"), "5A", "0.5")
	acid := formulatest.Material(t, "acid", "preservative", "Phenoxyethanol", "100")
	planned := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "0.1",
		"acid", "0.9"), &formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo, acid)
	assert.Empty(t, calctest.Findings(planned, "fragrance-over"))
	recipe, ok := masses.MadeRecipe([]masses.MadeLine{made(t, "base", "", "", "97.8"),
		made(t, "fo", "", "", "1"), made(t, "acid", "", "", "1.2"), made(t, "unused", "", "", "0")}, nil)
	require.True(t, ok)
	assert.Equal(t, []string{"base 97.8", "fo 1", "acid 1.2"}, formulatest.Shares(recipe.Whole))
	assert.Equal(t, "100", recipe.Whole.SharePct.Exact())
	r := masses.CheckMade(planned.Input, recipe)
	assert.Same(t, planned.Input, r.Input)
	at := slices.IndexFunc(r.Allergens, func(a listing.AllergenTotal) bool { return a.LabelName == "Linalool" })
	require.GreaterOrEqual(t, at, 0)
	linalool := r.Allergens[at]
	assert.Equal(t, [3]string{"0.002", "0.002", "declare"}, [3]string{linalool.Worst.Min.Exact(),
		linalool.Worst.Max.Exact(),
		string(linalool.Verdict)})
	require.Len(t, r.Fragrances, 1)
	assert.Len(t, r.FragranceSums, 1)
	assert.Len(t, calctest.Findings(r, "fragrance-over"), 1)
	assert.Len(t, calctest.Findings(r, "over-limit"), 1, "phenoxyethanol 1 %, Annex V entry 29")
	assert.NotEmpty(t, r.Limits)
	assert.Len(t, calctest.Findings(r, "unlisted-allergen"), 1)

	// 600 g of base to 6 g of scent: all portions together are the whole
	recipe, ok = masses.MadeRecipe([]masses.MadeLine{made(t, "base", "", "", "600"),
		made(t, "fo", "a", "", "6")},
		[]masses.MadePortion{{Name: "a", BaseG: formulatest.Num(t, "300")}, {Name: "b", BaseG: formulatest.Num(t, "300")}})
	require.True(t, ok)
	assert.Equal(t, "100", recipe.Whole.SharePct.Exact())
	assert.Equal(t, []string{"base 10000/101", "fo 100/101"}, formulatest.Shares(recipe.Whole))
	assert.Equal(t, "5100/101", recipe.Portions[0].SharePct.Exact()) // 306 of 606 g
}

// A soap as weighed reacts like the formula.
func TestSoapAsWeighed(t *testing.T) {
	planned := calctest.PotashSoap(t, nil)
	in := *planned.Input
	in.Sheets, in.Materials = map[string]*ingredients.Sheet{}, map[string]*formula.Material{}
	for id, s := range planned.Input.Sheets {
		if id != "lye reaction" {
			in.Sheets[id], in.Materials[id] = s, planned.Input.Materials[id]
		}
	}
	recipe, ok := masses.MadeRecipe([]masses.MadeLine{made(t, "oil", "", "", "500"),
		made(t, "koh", "", "", "120"), made(t, "water", "", "", "370"), made(t, "fo", "", "", "10")}, nil)
	require.True(t, ok)
	r := masses.CheckMade(&in, recipe)
	require.Len(t, r.Reactions, 1)
	deltas(t, 1/.8, 2/.8, 3/.8, r.Reactions[0].FreeAlkali, "free lye") // as in TestLyeLeftOverByHand
	assert.Len(t, calctest.Findings(r, "lye-excess"), 1)
	assert.Nil(t, in.Sheets["lye reaction"], "the input stays as it was")
	assert.NotNil(t, r.Input.Sheets["lye reaction"])
}

// The whole and its portions as weighed, by hand: base 600 of which 200 go into one portion
// with 6 of scent, 400 into the other: 206 and 400 of 606; scent 6 of 606 = 100/101 %.
func TestPortionsAsWeighed(t *testing.T) {
	r, ok := masses.MadeRecipe([]masses.MadeLine{made(t, "base", "", "", "600"), made(t, "fo", "a", "", "6")},
		[]masses.MadePortion{{Name: "a", BaseG: formulatest.Num(t, "200")}, {Name: "b", BaseG: formulatest.Num(t, "400")}})
	require.True(t, ok)
	assert.Equal(t, "100", r.Whole.SharePct.Exact())
	assert.Equal(t, []string{"base 10000/101", "fo 100/101"}, formulatest.Shares(r.Whole))
	assert.Equal(t, []string{"10300/303", "20000/303"}, []string{r.Portions[0].SharePct.Exact(),
		r.Portions[1].SharePct.Exact()})
	assert.Equal(t, []string{"base 10000/103", "fo 300/103"}, formulatest.Shares(r.Portions[0]))
	assert.Equal(t, []string{"base 100"}, formulatest.Shares(r.Portions[1]))
	alone, ok := masses.MadeRecipe([]masses.MadeLine{made(t, "base", "", "", "600"), made(t, "fo", "", "", "0")}, nil)
	require.True(t, ok)
	assert.Equal(t, "100", alone.Whole.SharePct.Exact())
	assert.Equal(t, []string{"base 100"}, formulatest.Shares(alone.Whole))
	_, ok = masses.MadeRecipe([]masses.MadeLine{made(t, "base", "", "", "0")}, nil)
	assert.False(t, ok)
}

// What comes out above what went in is over it by more than the steps of the balance explain:
// of 1000 g with steps of 20 g that is above 1020 g.
func TestYieldAboveWhatWentIn(t *testing.T) {
	for out, over := range map[string]string{"1019": "0", "1020": "0", "1020.5": "20.5"} {
		y, ok := masses.YieldOf(formulatest.Num(t, "1000"), formulatest.Num(t, out), exact.Num{}, formulatest.Num(t, "20"),
			table.Builtin())
		require.True(t, ok)
		assert.Equal(t, over, y.OverG.Exact(), out)
	}
}
