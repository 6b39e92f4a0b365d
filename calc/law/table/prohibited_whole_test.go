package table_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// TestProhibitedCoversLimits wants the two tables to name each other: every row
// of Annex II in limits.csv belongs to an entry of prohibited.csv.
func TestProhibitedCoversLimits(t *testing.T) {
	limits, named := map[string]*annex.Limit{}, map[string]bool{}
	for _, l := range law.Limits(table.Builtin()) {
		if l.Annex == "II" {
			limits[l.Key] = l
		}
	}
	for _, p := range table.Builtin().Prohibitions() {
		for _, key := range p.Limits {
			l := limits[key]
			require.NotNil(t, l, "%s names %s, which limits.csv does not have", p.Key, key)
			named[key] = true
			require.True(t, slices.ContainsFunc(l.Markets, func(m rows.Market) bool { return p.For(m) }),
				"%s and %s: no market in common", p.Key, key)
		}
	}
	for key := range limits {
		require.True(t, named[key], "%s belongs to no entry", key)
	}
}
