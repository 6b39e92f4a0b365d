package listing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
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
		l, _ := order(formulatest.WithFormula(t, formula.Percent, "a", c.pct, "b", "40", "oil", "10", "water",
			c.water), &formula.Variant{}, nil, formulatest.Sheet(t, "oil", "Squalane", "100"),
			formulatest.Sheet(t, "water", "Aqua", "100"),
			formulatest.Sheet(t, "a", "Exemplum Acid", c.x, "Aqua", "q.s."),
			formulatest.Sheet(t, "b", "Zinc Exemplate", "32-68", "Aqua", "q.s."))
		require.Len(t, l.Open, 1, c.x)
		assert.Equal(t, OpenPair{First: "Exemplum Acid", Second: "Zinc Exemplate",
			LeastPct: formulatest.Num(t, c.least), Materials: c.materials, Together: c.together}, l.Open[0], c.x)
	}
}

// Materials that pull alike are named in the order of their names; one whose content
// is exact pulls nothing. Two blends of 44 %, X 45 to 55 and Y 43 to 53, with 1 % of pure
// X: X 20.8 to 25.2, typical 23; Y 18.92 to 23.32, typical 21.12: at least −2.52, each
// known alone +2.2.
func TestEqualPullsStandByName(t *testing.T) {
	l, _ := order(formulatest.WithFormula(t, formula.Percent, "m2", "44", "m1", "44", "pure", "1", "oil", "11"),
		&formula.Variant{}, nil, formulatest.Sheet(t, "oil", "Squalane", "100"),
		formulatest.Sheet(t, "pure", "Exemplum Acid", "100"),
		formulatest.Sheet(t, "m2", "Exemplum Acid", "45-55", "Aqua", "q.s."),
		formulatest.Sheet(t, "m1", "Zinc Exemplate", "43-53", "Aqua", "q.s."))
	require.Len(t, l.Open, 1)
	assert.Equal(t, "-2.52", l.Open[0].LeastPct.Exact())
	assert.Equal(t, []string{"m1", "m2"}, l.Open[0].Materials)
	assert.True(t, l.Open[0].Together)
}

// Lines of one material are one use of it, in the order of the first.
func TestUsesOfAMixture(t *testing.T) {
	mix := formula.Mixture{Shares: []formula.Share{{Ingredient: "a", Pct: formulatest.Num(t, "1")},
		{Ingredient: "b", Pct: formulatest.Num(t, "2")}, {Ingredient: "a", Pct: formulatest.Num(t, "3")}}}
	assert.Equal(t, []formula.Use{{Ingredient: "a", Pct: formulatest.Num(t, "4")},
		{Ingredient: "b", Pct: formulatest.Num(t, "2")}}, formula.UseOf(mix))
	assert.Empty(t, formula.UseOf(formula.Mixture{}))
}

// A material that names a substance twice, 0 to 50 % each, beside at most 40 % of
// another: of 100 parts at least 60 are the first.
func TestLeastDifferenceOfRepeatedParts(t *testing.T) {
	m := &formula.Material{Parts: []formula.Part{{Pct: formulatest.Range(t, "0-50")},
		{Pct: formulatest.Range(t, "0-50")}, {Pct: formulatest.Range(t, "0-40")}}}
	for i, typ := range []string{"40", "35", "25"} {
		m.Parts[i].Pct.Typ = formulatest.Num(t, typ)
	}
	least, typical := leastDifference(m, []int{0, 1}, []int{2})
	assert.Equal(t, "20", least.Exact())   // 60 − 40
	assert.Equal(t, "50", typical.Exact()) // 40 + 35 − 25
}

// Declared allergens vary inside their material on their own: 2 to 4 % before 1 to 3 % may be
// 1 % less.
func TestOpenPlaceOfAllergens(t *testing.T) {
	first := &ListEntry{Name: "Linalool", Kind: EntryAllergen, Pct: formulatest.Range(t, "2-4")}
	second := &ListEntry{Name: "Limonene", Kind: EntryAllergen, Pct: formulatest.Range(t, "1-3")}
	pair, open := openPair(first, second, nil, nil)
	assert.True(t, open)
	assert.Equal(t, "-1", pair.LeastPct.Exact())
	assert.True(t, pair.Together)
	second.Pct = formulatest.Range(t, "1-2")
	_, open = openPair(first, second, nil, nil)
	assert.False(t, open, "as much at least")
}
