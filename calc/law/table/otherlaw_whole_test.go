package table_test

import (
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
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

// ofBritain matches acts and bodies of Great Britain at the start of a source: since
// 1 January 2021 acts, opinions and drafts of the Union are no law there.
var ofBritain = regexp.MustCompile(`^(UK REACH|HSE |Environmental Protection \(|SI 20|Cosmetics Regulation Annex [IV]+/\d+ \(retained\))`)

// TestOtherLawMarkets compares the market of each rule with who made it.
func TestOtherLawMarkets(t *testing.T) {
	british := 0
	for _, o := range table.Builtin().OtherRules() {
		want := []rows.Market{rows.EU}
		if ofBritain.MatchString(o.Source) {
			want = []rows.Market{rows.GB}
			british++
		}
		require.True(t, slices.Equal(want, o.Markets), "%s: %v by %s", o.Key, o.Markets, o.Source)
	}
	require.GreaterOrEqual(t, british, 9)
}
