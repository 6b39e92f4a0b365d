package rows_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// allergenNumbers are numbers of ours that the export of an entry does not print,
// with the reason.
var allergenNumbers = map[string]string{
	"289-612-9": "EC number of bergamot oil, III/352; the export prints the CAS number alone",
	"284-515-8": "EC number of lemon oil, III/353; the export prints the CAS number alone",
	"283-289-8": "EC number of a rose oil, III/366", "296-213-3": "EC number of a rose oil, III/366",
	"284-111-1": "EC number of sandalwood oil, III/367; the export prints the CAS number alone",
}

// TestAllergenEntries compares the allergens with the export of their entries of
// Annex III: thresholds, and for the EU every number of the entry. GB has the 24
// names of the older list that are not prohibited, at the same thresholds.
func TestAllergenEntries(t *testing.T) {
	byEntry := map[string]map[string]string{}
	for _, r := range published(t, "allergen_entries.csv") {
		byEntry[r["entry"]] = r
	}
	eu, gb := map[string]bool{}, map[string]bool{}
	for _, a := range law.AllergenRows(table.Builtin()) {
		e := byEntry[a.Entry]
		if a.Prohibited {
			require.Nil(t, e, "%s: a prohibited allergen has no entry that asks for a label", a.Key)
			continue
		}
		require.NotNil(t, e, "%s: entry %s", a.Key, a.Entry)
		require.Equal(t, formulatest.Num(t, e["leave_on_pct"]).Exact(), a.LeaveOnPct.Exact(), a.Key)
		require.Equal(t, formulatest.Num(t, e["rinse_off_pct"]).Exact(), a.RinseOffPct.Exact(), a.Key)
		theirs, ours := map[string]bool{}, map[string]bool{}
		for _, n := range append(rows.SplitList(e["cas"]), rows.SplitList(e["ec"])...) {
			theirs[n] = true
		}
		for _, m := range a.Members {
			for _, n := range []string{m.CAS, m.EC} {
				if n == "" {
					continue
				}
				ours[n] = true
				require.True(t, theirs[n] || allergenNumbers[n] != "", "%s: %s is no number of entry %s", a.Key, n, a.Entry)
			}
		}
		if a.Market == rows.GB {
			gb[a.Entry] = true
			continue
		}
		eu[a.Entry] = true
		for n := range theirs {
			require.True(t, ours[n], "%s: number %s of entry %s is missing", a.Key, n, a.Entry)
		}
	}
	require.Len(t, eu, len(byEntry), "every entry that asks for a label")
	require.Len(t, gb, 24)
}
