package table

import (
	"testing"

	"github.com/stretchr/testify/assert"
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

// A row that holds in both markets cites each market's own text: the EU text is no law
// in Great Britain.
func TestEachMarketCitesItsOwnText(t *testing.T) {
	tables := Builtin()
	for _, row := range tables.EveryLimit() {
		eu, gb := row.SourceIn(rows.EU), row.SourceIn(rows.GB)
		switch {
		case len(row.Markets) == 2:
			assert.Equal(t, row.Source, eu, row.Key)
			assert.Contains(t, gb, "GB text of Reg (EC) 1223/2009 Annex "+row.EntryName()+", acts to 2026-01-12", row.Key)
			assert.Equal(t, []string{gb, eu}, row.SourcesIn([]rows.Market{rows.GB, rows.EU}), row.Key)
		case row.For(rows.GB):
			assert.NotRegexp(t, "^CosIng|^Reg ", gb, row.Key)
		default:
			assert.Equal(t, []string{row.Source}, row.SourcesIn([]rows.Market{rows.GB, rows.EU, rows.NI}), row.Key)
		}
	}
}
