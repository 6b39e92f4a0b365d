package sheet

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSheetMeasure compares with published widths of the font, in digits.
// Source: Core 14 AFM files, Helvetica: space 278, digit 556, i 222, M 833, % 889.
func TestSheetMeasure(t *testing.T) {
	for r, units := range map[rune]float64{' ': 278, '7': 556, 'i': 222, 'M': 833, '%': 889, '-': 333, '(': 333,
		'w': 722} {
		require.InDelta(t, units/556, sheetMeasure(r, nil), 1e-9, string(r))
	}
}
