package table

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/testdata/published"
)

// TestMolarMass checks the adding machine against printed molar masses.
func TestMolarMass(t *testing.T) {
	for _, c := range []struct {
		formula string
		want    float64
		source  string
	}{
		{"C7H6O2", 122.12, "tox-values.csv, benzoic acid"},
		{"C6H8O2", 112.13, "tox-values.csv, sorbic acid"},
		{"C8H8O4", 168.15, "tox-values.csv, dehydroacetic acid"},
		{"KAl(SO4)2(H2O)12", 474.38, "handbook value, memory"},
		{"NaOH", 40.00, "saponification.csv"},
		{"KOH", 56.11, "saponification.csv"},
	} {
		require.InDelta(t, c.want, published.MolarMass(t, c.formula), 0.015, "%s: %s", c.formula, c.source)
	}
}
