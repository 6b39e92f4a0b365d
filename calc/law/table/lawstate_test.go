package table

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
)

// TestLawState: no row in force claims a later day than the state of its market,
// and no act that is in is listed as missing.
func TestLawState(t *testing.T) {
	for _, m := range []rows.Market{rows.EU, rows.GB, rows.NI} {
		s := Builtin().StateOf(m)
		require.NotEmpty(t, s.ActsIn)
		for _, a := range s.ActsIn {
			require.NotContains(t, s.NotIn, a)
		}
		require.False(t, s.ConsolidatedTo.IsZero())
	}
	require.Equal(t, Builtin().StateOf(rows.EU), Builtin().StateOf(rows.NI), "NI follows the EU")
}
