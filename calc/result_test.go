package calc

import (
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/listing"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is said of a list that cannot be printed as it stands.
func TestListFindingsInWords(t *testing.T) {
	blend := formulatest.Supplied(formulatest.Sheet(t, "blend", "A", "9-16", "B", "4-12", "Aqua", "q.s."),
		"Alder Supplies (invented)", "")
	blend.Composition.Pos = exact.Pos{File: "ingredients/blend.yaml", Line: 5}
	in := &formula.Input{Session: formulatest.Session(table.Builtin()),
		Product: &formula.Product{ID: "test", Pos: exact.Pos{File: "p", Line: 1},
			TailPos: exact.Pos{File: "p", Line: 9}}, Sheets: map[string]*ingredients.Sheet{"blend": blend}}
	pair := listing.OpenPair{First: "A", Second: "B", LeastPct: formulatest.Num(t, "-0.31234"),
		Materials: []string{"blend", "other"}}
	list := func(pair listing.OpenPair) finding.Finding {
		fs := listFindings(in, &Result{List: &listing.List{Open: []listing.OpenPair{pair}}})
		require.Equal(t, []string{"ask open-order"}, formulatest.Codes(fs))
		return fs[0]
	}
	f := list(pair)
	assert.Equal(t, "listed in this order by typical content, but within the ranges declared the first could be less than the second", wordstest.Said(f).Message)
	assert.Equal(t, "ask for the exact composition of blend or other", wordstest.Said(f).Fix)
	assert.Equal(t, "Alder Supplies (invented)", wordstest.Said(f).Ask)
	assert.Equal(t, blend.Composition.Pos, f.Pos)
	assert.Equal(t, "smallest possible difference: -0.312 % of the product", wordstest.Term(f.Sum[0]))
	pair.Together = true
	assert.Equal(t, "ask for the exact composition of blend and other", wordstest.Said(list(pair)).Fix)
	pair.Materials = []string{"unknown"}
	f = list(pair)
	assert.Equal(t, "the supplier", wordstest.Said(f).Ask)
	assert.Equal(t, in.Product.Pos, f.Pos)
	pair.Materials = nil
	assert.Equal(t, in.Product.Pos, list(pair).Pos)
	pair.Materials = []string{"lye reaction of rose"}
	assert.Equal(t, "ask for the exact composition of lye reaction of rose", wordstest.Said(list(pair)).Fix)
	in.Product.Saponify = &formula.Saponification{}
	assert.Equal(t, "ask for the saponification values of the lots and enter them under saponify: values; the order rests on their ranges", wordstest.Said(list(pair)).Fix)
	pair.Materials = []string{"blend"}
	assert.Equal(t, "ask for the exact composition of blend", wordstest.Said(list(pair)).Fix)

	entries := &listing.List{Entries: []listing.ListEntry{{Name: "Aqua"},
		{Name: "undeclared part of blend", Kind: listing.EntryUndeclared}}}
	fs := listFindings(in, &Result{List: entries})
	require.Equal(t, []string{"ask list-incomplete"}, formulatest.Codes(fs))
	assert.Equal(t, "the ingredient list cannot be printed, because undeclared part of blend stands for substances with no name", wordstest.Said(fs[0]).Message)
	in.Product.TailOrder = []string{"AQUA", "Aqau", "Exemplum"}
	fs = listFindings(in, &Result{List: &listing.List{Entries: entries.Entries[:1]}})
	require.Equal(t, []string{"note tail-order", "note tail-order"}, formulatest.Codes(fs))
	assert.Equal(t, "it is named in tail_order but is not in the list", wordstest.Said(fs[0]).Message)
	assert.Equal(t, "did you mean Aqua?", wordstest.Said(fs[0]).Fix)
	assert.Equal(t, "take it out of tail_order", wordstest.Said(fs[1]).Fix)
	assert.Equal(t, in.Product.TailPos, fs[0].Pos)
}

// A declared allergen varies on its own: 30 % of a scent with 5 to 15 % linalool is
// 1.5 to 4.5, typical 3, after 3.2 of glycerin: it could be 1.3 more.
func TestOpenPlaceOfAnAllergen(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "5-15")
	result := func(glycerin string) *Result {
		p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "30", "glycerin", glycerin)
		return assessed(t, p, &formula.Variant{}, "body-lotion", rows.EU, today, formulatest.Squalane(t),
			formulatest.Supplied(fo, "Alder Supplies (invented)", ""), formulatest.Sheet(t, "glycerin", "Glycerin", "100"))
	}
	at := func(glycerin string) *listing.List { return result(glycerin).List }
	assert.Equal(t, "Squalane, Parfum, Glycerin, Linalool", at("3.2").Line())
	require.Len(t, at("3.2").Open, 1)
	assert.Equal(t, "-1.3", at("3.2").Open[0].LeastPct.Exact())
	require.Len(t, at("2").Open, 1)
	assert.Equal(t, "-0.5", at("2").Open[0].LeastPct.Exact()) // 1.5 − 2
	assert.Empty(t, at("4.5").Open)

	f := findingOf(t, result("2"), "open-order")
	assert.Equal(t, "ask for the exact composition of fo", wordstest.Said(f).Fix, "whose declaration has the range")
	assert.Equal(t, "Alder Supplies (invented)", wordstest.Said(f).Ask)

	allergens := []listing.AllergenTotal{{LabelName: "Linalool",
		Contributions: []formula.Contribution{{Ingredient: "fo", InMaterial: formulatest.Range(t, "1-2")},
			{Ingredient: "oil", InMaterial: formulatest.Range(t, "1")}}},
		{LabelName: "Citral", Contributions: []formula.Contribution{{Ingredient: "peel",
			InMaterial: formulatest.Range(t, "1-2")}}}}
	assert.Equal(t, []string{"a", "fo"},
		settling(listing.OpenPair{First: "Glycerin", Second: "Linalool", Materials: []string{"a"}, Together: true},
			allergens))
	assert.Equal(t, []string{"fo"},
		settling(listing.OpenPair{First: "Linalool", Second: "Glycerin", Materials: []string{"fo"}, Together: true},
			allergens))
	assert.Equal(t, []string{"a"},
		settling(listing.OpenPair{First: "Glycerin", Second: "Linalool", Materials: []string{"a"}}, allergens),
		"it settles the place alone")
}
