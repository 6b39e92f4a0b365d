package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
)

// Sums that fail, by hand, and what is shown of them: scaled to 100.
func TestSumsThatFail(t *testing.T) {
	r, fs := Resolve(withFormula(t, Percent, "water", "95", "oil", "10"), &Variant{}, tolerance)
	require.Equal(t, []string{"stop not-100"}, codes(fs))
	assert.Equal(t, "the lines add up to 105 %, 5 % above 100", wordstest.Said(fs[0]).Message)
	assert.Equal(t, "105", r.TotalPct.Exact())
	assert.Equal(t, []string{"water 1900/21", "oil 200/21"}, sharesText(r.Whole)) // × 100 / 105

	r, fs = Resolve(withFormula(t, Percent, "water", "q.s.", "oil", "60", "wax", "65"), &Variant{}, tolerance)
	require.Equal(t, []string{"stop over-100"}, codes(fs))
	assert.Equal(t, "the other lines already add up to 125 %, so nothing is left for q.s.", wordstest.Said(fs[0]).Message)
	assert.Equal(t, "reduce the other lines by more than 25 % in all", wordstest.Said(fs[0]).Fix)
	require.Len(t, fs[0].Sum, 2)
	assert.Equal(t, "60 % oil", wordstest.Term(fs[0].Sum[0]))
	assert.Equal(t, []string{"water 0", "oil 48", "wax 52"}, sharesText(r.Whole)) // × 100 / 125

	_, fs = Resolve(withFormula(t, Percent, "water", "80", "oil", "10", ":scent", "1"), &Variant{}, tolerance)
	require.Equal(t, []string{"stop not-100"}, codes(fs))
	assert.Equal(t, "the lines add up to 91 %, 9 % short of 100", wordstest.Said(fs[0]).Message)
	require.Len(t, fs[0].Sum, 3)
	assert.Equal(t, "1 % in the empty slot scent", wordstest.Term(fs[0].Sum[2]))
	// exactly the tolerance of 0.01 is kept, either way, and figures are used as typed
	for _, water := range []string{"90.01", "89.99"} {
		r, fs = Resolve(withFormula(t, Percent, "water", water, "oil", "10"), &Variant{}, tolerance)
		assert.Empty(t, fs)
		assert.Equal(t, []string{"water " + water, "oil 10"}, sharesText(r.Whole))
	}
}

// Portions, by hand: 104 parts with the addition. Rose: 97 base, 3 scent, 4 stone of
// 104; plain: 100 and 4. Whole, 60 to 40: base (58.2 + 40)/1.04, scent 1.8/1.04.
func TestPortionsWithAddition(t *testing.T) {
	p := withFormula(t, Percent, "base", "q.s.", ":scent", "3")
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
	_, fs = Resolve(withFormula(t, Percent, "base", "90", ":scent", "3"), &Variant{Portions: []Portion{
		{Name: "rose", SharePct: num(t, "60"), Fill: []Fill{fill("scent", "fo")}},
		{Name: "plain", SharePct: num(t, "40")}}}, tolerance)
	assert.Equal(t, []string{"stop not-100", "stop not-100"}, codes(fs))
}

// One substance from two materials: numbers and functions of both, none twice, and a
// material that is not there adds nothing.
func TestOneSubstanceFromTwoMaterials(t *testing.T) {
	a, b := sheet(t, "a", "Exemplum Acid", "50", "Aqua", "50"), sheet(t, "b", "Exemplum Acid", "100")
	a.Functions, b.Functions = []string{"buffering"}, []string{"buffering", "chelating"}
	b.Composition.Constituents[0].CAS, b.Composition.Constituents[0].EC = "999999-99-4", "200-001-8"
	dict := ingredients.NewDictionary()
	materials := PrepareAll(map[string]*ingredients.Sheet{"a": a, "b": b}, dict)
	r, _ := Resolve(withFormula(t, Percent, "a", "50", "b", "20", "missing", "30"), &Variant{}, tolerance)
	c := Compose(r.Whole, materials)
	s := c.Find("Exemplum Acid")
	assert.Equal(t, "45", s.Pct.Typ.Exact()) // 50 × 50 % + 20
	assert.Equal(t, []string{"999999-99-4", "200-001-8"}, []string{s.CAS, s.EC})
	assert.Equal(t, []string{"buffering", "chelating"}, s.Functions)
	assert.Len(t, c.Substances, 2)
	assert.Equal(t, "Exemplum Acid", c.Substances[0].INCI)
}
