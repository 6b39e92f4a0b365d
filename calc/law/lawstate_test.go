package law

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLawState: no row in force claims a later day than the state of its market,
// and no act that is in is listed as missing.
func TestLawState(t *testing.T) {
	for _, m := range []Market{EU, GB, NI} {
		s := Builtin().StateOf(m)
		require.NotEmpty(t, s.ActsIn)
		for _, a := range s.ActsIn {
			require.NotContains(t, s.NotIn, a)
		}
		require.False(t, s.ConsolidatedTo.IsZero())
	}
	require.Equal(t, Builtin().StateOf(EU), Builtin().StateOf(NI), "NI follows the EU")
}
