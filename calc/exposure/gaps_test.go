package exposure_test

import (
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/ingredients"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestGapsOfValues: what is open is a gap once, and has a figure on the safe side.
func TestGapsOfValues(t *testing.T) {
	// a Cramer class screens and is no value: one gap, not two
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "", "", "", "").CramerClass = "III"
	r := calctest.Job(t, "body-lotion", "1", m, nil)
	require.Len(t, calctest.Gaps(r, "ttc-only"), 1)
	for _, g := range calctest.Gaps(r, "no-pod") {
		assert.NotEqual(t, "Exemplum Acid", g.Subject)
	}

	// without a lye named, the lye that is safe is told as KOH
	p := calctest.PotashSoap(t, func(p *formula.Product, _ *ingredients.Sheet) { p.Saponify.Alkali = nil })
	assert.Equal(t, "9", p.Reactions[0].SafePct.Exact())
}
