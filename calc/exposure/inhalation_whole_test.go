package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/exposure"
)

// TestInhaledPartIsAdded: coumarin 1 % in a face mist.
//
//	SED = 24.14 × 1 % × 50 % + 0.0015015 × 1 % = 0.1207 + 0.000015015
func TestInhaledPartIsAdded(t *testing.T) {
	x := marginOf(t, job(t, "face-mist", "1", sheet(t, "m", "Coumarin", "100"), nil), "Coumarin")
	assert.InDelta(t, 0.1207, x.SED.Skin, 1e-9)
	assert.InDelta(t, 0.000015015, x.SED.Inhaled, 1e-12)
	assert.InDelta(t, 0.120715015, x.SED.Max, 1e-12)
	assert.Contains(t, x.Arithmetic, "inhaled")
	// what the skin does not take up may still be breathed in
	x = marginOf(t, job(t, "face-powder", "10", sheet(t, "m", "Titanium Dioxide", "100"), nil), "Titanium Dioxide")
	assert.Equal(t, exposure.NoMarginNoThreshold, x.None)
	assert.Positive(t, x.SED.Inhaled)
}
