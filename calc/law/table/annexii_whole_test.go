package table_test

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/testdata/published"
)

// annexII is what the official exports say of an entry of Annex II.
type annexII struct {
	numbers  map[string]bool // of the newest edition that has the entry
	older    map[string]bool // of the edition of 2016
	use      string
	bannedIf string
	act      string // that brought or last changed the entry, as the export prints it
}

// annexIIEntries reads annex_ii.csv: the exports of February 2016 and April 2024.
func annexIIEntries(t *testing.T) map[string]*annexII {
	out := map[string]*annexII{}
	for _, r := range published.Rows(t, "annex_ii.csv") {
		e := out[r["entry"]]
		if e == nil {
			e = &annexII{numbers: map[string]bool{}, older: map[string]bool{}}
			out[r["entry"]] = e
		}
		into := e.numbers
		if r["edition"] == "2016" {
			into = e.older
		} else {
			e.use, e.bannedIf, e.act = r["use"], r["banned_if"], r["act"]
		}
		for _, n := range append(rows.SplitList(r["cas"]), rows.SplitList(r["ec"])...) {
			into[n] = true
		}
	}
	for _, e := range out {
		if e.act == "" { // the copy of 2024 has lost the entry
			e.numbers = e.older
		}
	}
	return out
}

// annexIIDifferences are the numbers of ours that the exports of entries of Annex II
// lack, with the reason.
var annexIIDifferences = map[string][]string{
	"126":  {"200-864-0"},  // the export lacks the EC number of vinylidene chloride
	"1660": {"91648-39-4"}, // the CAS number of the second substance, by Reg (EU) 2021/1902
	"1680": {"80-43-3"},    // the export prints a cut CAS number, 80-43-
}

var actYear = regexp.MustCompile(`(20\d\d)/`)

// before2021 says whether the text of an entry was law when GB took the annex
// over, on 31 December 2020. Later acts made new texts of some entries for the EU
// alone.
func (e *annexII) before2021(entry string) bool {
	m := actYear.FindStringSubmatch(e.act)
	return !slices.Contains([]string{"1024", "1397", "1398", "1399", "1597"},
		entry) && (e.act == "" || m != nil && m[1] < "2021")
}

// conditionOfII is what the text of an entry makes the condition of its row.
func conditionOfII(e *annexII) string {
	switch {
	case e.use == annex.UseFragrance:
		return "function=fragrance"
	case e.bannedIf == "refining-history-unknown":
		return "refining-history-unknown"
	case e.bannedIf == "butadiene>=0.1":
		return "butadiene>=0.1"
	}
	return "all"
}

// TestAnnexIILimits compares the rows of Annex II in limits.csv with the exports:
// nothing allowed, the condition of the text, numbers, and the market. Entries
// with several rules stand in annex_figures.csv.
func TestAnnexIILimits(t *testing.T) {
	exports := annexIIEntries(t)
	several := map[string]bool{}
	for _, r := range published.Rows(t, "annex_figures.csv") {
		if r["annex"] == "II" {
			several[r["entry"]] = true
		}
	}
	compared := 0
	for _, l := range law.Limits(table.Builtin()) {
		e := exports[l.Entry]
		if l.Annex != "II" || e == nil || !l.For(rows.EU) || l.Entry == "1597" || l.Entry == "1397" {
			continue
		}
		for _, n := range append(slices.Clone(l.CAS), l.EC...) {
			if !e.numbers[n] && !e.older[n] && !slices.Contains(annexIIDifferences[l.Entry], n) {
				t.Errorf("%s: %s is not among the numbers of the entry", l.Key, n)
			}
		}
		if several[l.Entry] {
			continue
		}
		compared++
		require.NotNil(t, l.MaxPct, l.Key)
		require.True(t, l.MaxPct.IsZero(), l.Key)
		require.Equal(t, conditionOfII(e), l.Condition.String(), l.Key)
		require.Empty(t, l.Basis.Text, l.Key)
		if e.before2021(l.Entry) {
			require.True(t, l.For(rows.GB), "%s: law of before 2021 is GB law too", l.Key)
			require.True(t, l.Until.IsZero(), l.Key)
		}
	}
	require.Greater(t, compared, 280)
}

// TestAnnexIIMarkets: what the Union added or rewrote after 31 December 2020 is not
// law of Great Britain, whose annex goes on from 1644 with numbers of its own; no
// row of Great Britain allows anything of a substance.
func TestAnnexIIMarkets(t *testing.T) {
	exports := annexIIEntries(t)
	later, british := 0, 0
	same := func(markets []rows.Market, m rows.Market) bool { return len(markets) == 1 && markets[0] == m }
	number := func(entry string) int { n, _ := strconv.Atoi(entry); return n }
	for _, p := range table.Builtin().Prohibitions() {
		e := exports[p.Entry]
		switch {
		case strings.HasPrefix(p.Source, "SI "), strings.Contains(p.Source, "GB draft"),
			strings.HasPrefix(p.Source, "Cosmetic Products ("):
			british++
			require.True(t, same(p.Markets, rows.GB), p.Key)
			require.True(t, p.Entry == "GB-unseen" || p.Entry == "GB-none" || number(p.Entry) > 1644, p.Key)
		case number(p.Entry) > 1644 || e != nil && strings.Contains(e.act,
			"(EU) 202") && !e.before2021(p.Entry) && !strings.Contains(e.act, "2020/"):
			later++
			require.True(t, same(p.Markets,
				rows.EU) || !p.Until.IsZero() || slices.Contains([]string{"1024", "1397", "1398", "1399", "1597"}, p.Entry), p.Key)
		}
	}
	for _, l := range law.Limits(table.Builtin()) {
		if l.Annex == "II" && l.For(rows.EU) && number(l.Entry) > 1729 { // Article 14: prohibited, whatever the product
			require.True(t, l.MaxPct != nil && l.MaxPct.IsZero() && l.Condition.String() == "all", l.Key)
		}
		if l.Annex != "II" || !strings.HasPrefix(l.Source, "SI ") && !strings.HasPrefix(l.Source, "Cosmetic Products (") &&
			!strings.HasPrefix(l.Source, "GB draft") {
			continue
		}
		british++
		require.True(t, same(l.Markets, rows.GB), l.Key)
		require.NotNil(t, l.MaxPct, l.Key)
		require.True(t, l.MaxPct.IsZero(), l.Key)
		if l.Condition.String() != "all" {
			require.Equal(t, "nano|massive", l.Condition.String(), l.Key)
		}
	}
	require.Greater(t, later, 100)
	require.Greater(t, british, 60)
}

