package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Sums that fail, by hand, and what is shown of them: scaled to 100.
func TestSumsThatFail(t *testing.T) {
	r, fs := Resolve(formula(t, Percent, "water", "95", "oil", "10"), &Variant{}, tolerance)
	require.Equal(t, []string{"stop not-100"}, codes(fs))
	assert.Equal(t, "the lines add up to 105 %, 5 % above 100", said(fs[0]).Message)
	assert.Equal(t, "105", r.TotalPct.Exact())
	assert.Equal(t, []string{"water 1900/21", "oil 200/21"}, sharesText(r.Whole)) // × 100 / 105

	r, fs = Resolve(formula(t, Percent, "water", "q.s.", "oil", "60", "wax", "65"), &Variant{}, tolerance)
	require.Equal(t, []string{"stop over-100"}, codes(fs))
	assert.Equal(t, "the other lines already add up to 125 %, so nothing is left for q.s.", said(fs[0]).Message)
	assert.Equal(t, "reduce the other lines by more than 25 % in all", said(fs[0]).Fix)
	require.Len(t, fs[0].Sum, 2)
	assert.Equal(t, "60 % oil", termText(fs[0].Sum[0]))
	assert.Equal(t, []string{"water 0", "oil 48", "wax 52"}, sharesText(r.Whole)) // × 100 / 125

	_, fs = Resolve(formula(t, Percent, "water", "80", "oil", "10", ":scent", "1"), &Variant{}, tolerance)
	require.Equal(t, []string{"stop not-100"}, codes(fs))
	assert.Equal(t, "the lines add up to 91 %, 9 % short of 100", said(fs[0]).Message)
	require.Len(t, fs[0].Sum, 3)
	assert.Equal(t, "1 % in the empty slot scent", termText(fs[0].Sum[2]))
	// exactly the tolerance of 0.01 is kept, either way, and figures are used as typed
	for _, water := range []string{"90.01", "89.99"} {
		r, fs = Resolve(formula(t, Percent, "water", water, "oil", "10"), &Variant{}, tolerance)
		assert.Empty(t, fs)
		assert.Equal(t, []string{"water " + water, "oil 10"}, sharesText(r.Whole))
	}
}

// Portions, by hand: 104 parts with the addition. Rose: 97 base, 3 scent, 4 stone of
// 104; plain: 100 and 4. Whole, 60 to 40: base (58.2 + 40)/1.04, scent 1.8/1.04.
func TestPortionsWithAddition(t *testing.T) {
	p := formula(t, Percent, "base", "q.s.", ":scent", "3")
	r, fs := Resolve(p, &Variant{ThenAdd: []Addition{{Ingredient: "stone", Parts: num(t, "4")}}, Portions: []Portion{
		{Name: "rose", SharePct: num(t, "60"), Fill: []Fill{fill("scent", "fo")}}, {Name: "plain", SharePct: num(t, "40")},
	}}, tolerance)
	assert.Empty(t, fs)
	assert.Equal(t, "100", r.TotalPct.Exact())
	assert.Equal(t, []string{"base 2425/26", "fo 75/26", "stone 50/13"}, sharesText(r.Portions[0]))
	assert.Equal(t, []string{"base 1250/13", "stone 50/13"}, sharesText(r.Portions[1]))
	assert.Equal(t, []string{"base 2455/26", "fo 45/26", "stone 50/13"}, sharesText(r.Whole))
	assert.True(t, r.Portions[0].Shares[2].Added)
	assert.False(t, r.Portions[0].Shares[1].Added)
	assert.Equal(t, "60", r.Portions[0].SharePct.Exact())
	assert.Equal(t, "100", r.Whole.SharePct.Exact())

	// a mistake in a portion is found
	_, fs = Resolve(formula(t, Percent, "base", "90", ":scent", "3"), &Variant{Portions: []Portion{
		{Name: "rose", SharePct: num(t, "60"), Fill: []Fill{fill("scent", "fo")}}, {Name: "plain", SharePct: num(t, "40")}}}, tolerance)
	assert.Equal(t, []string{"stop not-100", "stop not-100"}, codes(fs))
}

