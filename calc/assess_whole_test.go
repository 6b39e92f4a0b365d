package calc_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/masses"
	"gallipot/ingredients"
)

// Findings of a batch as weighed hold those of its allergens; no exposure is one finding,
// whoever uses the product; what is screened is named among the defaults, what is not
// absorbed poorly is not.
func TestFindingsThatStandAlone(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linaloool", "1")
	r := limitCase{product: "body-lotion"}.of(t, fo, "1")
	assert.Contains(t, codes(masses.CheckMade(r.Input, r.Recipe).Findings), "ask unlisted-allergen")
	_, found := exposureOf(t, "nail-oil", formula.ChildrenThree, nil)
	assert.Equal(t, []string{"ask no-exposure"}, found)
	r = job(t, "shower-gel", "1", sheet(t, "m", "Lactic Acid", "100"), nil)
	require.Len(t, gapsBy(r, "absorption-default"), 1)
	assert.Equal(t, "Lactic Acid", gapsBy(r, "absorption-default")[0].Subject)
	assert.Empty(t, gapsBy(r, "absorption-poor"))

	twice := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "1", "Linalool", "2", "Linalool", "3")
	for i := range twice.Allergens.Declared {
		twice.Allergens.Declared[i].Pos.Line = 10 + i
	}
	for _, f := range formula.DeclarationFindings(twice, ingredients.NewDictionary()) {
		assert.Contains(t, said(f).Message, "is declared twice, first on line 10")
	}
	scent := scentSheet("fo")
	scent.Pos.Line, scent.Composition.Pos.Line = 3, 9
	assert.Equal(t, 3, formula.Prepare(scent, ingredients.NewDictionary()).Parts[0].Pos.Line)
}
