package exact

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAsked: what is asked about is never read, and the question offers what it can
// mean. Expected by hand from the table of forms.
func TestAsked(t *testing.T) {
	for text, fix := range map[string]string{
		"1.250 ppm":        `write "1.25 ppm" or "1250 ppm", whichever the paper means`,
		"1.250 mg/kg":      `write "1.25 mg/kg" or "1250 mg/kg", whichever the paper means`,
		"<12.500ppm":       `write "12.5ppm" or "12500ppm", whichever the paper means`,
		"1.000 ppm":        `write "1 ppm" or "1000 ppm", whichever the paper means`,
		"1.250-2.500 ppm":  `write "1.25-2.5 ppm" or "1250-2500 ppm", whichever the paper means`,
		"5-1.250 ppm":      `write "1.25 ppm" or "1250 ppm", whichever the paper means`,
		"1.000,5":          "write 1000.5",
		"12.345.678,9 ppm": "write 12345678.9",
		"1,000.5":          "write 1000.5",
		"1.00,5":           "write one point, in front of the decimals, and nothing between thousands",
		"1.000.000":        "write 1000000",
		"1,000,000 ppm":    "write 1000000",
		"1 250 ppm":        "write 1250",
		"1'250,5":          "write 1250.5",
		"10 %%":            "write % once",
		"10 % %":           "write % once",
		"12 ppm ppm":       "write ppm once",
		"12 ppm %":         "keep the unit that the paper means",
		"10-15 % mg/kg":    "keep the unit that the paper means",
	} {
		_, err := ParseAmount(text)
		var e *ValueError
		require.ErrorAs(t, err, &e, text)
		assert.Equal(t, fix, e.Fix, text)
		assert.Contains(t, e.What, text)
	}
	for text, want := range map[string]string{"0.125 ppm": "0.0000125", "1250.125 ppm": "0.1250125",
		"1.25 ppm": "0.000125", "1.2500 ppm": "0.000125",
		"1.250": "1.25", "1.250 %": "1.25", "12.500 - 15.250 % w/w": "15.25", "1250 ppm": "0.125"} {
		a, err := ParseAmount(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, a.Max.Exact(), text)
	}
}
