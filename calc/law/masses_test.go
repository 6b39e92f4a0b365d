package law

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestMolarMasses recomputes every mass from its formula; stearyl alcohol is 270.5.
func TestMolarMasses(t *testing.T) {
	for _, m := range Builtin().masses {
		require.InDelta(t, molarMass(t, m.Formula), m.MW.Value, 0.02, m.Key)
	}
	require.InDelta(t, 270.5, Builtin().MassOf("Stearyl Alcohol").Value, 0.05, "handbook value")
	require.InDelta(t, 242.4, Builtin().MassOf("Cetyl Alcohol").Value, 0.05, "handbook value")
	require.InDelta(t, 138.17, Builtin().MassOf("Phenoxyethanol").Value, 0.05, "a row for one substance")
	require.Nil(t, Builtin().MassOf("Cetearyl Alcohol"), "a mixture has no one mass")
}