// A declared content beside a listed one, bound by bound: of 1 % oil, listed 4 %,
// declared 3 to 6, 2 to 3 and 1 to 9 %.
func TestDeclaredBesideListed(t *testing.T) {
	for given, want := range map[string][3]string{
		"3-6": {"0.04", "0.045", "0.06"},
		"2-3": {"0.04", "0.04", "0.04"},
		"1-9": {"0.04", "0.05", "0.09"},
	} {
		oil := declared(t, sheet(t, "oil", "Juniperus Communis Fruit Oil", "q.s.", "Limonene", "4"), ingredients.List2023, "Limonene", given)
		oil.Functions = []string{"perfuming", "emollient"}
		r := assessed(t, formula(t, Percent, "base", "q.s.", "oil", "1"), &Variant{}, "body-butter", law.EU, 20261125, squalane(t), oil)
		s := r.Whole().Find("Limonene")
		assert.Equal(t, want, exactRange(s.Total), given)
		assert.Equal(t, [3]string{"0.04", "0.04", "0.04"}, exactRange(s.Pct))
		assert.Equal(t, []string{"perfuming", "emollient"}, s.Functions)
		declaredPart := s.ByRoute(ByDeclaration)
		assert.Equal(t, rangeOf(t, given).Max.Quo(hundred).Exact(), declaredPart.Max.Exact())
	}
}

// One substance from two materials: numbers and functions of both, none twice, and a
// material that is not there adds nothing.
func TestOneSubstanceFromTwoMaterials(t *testing.T) {
	a, b := sheet(t, "a", "Exemplum Acid", "50", "Aqua", "50"), sheet(t, "b", "Exemplum Acid", "100")
	a.Functions, b.Functions = []string{"buffering"}, []string{"buffering", "chelating"}
	b.Composition.Constituents[0].CAS, b.Composition.Constituents[0].EC = "999999-99-4", "200-001-8"
	dict := ingredients.NewDictionary()
	materials := PrepareAll(map[string]*ingredients.Sheet{"a": a, "b": b}, dict)
	r, _ := Resolve(formula(t, Percent, "a", "50", "b", "20", "missing", "30"), &Variant{}, tolerance)
	c := Compose(r.Whole, materials)
	s := c.Find("Exemplum Acid")
	assert.Equal(t, "45", s.Pct.Typ.Exact()) // 50 × 50 % + 20
	assert.Equal(t, []string{"999999-99-4", "200-001-8"}, []string{s.CAS, s.EC})
	assert.Equal(t, []string{"buffering", "chelating"}, s.Functions)
	assert.Len(t, c.Substances, 2)
	assert.Equal(t, "Exemplum Acid", c.Substances[0].INCI)
}

// Reports of undesirable effects: 3 of 12 000 units are 2.5 of 10 000. By hand.
func TestEffectRate(t *testing.T) {
	rate, ok := EffectRate(3, 12_000)
	assert.True(t, ok)
	assert.Equal(t, "2.5", rate.Exact())
	rate, ok = EffectRate(1, 1)
	assert.True(t, ok)
	assert.Equal(t, "10000", rate.Exact())
	_, ok = EffectRate(0, 0)
	assert.False(t, ok)
	_, ok = EffectRate(3, -1)
	assert.False(t, ok)
}

// Bounds of yields and deviations are kept at their figures: 95 and 102 %; 1 % of
// 1000 g either way; a division where it is as wide as the tolerance leaves the rule.
func TestBatchBoundsAtTheFigure(t *testing.T) {
	for out, usual := range map[string]bool{"950": true, "949.9": false, "1020": true, "1020.1": false} {
		y, ok := YieldOf(num(t, "1000"), num(t, out), ingredients.Num{}, num(t, "20"), law.Builtin())
		require.True(t, ok)
		assert.Equal(t, usual, y.Usual, out)
	}
	for g, within := range map[string]bool{"1010": true, "1010.1": false, "990": true, "989.9": false} {
		d := Deviations([]MadeLine{made(t, "water", "", "1000", g)}, nil, num(t, "0.1"), law.Builtin())
		require.Len(t, d, 1)
		assert.Equal(t, within, d[0].Within, g)
	}
	d := Deviations([]MadeLine{made(t, "water", "", "1000", "1010"), made(t, "none", "", "0", "1"), made(t, "dye", "", "10", "10"), made(t, "wax", "", "10.10101", "10")},
		nil, num(t, "10"), law.Builtin())
	require.Len(t, d, 3, "a plan of 0 g is no plan")
	assert.Equal(t, "weigh-tolerance-main", d[0].Rule.Key, "10 g of 1000 g are as wide as the division of 10 g")
	assert.Nil(t, d[1].Rule)
	assert.Equal(t, "10", d[1].AllowedG.Exact())
	// exactly 1 % of the plan is no small addition: 10 of 1000 g
	d = Deviations([]MadeLine{made(t, "water", "", "990", "990"), made(t, "dye", "", "10", "10")}, nil, num(t, "0.01"), law.Builtin())
	assert.Equal(t, "weigh-tolerance-main", d[1].Rule.Key)
	active := sheet(t, "a", "Niacinamide", "100")
	active.Functions = []string{"Skin-conditioning ACTIVE"}
	d = Deviations([]MadeLine{made(t, "a", "", "100", "100")}, PrepareAll(map[string]*ingredients.Sheet{"a": active}, ingredients.NewDictionary()), num(t, "0.01"), law.Builtin())
	assert.Equal(t, "weigh-tolerance-critical", d[0].Rule.Key)
}

