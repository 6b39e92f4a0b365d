package law_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"gallipot/testdata/published"
)

// allergenNumbers are numbers of ours that the export of an entry does not print,
// with the reason.
var allergenNumbers = map[string]string{
	"289-612-9": "EC number of bergamot oil, III/352; the export prints the CAS number alone",
	"284-515-8": "EC number of lemon oil, III/353; the export prints the CAS number alone",
	"283-289-8": "EC number of a rose oil, III/366", "296-213-3": "EC number of a rose oil, III/366",
	"284-111-1": "EC number of sandalwood oil, III/367; the export prints the CAS number alone",
}

// TestAllergenDates: the names of Directive 2003/15/EC are due from 11 March 2005;
// those of Regulation (EU) 2023/1545 in the EU from 1 August 2026, and goods placed on
// the market before are sold to 31 July 2028. HICC: Regulation (EU) 2017/1410, 23
// August 2019 and 2021. Butylphenyl methylpropional: Regulation (EU) 2021/1902, 1 March
// 2022; its days in GB (SI 2022/659) were not read a second time and are left out.
// Which of the older names have a time to sell off follows the table alone: see 45, 70, 88.
func TestAllergenDates(t *testing.T) {
	byEntry := map[string]map[string]string{}
	for _, r := range published.Rows(t, "allergen_entries.csv") {
		byEntry[r["entry"]] = r
	}
	for _, a := range law.AllergenRows(table.Builtin()) {
		from, until := exact.Date(20050311), exact.Date(0)
		e := byEntry[a.Entry]
		switch {
		case strings.HasPrefix(a.Key, "butylphenyl-methylpropional"):
			from = 20220301
			if a.Market == rows.GB {
				continue
			}
		case a.Prohibited:
			from, until = 20190823, 20210822
		case a.Market == rows.EU && e["act"] == "(EU) 2023/1545":
			if n, _ := strconv.Atoi(a.Entry); n > 92 || n == 46 { // 46 was a limit without a label before
				from = 20260801
			}
			if from == 20260801 || slices.Contains([]string{"45", "70", "88"}, a.Entry) {
				until = 20280731 // of the older ones those whose text took in further substances or uses
			}
		}
		require.Equal(t, from, a.From, a.Key)
		require.Equal(t, until, a.Until, a.Key)
	}
}

// TestAllergenEntries compares the allergens with the export of their entries of
// Annex III: thresholds, and for the EU every number of the entry. GB has the 24
// names of the older list that are not prohibited, at the same thresholds. The two that
// Annex II bans (1380, 1666) have the numbers of its export.
func TestAllergenEntries(t *testing.T) {
	byEntry := map[string]map[string]string{}
	for _, r := range published.Rows(t, "allergen_entries.csv") {
		byEntry[r["entry"]] = r
	}
	banned := map[string]map[string]bool{}
	for _, r := range published.Rows(t, "annex_ii.csv") {
		if r["edition"] == "2024" && (r["entry"] == "1380" || r["entry"] == "1666") {
			banned[r["entry"]] = map[string]bool{}
			for _, n := range append(rows.SplitList(r["cas"]), rows.SplitList(r["ec"])...) {
				banned[r["entry"]][n] = true
			}
		}
	}
	eu, gb, bannedInEU := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, a := range law.AllergenRows(table.Builtin()) {
		e := byEntry[a.Entry]
		if a.Prohibited {
			entry := "1380"
			if strings.HasPrefix(a.Key, "butylphenyl-methylpropional") {
				entry = "1666"
			}
			ours := map[string]bool{}
			for _, m := range a.Members {
				ours[m.CAS], ours[m.EC] = true, true
			}
			require.Equal(t, banned[entry], ours, a.Key)
			if a.Market == rows.EU {
				bannedInEU[entry] = true
			}
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
	require.Len(t, bannedInEU, 2, "II/1380 and II/1666 of the export of 2024")
}
