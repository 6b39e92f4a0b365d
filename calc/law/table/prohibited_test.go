package table

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
)

// TestProhibitedTable holds the table to what its reference page says of it:
// rows by market, rows read, empty numbers, and no number of the EU annex left out.
func TestProhibitedTable(t *testing.T) {
	markets, unread, empty := map[string]int{}, 0, 0
	entries := map[int]bool{}
	for _, p := range Builtin().Prohibitions() {
		key := ""
		for _, m := range p.Markets {
			key += string(m)
		}
		markets[key]++
		if p.FromMemory() {
			unread++
		}
		if p.State == annex.StateEmpty {
			empty++
		}
		if n, err := strconv.Atoi(p.Entry); err == nil && p.For(rows.EU) {
			entries[n] = true
		}
	}
	require.Equal(t, map[string]int{"EUGB": 1639, "EU": 131, "GB": 122}, markets)
	require.Equal(t, 41, unread)
	require.Equal(t, 27, empty)
	for n := 1; n <= 1766; n++ {
		require.True(t, entries[n], "EU entry %d", n)
	}
	require.Len(t, entries, 1766, "no number beyond the last entry")
}

func TestProhibitedOrder(t *testing.T) {
	last := 0
	for _, p := range Builtin().Prohibitions() {
		n, err := strconv.Atoi(p.Entry)
		if err != nil {
			n = 1 << 20 // entries without a number come last
		}
		require.LessOrEqual(t, last, n, "%s is out of order", p.Key)
		last = n
	}
}

// TestProhibitedTyped wants every exception in typed form: none left to its words.
func TestProhibitedTyped(t *testing.T) {
	for _, p := range Builtin().Prohibitions() {
		switch p.Exception {
		case annex.ExceptPurity:
			require.NotEmpty(t, p.BannedIf, p.Key)
		case annex.ExceptTrace:
			require.True(t, p.State == annex.StateElsewhere || len(p.BannedIf) > 0 || len(p.ExceptEntries) > 0, p.Key)
		}
		for _, m := range p.BannedIf {
			require.Equal(t, m.Constituent == "refining-history-unknown", m.Pct.IsZero(), p.Key)
		}
		for _, e := range p.ExceptEntries {
			require.Regexp(t, `^(II|III|IV|V|VI)/[0-9a-z+-]+$`, e, p.Key)
		}
		require.False(t, p.OffShelf != 0 && p.OffShelf.Before(p.From), "%s: sale ends before the rule begins", p.Key)
	}
}

func TestProhibitedFound(t *testing.T) {
	tables := Builtin()
	for _, c := range []struct{ name, inci, cas, entry, by string }{
		{"by name in the law", "Chloroform", "", "366", byIngredientName},
		{"by CAS number", "an unknown name", "67-66-3", "366", byCASNumber},
		{"by ingredient name", "Hydroquinone", "", "1339", byIngredientName},
		{"linked to a class", "DEA PG-Oleate", "", "411", ByLinkedName},
	} {
		t.Run(c.name, func(t *testing.T) {
			by := ""
			for _, m := range tables.ProhibitionsOf(c.inci, One(c.cas), nil) {
				if m.Prohibition.Entry == c.entry && m.Prohibition.For(rows.EU) {
					by = m.By
				}
			}
			require.Equal(t, c.by, by)
		})
	}
}

func TestProhibitedCoverage(t *testing.T) {
	eu, gb := Builtin().ProhibitedCoverage(rows.EU), Builtin().ProhibitedCoverage(rows.GB)
	require.Equal(t, 1766, eu.Entries+eu.Empty, "every number of the EU annex is a ban or empty")
	require.Zero(t, eu.Unnumbered)
	require.Positive(t, gb.Unnumbered)
	require.Positive(t, gb.Drafts)
	require.Equal(t, "2027-01-01", eu.Newest.String(), "Reg (EU) 2026/909, triphenyl phosphate")
}

// TestProhibitedFaults feeds each kind of fault to the reader.
func TestProhibitedFaults(t *testing.T) {
	head := "key,entry,market,state,eu_entry,inci_names,linked_names,chemical_names,cas,ec,ec_misprinted,use,form,group,exception,banned_if," +
		"except_entries,except_names,except_pigments,except_impurity_of,carriers,shared_number,salts,names_unseen,limits,applies_from," +
		"applies_until,off_shelf,dates_seen,only_form,scope,source,seen,note\n"
	good := "k,1,EU,law,,Exemplum,,,,,,,,no,none,,,,no,,,no,no,,,,,,yes,,,some act,seen,\n"
	_, err := annex.ReadProhibited("t.csv", head+good)
	require.NoError(t, err)
	for _, c := range []struct{ name, old, new, want string }{
		{"state", ",law,", ",lex,", `state: "lex" is none of`},
		{"no names", ",Exemplum,", ",,", "state empty"},
		{"purity without a marker", ",none,", ",purity,", "exception purity without banned_if"},
		{"marker", ",none,,", ",purity,lead>1,", "is no marker"},
		{"marker without figure", ",none,,", ",purity,butadiene,", "is no marker"},
		{"marker with figure", ",none,,", ",purity,refining-history-unknown>1,", "is no marker"},
		{"number", "Exemplum,,,,", "Exemplum,,,7732-18-4,", "check digit 4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := annex.ReadProhibited("t.csv", head+strings.Replace(good, c.old, c.new, 1))
			require.ErrorContains(t, err, c.want)
		})
	}
}
