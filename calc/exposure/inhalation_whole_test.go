package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula/formulatest"
)

// TestInhaledPartIsAdded: coumarin 1 % in a face mist.
//
//	SED = 24.14 × 1 % × 50 % + 0.0015015 × 1 % = 0.1207 + 0.000015015
func TestInhaledPartIsAdded(t *testing.T) {
	x := calctest.Margin(t, calctest.Job(t, "face-mist", "1", formulatest.Sheet(t, "m", "Coumarin", "100"), nil),
		"Coumarin")
	assert.InDelta(t, 0.1207, x.SED.Skin, 1e-9)
	assert.InDelta(t, 0.000015015, x.SED.Inhaled, 1e-12)
	assert.InDelta(t, 0.120715015, x.SED.Max, 1e-12)
	assert.Contains(t, x.Arithmetic(), "inhaled")
	// what the skin does not take up may still be breathed in
	x = calctest.Margin(t, calctest.Job(t, "face-powder", "10",
		formulatest.Sheet(t, "m", "Titanium Dioxide", "100"), nil), "Titanium Dioxide")
	assert.Equal(t, exposure.NoMarginNoThreshold, x.None)
	assert.Positive(t, x.SED.Inhaled)
}