// saltsByReading are the entries of which the salts are barred by what the text means
// and not by the word, or the other way round.
var saltsByReading = map[string]string{
	"II-21-eugb-p01":   "any substance of the class, so its salts too",
	"II-43-eugb-p01":   "arsenic and its compounds",
	"II-1396-eugb-p01": "boric acid and borates: the entry lists salts by name",
	"II-1024-gb-p01":   "GB has the entry of 2016, which names the acid alone",
}

// TestSaltsOfAnnexII compares what the table says of salts with the words of the
// entries: barred with all their salts, or as they are named.
func TestSaltsOfAnnexII(t *testing.T) {
	says := map[string]bool{}
	for _, r := range published.Rows(t, "annex_ii_salts.csv") {
		says[r["entry"]] = true
	}
	compared := 0
	for _, p := range table.Builtin().Prohibitions() {
		entry := p.Entry
		if p.EUEntry != "" && entry > "1679" && len(entry) == 4 { // GB numbers its own from 1680 on
			entry = p.EUEntry
		}
		number, err := strconv.Atoi(entry)
		// 1731 to 1738: names of Reg (EU) 2025/877 in a report of ChemRadar of May 2025.
		read := err == nil && (number <= 1724 || number >= 1731 && number <= 1738)
		if !read || saltsByReading[p.Key] != "" {
			continue
		}
		compared++
		require.Equal(t, says[entry], p.Salts, p.Key)
	}
	require.Greater(t, compared, 1700)
}

// TestProhibitionsOfGB compares the rows of instruments that were read in reports
// alone with other reports: state, form, salts and days. Expected values:
// gb_prohibitions.csv, source per row.
func TestProhibitionsOfGB(t *testing.T) {
	by := map[string]*annex.Prohibition{}
	for _, p := range table.Builtin().Prohibitions() {
		by[p.Key] = p
	}
	for _, r := range published.Rows(t, "gb_prohibitions.csv") {
		p := by[r["key"]]
		require.NotNil(t, p, r["key"])
		require.True(t, p.For(rows.GB) && !p.For(rows.EU), p.Key)
		require.Equal(t, r["state"], string(p.State), p.Key)
		require.Equal(t, r["form"], p.Form, p.Key)
		require.Equal(t, r["salts"] == "yes", p.Salts, p.Key)
		require.Equal(t, r["placing_from"], p.From.String(), p.Key)
		require.Equal(t, r["sale_until"], p.OffShelf.String(), p.Key)
	}
}

// TestEntriesOfTwoTexts: entries that the EU changed after 2020 have a row of each
// market alone, since GB keeps the text of the end of 2020; the perborates of the new
// entry 1397 are those of the three old entries. Sources: Reg (EU) 2023/1490 for 1024,
// Reg (EU) 2026/78 for 1397 to 1399, Reg (EU) 2026/909 for 1597; numbers of the
// perborates from the annex export of 2024; 121-43-7 is trimethyl borate, of 2026/78.
func TestEntriesOfTwoTexts(t *testing.T) {
	ofGB := map[string]int{}
	for _, p := range table.Builtin().Prohibitions() {
		switch p.Entry {
		case "1024", "1397", "1398", "1399", "1597":
			require.NotEqual(t, p.For(rows.EU), p.For(rows.GB), p.Key)
			if p.For(rows.GB) {
				ofGB[p.Entry]++
			}
		}
		if p.Key != "II-1397-eu-p02" {
			continue
		}
		want := []string{"121-43-7"}
		for _, r := range published.Rows(t, "annex_ii.csv") {
			if r["edition"] == "2024" && r["entry"] >= "1397" && r["entry"] <= "1399" && len(r["entry"]) == 4 {
				want = append(want, rows.SplitList(r["cas"])...)
			}
		}
		slices.Sort(want)
		have := slices.Sorted(slices.Values(p.CAS))
		require.Equal(t, slices.Compact(want), have, p.Key)
	}
	require.Equal(t, map[string]int{"1024": 1, "1397": 1, "1398": 1, "1399": 1, "1597": 1}, ofGB)
}

// TestFormsOfProhibitions: bans of one form alone. Sources: Reg (EU) 2024/858, on
// nanomaterials, for 1725 to 1729, of which 1727 was joined by silver from 1 mm on; the
// annex export of 2024 names fibres in 1658 and no form in another entry up to 1724.
func TestFormsOfProhibitions(t *testing.T) {
	want := map[string]string{"1658": "fibre", "1725": "nano", "1726": "nano", "1728": "nano", "1729": "nano"}
	for _, p := range table.Builtin().Prohibitions() {
		number, err := strconv.Atoi(p.Entry)
		if err != nil || number > 1729 || number == 1727 || !p.For(rows.EU) {
			continue
		}
		require.Equal(t, want[p.Entry], p.Form, p.Key)
	}
}
