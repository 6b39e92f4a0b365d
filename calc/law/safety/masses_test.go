package safety_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/testdata/published"
)

// TestMolarMasses recomputes every mass from its formula; stearyl alcohol is 270.5.
func TestMolarMasses(t *testing.T) {
	for _, m := range table.Builtin().Masses {
		require.InDelta(t, published.MolarMass(t, m.Formula), m.MW.Value, 0.011, m.Key)
	}
	require.InDelta(t, 270.5, law.MassOf(table.Builtin(), "Stearyl Alcohol").Value, 0.05, "handbook value")
	require.InDelta(t, 242.4, law.MassOf(table.Builtin(), "Cetyl Alcohol").Value, 0.05, "handbook value")
	require.InDelta(t, 138.17, law.MassOf(table.Builtin(), "Phenoxyethanol").Value, 0.05, "a row for one substance")
	require.Nil(t, law.MassOf(table.Builtin(), "Cetearyl Alcohol"), "a mixture has no one mass")
}
