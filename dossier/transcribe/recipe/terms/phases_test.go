package terms

import (
	"testing"

	"gallipot/dossier/transcribe/lexicon"

	"github.com/stretchr/testify/require"
)

func testTerms(t *testing.T) *Terms {
	words, err := lexicon.Load()
	require.NoError(t, err)
	return New(words, []string{"0.5"})
}

// Headings as makers write them: common practice, no source.
func TestPhaseOf(t *testing.T) {
	d := testTerms(t)
	for text, want := range map[string]Heading{
		"A":                            {ID: "A"},
		"Phase A":                      {ID: "A"},
		"Phase A (75 °C)":              {ID: "A", Name: "(75 °C)", Heat: "75"},
		"PHASE 1 - POWDERS (mask on!)": {ID: "1", Name: "POWDERS (mask on!)"},
		"PHASE 3 - BELOW 45 °C":        {ID: "3", Name: "BELOW 45 °C", Heat: "45"},
		"B: Oil phase":                 {ID: "B", Name: "Oil phase"},
		"Oil phase":                    {ID: "Oil phase"},
		"At trace":                     {ID: "At trace"},
		"Wasserphase:":                 {ID: "Wasserphase"},
		"Fase acquosa":                 {ID: "Fase acquosa"},
		"**Phase B**":                  {ID: "B"},
	} {
		t.Run(text, func(t *testing.T) {
			h, ok := d.PhaseOf(text)
			require.True(t, ok)
			require.Equal(t, want, h)
		})
	}
	for _, text := range []string{"Water", "Glycerin 99.5", "A big spoon of salt", "Fragrance 1",
		"melt everything but mica + mint in the bain marie", ""} {
		_, ok := d.PhaseOf(text)
		require.False(t, ok, text)
	}
}

func TestTotalNamed(t *testing.T) {
	d := testTerms(t)
	for text, want := range map[string]bool{"Totale grassi": true, "Total jar": true, "Summe der Öle": true,
		"Total": false, "All purpose oil": false, "Total of 3 oils": false, "Glycerin total care": false, "": false} {
		require.Equal(t, want, d.TotalNamed(text), text)
	}
}

func TestTotalOf(t *testing.T) {
	d := testTerms(t)
	for text, want := range map[string]bool{
		"Total": true, "TOTAL": true, "Oils total": true, "Total phase A": true, "Summe": true, "All": true,
		"Zwischensumme":    true,
		"Suma sin almidón": true, "Total sans HE": true, "Summe ohne Duft": true, "Without scent": false,
		"Total weight (g)": true, "Total Balance Emulsifier": false, "Allspice oil": false,
		"Summer meadow fragrance": false, "": false,
	} {
		require.Equal(t, want, d.TotalOf(text), text)
	}
}
