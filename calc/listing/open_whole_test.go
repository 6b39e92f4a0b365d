package listing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/ingredients"
)

// A declared allergen varies on its own: 30 % of a scent with 5 to 15 % linalool is
// 1.5 to 4.5, typical 3, after 3.2 of glycerin: it could be 1.3 more.
func TestOpenPlaceOfAnAllergen(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "5-15")
	result := func(glycerin string) *calc.Result {
		p := withFormula(t, formula.Percent, "base", "q.s.", "fo", "30", "glycerin", glycerin)
		return assessed(t, p, &formula.Variant{}, "body-lotion", rows.EU, today, squalane(t), supplied(fo, "Alder Supplies (invented)", ""), sheet(t, "glycerin", "Glycerin", "100"))
	}
	at := func(glycerin string) *listing.List { return result(glycerin).List }
	assert.Equal(t, "Squalane, Parfum, Glycerin, Linalool", at("3.2").Line())
	require.Len(t, at("3.2").Open, 1)
	assert.Equal(t, "-1.3", at("3.2").Open[0].LeastPct.Exact())
	require.Len(t, at("2").Open, 1)
	assert.Equal(t, "-0.5", at("2").Open[0].LeastPct.Exact()) // 1.5 − 2
	assert.Empty(t, at("4.5").Open)

	f := findingOf(t, result("2"), "open-order")
	assert.Equal(t, "ask for the exact composition of fo", said(f).Fix, "whose declaration has the range")
	assert.Equal(t, "Alder Supplies (invented)", said(f).Ask)

	allergens := []listing.AllergenTotal{{LabelName: "Linalool", Contributions: []formula.Contribution{{Ingredient: "fo", InMaterial: rangeOf(t, "1-2")}, {Ingredient: "oil", InMaterial: rangeOf(t, "1")}}},
		{LabelName: "Citral", Contributions: []formula.Contribution{{Ingredient: "peel", InMaterial: rangeOf(t, "1-2")}}}}
	assert.Equal(t, []string{"a", "fo"}, calc.Settling(listing.OpenPair{First: "Glycerin", Second: "Linalool", Materials: []string{"a"}, Together: true}, allergens))
	assert.Equal(t, []string{"fo"}, calc.Settling(listing.OpenPair{First: "Linalool", Second: "Glycerin", Materials: []string{"fo"}, Together: true}, allergens))
	assert.Equal(t, []string{"a"}, calc.Settling(listing.OpenPair{First: "Glycerin", Second: "Linalool", Materials: []string{"a"}}, allergens), "it settles the place alone")
}
