package recipe

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Headings as makers write them: common practice, no source.
func TestPhaseOf(t *testing.T) {
	d := reading(t)
	for text, want := range map[string]heading{
		"A":                            {id: "A"},
		"Phase A":                      {id: "A"},
		"Phase A (75 °C)":              {id: "A", name: "(75 °C)", heat: "75"},
		"PHASE 1 - POWDERS (mask on!)": {id: "1", name: "POWDERS (mask on!)"},
		"PHASE 3 - BELOW 45 °C":        {id: "3", name: "BELOW 45 °C", heat: "45"},
		"B: Oil phase":                 {id: "B", name: "Oil phase"},
		"Oil phase":                    {id: "Oil phase"},
		"At trace":                     {id: "At trace"},
		"Wasserphase:":                 {id: "Wasserphase"},
		"Fase acquosa":                 {id: "Fase acquosa"},
		"**Phase B**":                  {id: "B"},
	} {
		t.Run(text, func(t *testing.T) {
			h, ok := d.phaseOf(text)
			require.True(t, ok)
			require.Equal(t, want, h)
		})
	}
	for _, text := range []string{"Water", "Glycerin 99.5", "A big spoon of salt", "Fragrance 1", "melt everything but mica + mint in the bain marie", ""} {
		_, ok := d.phaseOf(text)
		require.False(t, ok, text)
	}
}

func TestTotalOf(t *testing.T) {
	d := reading(t)
	for text, want := range map[string]bool{
		"Total": true, "TOTAL": true, "Oils total": true, "Total phase A": true, "Summe": true, "All": true, "Zwischensumme": true,
		"Total weight (g)": true, "Total Balance Emulsifier": false, "Allspice oil": false, "Summer meadow fragrance": false, "": false,
	} {
		require.Equal(t, want, d.totalOf(text), text)
	}
}