// A batch of one mixture: 99 g and 1 g are 99 % and 1 %; looked at like a formula it
// has linalool 1 % × 0.2 % = 0.002 %, above 0.001 %, and a scent above its 0.5 %.
func TestBatchAsWeighed(t *testing.T) {
	fo := certified(t, declared(t, scentSheet("fo"), ingredients.List2003, "Linalool", "0.2"), "5A", "0.5")
	acid := material(t, "acid", "preservative", "Phenoxyethanol", "100")
	planned := assessed(t, formula(t, Percent, "base", "q.s.", "fo", "0.1", "acid", "0.9"), &Variant{}, "body-butter", law.GB, 20261125, squalane(t), fo, acid)
	assert.Empty(t, findingsOf(planned, "fragrance-over"))
	recipe, ok := MadeRecipe([]MadeLine{made(t, "base", "", "", "97.8"), made(t, "fo", "", "", "1"), made(t, "acid", "", "", "1.2"), made(t, "unused", "", "", "0")}, nil)
	require.True(t, ok)
	assert.Equal(t, []string{"base 97.8", "fo 1", "acid 1.2"}, sharesText(recipe.Whole))
	assert.Equal(t, "100", recipe.Whole.SharePct.Exact())
	r := CheckMade(planned.Input, recipe)
	assert.Same(t, planned.Input, r.Input)
	assert.Equal(t, [3]string{"0.002", "0.002", "declare"}, totals(r)["Linalool"])
	require.Len(t, r.Fragrances, 1)
	assert.Len(t, r.FragranceSums, 1)
	assert.Len(t, findingsOf(r, "fragrance-over"), 1)
	assert.Len(t, findingsOf(r, "over-limit"), 1, "phenoxyethanol 1 %, Annex V entry 29")
	assert.NotEmpty(t, r.Limits)

	// 600 g of base to 6 g of scent: all portions together are the whole
	recipe, ok = MadeRecipe([]MadeLine{made(t, "base", "", "", "600"), made(t, "fo", "a", "", "6")}, []MadePortion{{"a", num(t, "300")}, {"b", num(t, "300")}})
	require.True(t, ok)
	assert.Equal(t, "100", recipe.Whole.SharePct.Exact())
	assert.Equal(t, []string{"base 10000/101", "fo 100/101"}, sharesText(recipe.Whole))
	assert.Equal(t, "5100/101", recipe.Portions[0].SharePct.Exact()) // 306 of 606 g
}

// A soap as weighed reacts like the formula.
func TestSoapAsWeighed(t *testing.T) {
	planned := potashSoap(t, nil)
	in := *planned.Input
	in.Sheets, in.Materials = map[string]*ingredients.Sheet{}, map[string]*Material{}
	for id, s := range planned.Input.Sheets {
		if id != "lye reaction" {
			in.Sheets[id], in.Materials[id] = s, planned.Input.Materials[id]
		}
	}
	recipe, ok := MadeRecipe([]MadeLine{made(t, "oil", "", "", "500"), made(t, "koh", "", "", "120"), made(t, "water", "", "", "370"), made(t, "fo", "", "", "10")}, nil)
	require.True(t, ok)
	r := CheckMade(&in, recipe)
	require.Len(t, r.Reactions, 1)
	deltas(t, 1/.8, 2/.8, 3/.8, r.Reactions[0].FreeAlkali, "free lye") // as in TestLyeLeftOverByHand
	assert.Len(t, findingsOf(r, "lye-excess"), 1)
	assert.Nil(t, in.Sheets["lye reaction"], "the input stays as it was")
	assert.NotNil(t, r.Input.Sheets["lye reaction"])
}
