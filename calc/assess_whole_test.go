package calc_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/masses"
	"gallipot/ingredients"
)

// Findings of a batch as weighed hold those of its allergens; no exposure is one finding,
// whoever uses the product; what is screened is named among the defaults, what is not
// absorbed poorly is not.
func TestFindingsThatStandAlone(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linaloool", "1")
	r := limitCase{product: "body-lotion"}.of(t, fo, "1")
	assert.Contains(t, formulatest.Codes(masses.CheckMade(r.Input, r.Recipe).Findings), "ask unlisted-allergen")
	_, found := exposureOf(t, "nail-oil", formula.ChildrenThree, nil)
	assert.Equal(t, []string{"ask no-exposure"}, found)
	r = calctest.Job(t, "shower-gel", "1", formulatest.Sheet(t, "m", "Lactic Acid", "100"), nil)
	require.Len(t, calctest.Gaps(r, "absorption-default"), 1)
	assert.Equal(t, "Lactic Acid", calctest.Gaps(r, "absorption-default")[0].Subject)
	assert.Empty(t, calctest.Gaps(r, "absorption-poor"))
}
