package table_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
)

func TestOtherLawTable(t *testing.T) {
	types := map[string]bool{}
	for _, p := range law.ProductTypes(table.Builtin()) {
		types[p.Key] = true
	}
	for _, o := range table.Builtin().OtherRules() {
		for _, key := range o.Types {
			require.True(t, types[key], "%s: product type %s", o.Key, key)
		}
		require.False(t, o.Kind == annex.KindOpinion && !o.From.IsZero(), "%s: an opinion has no day", o.Key)
		require.False(t, o.Kind == annex.KindOpinion && o.InLimits, "%s: an opinion is not in limits.csv", o.Key)
	}
}
