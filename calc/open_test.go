package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Two blends, each of one substance and water, beside oil and water, by hand. B is 40 % of the
// product with 32 to 68 % of Y: 12.8 to 27.2, typical 20; it pulls by 7.2.
//
//	A 45 % with 45 to 55 of X: 20.25 to 24.75; X − Y at least −6.95; B known: +0.25: B alone
//	A 50 % with 40 to 50 of X: 20 to 25; −7.2; B known: 0, which settles it
//	A 44 % with 40 to 60 of X: 17.6 to 26.4; −9.6; B: −2.4, A (4.4): −5.2: both together, B first
func TestWhoSettlesAnOpenPlace(t *testing.T) {
	for _, c := range []struct {
		pct, x, water, least string
		materials            []string
		together             bool
	}{
		{"45", "45-55", "5", "-6.95", []string{"b"}, false},
		{"50", "40-50", "0", "-7.2", []string{"b"}, false},
		{"44", "40-60", "6", "-9.6", []string{"b", "a"}, true},
	} {
		l, _ := order(formula(t, Percent, "a", c.pct, "b", "40", "oil", "10", "water", c.water), &Variant{}, nil, sheet(t, "oil", "Squalane", "100"), sheet(t, "water", "Aqua", "100"),
			sheet(t, "a", "Exemplum Acid", c.x, "Aqua", "q.s."), sheet(t, "b", "Zinc Exemplate", "32-68", "Aqua", "q.s."))
		require.Len(t, l.Open, 1, c.x)
		assert.Equal(t, OpenPair{First: "Exemplum Acid", Second: "Zinc Exemplate", LeastPct: num(t, c.least), Materials: c.materials, Together: c.together}, l.Open[0], c.x)
	}
}

// Materials that pull alike are named in the order of their names; one whose content
// is exact pulls nothing. Two blends of 44 %, X 45 to 55 and Y 43 to 53, with 1 % of pure
// X: X 20.8 to 25.2, typical 23; Y 18.92 to 23.32, typical 21.12: at least −2.52, each
// known alone +2.2.
func TestEqualPullsStandByName(t *testing.T) {
	l, _ := order(formula(t, Percent, "m2", "44", "m1", "44", "pure", "1", "oil", "11"), &Variant{}, nil, sheet(t, "oil", "Squalane", "100"), sheet(t, "pure", "Exemplum Acid", "100"),
		sheet(t, "m2", "Exemplum Acid", "45-55", "Aqua", "q.s."), sheet(t, "m1", "Zinc Exemplate", "43-53", "Aqua", "q.s."))
	require.Len(t, l.Open, 1)
	assert.Equal(t, "-2.52", l.Open[0].LeastPct.Exact())
	assert.Equal(t, []string{"m1", "m2"}, l.Open[0].Materials)
	assert.True(t, l.Open[0].Together)
}

// Lines of one material are one use of it, in the order of the first.
func TestUsesOfAMixture(t *testing.T) {
	mix := Mixture{Shares: []Share{{Ingredient: "a", Pct: num(t, "1")}, {Ingredient: "b", Pct: num(t, "2")}, {Ingredient: "a", Pct: num(t, "3")}}}
	assert.Equal(t, []use{{"a", num(t, "4")}, {"b", num(t, "2")}}, useOf(mix))
	assert.Empty(t, useOf(Mixture{}))
}

// A material that names a substance twice, 0 to 50 % each, beside at most 40 % of
// another: of 100 parts at least 60 are the first.
func TestLeastDifferenceOfRepeatedParts(t *testing.T) {
	m := &Material{Parts: []Part{{Pct: rangeOf(t, "0-50")}, {Pct: rangeOf(t, "0-50")}, {Pct: rangeOf(t, "0-40")}}}
	for i, typ := range []string{"40", "35", "25"} {
		m.Parts[i].Pct.Typ = num(t, typ)
	}
	least, typical := leastDifference(m, []int{0, 1}, []int{2})
	assert.Equal(t, "20", least.Exact())   // 60 − 40
	assert.Equal(t, "50", typical.Exact()) // 40 + 35 − 25
}

// A declared allergen varies on its own: 30 % of a scent with 5 to 15 % linalool is
// 1.5 to 4.5, typical 3, after 3.2 of glycerin: it could be 1.3 more.
func TestOpenPlaceOfAnAllergen(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "5-15")
	result := func(glycerin string) *Result {
		p := formula(t, Percent, "base", "q.s.", "fo", "30", "glycerin", glycerin)
		return assessed(t, p, &Variant{}, "body-lotion", law.EU, today, squalane(t), supplied(fo, "Alder Supplies (invented)", ""), sheet(t, "glycerin", "Glycerin", "100"))
	}
	at := func(glycerin string) *List { return result(glycerin).List }
	assert.Equal(t, "Squalane, Parfum, Glycerin, Linalool", at("3.2").Line())
	require.Len(t, at("3.2").Open, 1)
	assert.Equal(t, "-1.3", at("3.2").Open[0].LeastPct.Exact())
	require.Len(t, at("2").Open, 1)
	assert.Equal(t, "-0.5", at("2").Open[0].LeastPct.Exact()) // 1.5 − 2
	assert.Empty(t, at("4.5").Open)

	f := findingOf(t, result("2"), "open-order")
	assert.Equal(t, "ask for the exact composition of fo", said(f).Fix, "whose declaration has the range")
	assert.Equal(t, "Alder Supplies (invented)", said(f).Ask)

	allergens := []AllergenTotal{{LabelName: "Linalool", Contributions: []Contribution{{Ingredient: "fo", InMaterial: rangeOf(t, "1-2")}, {Ingredient: "oil", InMaterial: rangeOf(t, "1")}}},
		{LabelName: "Citral", Contributions: []Contribution{{Ingredient: "peel", InMaterial: rangeOf(t, "1-2")}}}}
	assert.Equal(t, []string{"a", "fo"}, settling(OpenPair{First: "Glycerin", Second: "Linalool", Materials: []string{"a"}, Together: true}, allergens))
	assert.Equal(t, []string{"fo"}, settling(OpenPair{First: "Linalool", Second: "Glycerin", Materials: []string{"fo"}, Together: true}, allergens))
	assert.Equal(t, []string{"a"}, settling(OpenPair{First: "Glycerin", Second: "Linalool", Materials: []string{"a"}}, allergens), "it settles the place alone")
}
