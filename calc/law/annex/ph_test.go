package annex

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

// Criteria for the pH, in words and against what was measured: kept, broken, or neither where
// part of the range keeps them.
func TestPHBands(t *testing.T) {
	for _, c := range []struct {
		band, words          string
		kept, broken, partly []string
	}{
		{"7-9.5", "pH from 7 to 9.5", []string{"7", "9.5", "7-9.5"}, []string{"6.9", "9.6", "5-6", "10-11"},
			[]string{"6.9-7", "9.5-9.6", "6-10"}},
		{"<11", "pH below 11", []string{"10.9", "0"}, []string{"11", "11-12"}, []string{"10.9-11"}},
		{"<=12.7", "pH at most 12.7", []string{"12.7"}, []string{"12.71"}, []string{"12.7-12.71"}},
		{">6", "pH above 6", []string{"6.1", "14"}, []string{"6", "5-6"}, []string{"6-6.1"}},
		{">=3.5", "pH at least 3.5", []string{"3.5"}, []string{"3.4"}, []string{"3.4-3.5"}},
	} {
		ph := readRule(t, rule.With("ph", c.band)).PH
		require.NotNil(t, ph)
		assert.Equal(t, c.words, ph.Words())
		for i, list := range [][]string{c.kept, c.broken, c.partly} {
			for _, text := range list {
				measured, err := exact.ParseAmount(text)
				require.NoError(t, err)
				kept, broken := ph.Kept(measured.Range)
				assert.Equal(t, []bool{i == 0, i == 1}, []bool{kept, broken}, "%s against %s", text, c.band)
			}
		}
	}
}
