package law_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/testdata/published"
)

// annexRow is a row of annex_figures.csv: one figure of one entry, taken from the
// exports of spring 2024 and the acts after them and not from limits.csv.
type annexRow struct {
	id, annex, entry, basis, figure, field, from, until string
	markets                                             []rows.Market
	condition                                           condition.Condition
	numbers                                             []string
}

func annexRows(t *testing.T) []annexRow {
	var out []annexRow
	for _, r := range published.Rows(t, "annex_figures.csv") {
		c, err := condition.Parse(r["condition"])
		require.NoError(t, err, r["id"])
		a := annexRow{id: r["id"], annex: r["annex"], entry: r["entry"], basis: r["basis"], figure: r["figure_pct"],
			field: r["colour_field"],
			from:  r["applies_from"], until: r["applies_until"], condition: c,
			numbers: append(rows.SplitList(r["cas"]), rows.SplitList(r["ec"])...)}
		for m := range strings.SplitSeq(r["market"], "+") {
			a.markets = append(a.markets, rows.Market(m))
		}
		out = append(out, a)
	}
	return out
}

// evened writes a condition with its clauses and terms in order.
func evened(c condition.Condition) string {
	var clauses []string
	for _, cl := range c.Clauses {
		terms := []string{}
		for _, t := range cl.Terms {
			terms = append(terms, t.String())
		}
		slices.Sort(terms)
		text := strings.Join(terms, "|")
		if cl.Except {
			text = "except " + text
		}
		clauses = append(clauses, text)
	}
	slices.Sort(clauses)
	return strings.Join(clauses, " & ")
}

// agrees says whether a figure of the second table is what a limit says.
func (a *annexRow) agrees(l *annex.Limit) bool {
	if a.annex != l.Annex || a.entry != l.Entry || evened(a.condition) != evened(l.Condition) {
		return false
	}
	for _, m := range l.Markets {
		if !slices.Contains(a.markets, m) {
			return false
		}
	}
	day := func(text string, zero bool, got string) bool { return text == "" && zero || text != "" && text == got }
	if !day(a.from, l.From.IsZero(), l.From.String()) || !day(a.until, l.Until.IsZero(), l.Until.String()) {
		return false
	}
	if (a.figure == "") != (l.MaxPct == nil) || l.MaxPct != nil && !sameFigure(a.figure, l) {
		return false
	}
	return strings.Contains(strings.ToLower(l.Basis.Text),
		strings.ToLower(a.basis)) && a.field == fieldText(l.ColourantField)
}

func sameFigure(text string, l *annex.Limit) bool {
	f, ok := rows.ParseFigure(text)
	return ok && f.Value == l.MaxPct.Float()
}

func fieldText(n int) string { return [...]string{"", "1", "2", "3", "4"}[n] }

// TestAnnexFigures compares every row of Annexes III to VI with a second table
// taken from other papers: figure, condition, basis, field of a colourant,
// market and days. A row without its like is explained in annex_differences.csv,
// by key; an explanation that is needed no longer fails too.
func TestAnnexFigures(t *testing.T) {
	rows := annexRows(t)
	explained := map[string]bool{}
	for _, d := range published.Rows(t, "annex_differences.csv") {
		if d["what"] == "figure" {
			explained[d["key"]] = true
		}
	}
	met, compared := map[string]bool{}, 0
	taken, forMarket := map[string]bool{}, map[string]bool{}
	for _, l := range law.Limits(table.Builtin()) {
		if l.Annex == "II" && !hasEntry(rows, l) {
			continue
		}
		i := slices.IndexFunc(rows, func(a annexRow) bool { return a.agrees(l) && !taken[a.id] })
		if i < 0 { // a row of both markets stands for one of each
			i = slices.IndexFunc(rows, func(a annexRow) bool { return a.agrees(l) })
		}
		switch {
		case i >= 0:
			compared++
			taken[rows[i].id] = true
			for _, m := range l.Markets {
				forMarket[rows[i].id+string(m)] = true
			}
			require.False(t, explained[l.Key], "%s agrees: its explanation is needed no longer", l.Key)
		case !explained[l.Key]:
			t.Errorf("%s: nothing in annex_figures.csv says %s, %s, %q", l.Key, l.Condition, l.MaxPct, l.Basis.Text)
		}
		met[l.Key] = true
	}
	require.Greater(t, compared, 600)
	for key := range explained {
		require.True(t, met[key], "%s is explained and is no row", key)
	}
	for _, a := range rows {
		for _, m := range a.markets {
			if !forMarket[a.id+string(m)] && !explainedEntry(explained, a) {
				t.Errorf("%s has no row in limits.csv for %s", a.id, m)
			}
		}
	}
}

// hasEntry says whether the second table has the entry of a limit.
func hasEntry(rows []annexRow, l *annex.Limit) bool {
	return slices.ContainsFunc(rows, func(a annexRow) bool { return a.annex == l.Annex && a.entry == l.Entry })
}

// explainedEntry says whether some row of the entry is explained.
func explainedEntry(explained map[string]bool, a annexRow) bool {
	for key := range explained {
		if strings.HasPrefix(key, a.annex+"-"+a.entry+"-") {
			return true
		}
	}
	return false
}

// TestAnnexNumbers wants every CAS and EC number of a row in the export of its
// entry, where the export gives numbers; what stands beside them is explained.
func TestAnnexNumbers(t *testing.T) {
	byEntry := map[string][]string{}
	for _, a := range annexRows(t) {
		for _, m := range a.markets {
			k := a.annex + "/" + a.entry + string(m)
			byEntry[k] = append(byEntry[k], a.numbers...)
		}
	}
	explained := map[string]string{}
	for _, d := range published.Rows(t, "annex_differences.csv") {
		if d["what"] == "number" {
			explained[d["key"]] = d["reason"]
		}
	}
	compared := 0
	for _, l := range law.Limits(table.Builtin()) {
		theirs := byEntry[l.Annex+"/"+l.Entry+string(l.Markets[0])]
		if len(theirs) == 0 {
			continue
		}
		for _, n := range append(slices.Clone(l.CAS), l.EC...) {
			compared++
			if slices.Contains(theirs, n) {
				continue
			}
			ok := false
			for key, reason := range explained {
				ok = ok || strings.HasPrefix(l.Key, key+"-") && slices.Contains(strings.Fields(reason), n)
			}
			if !ok {
				t.Errorf("%s: %s is not among the numbers of the entry %v", l.Key, n, theirs)
			}
		}
	}
	require.Greater(t, compared, 900)
}

// TestLimitSpecs wants the purity that an entry asks of a raw material in the row:
// the peroxide value, or the free allyl alcohol of an ester.
func TestLimitSpecs(t *testing.T) {
	words := map[string]string{"peroxide<10": "peroxide_mmol_l<10", "peroxide<20": "peroxide_mmol_l<20",
		"allyl alcohol<0.1": "free_allyl_alcohol_pct<0.1"}
	compared := 0
	for _, r := range published.Rows(t, "annex_figures.csv") {
		want := words[r["criterion"]]
		if r["criterion"] == "" {
			continue
		}
		require.NotEmpty(t, want, r["criterion"])
		for _, l := range law.Limits(table.Builtin()) {
			if l.Annex == r["annex"] && l.Entry == r["entry"] && len(l.Spec) > 0 {
				compared++
				require.Contains(t, strings.Join(l.Spec, ";"), want, l.Key)
			}
		}
	}
	require.Greater(t, compared, 40)
	// Annex III/60, 61 and 62 of the export: at most 50 micrograms of nitrosamine in one kilogram
	for _, l := range law.Limits(table.Builtin()) {
		for _, spec := range l.Spec {
			if strings.HasPrefix(spec, "nitrosamine_ug_kg") {
				require.Equal(t, "nitrosamine_ug_kg<=50", spec, l.Key)
			}
		}
	}
}

// TestSpecFigures compares figures of purity and grade with those that the exports of
// the annexes print. Expected values: spec_figures.csv.
func TestSpecFigures(t *testing.T) {
	for _, r := range published.Rows(t, "spec_figures.csv") {
		compared := 0
		for _, l := range law.Limits(table.Builtin()) {
			if l.Annex != r["annex"] || l.Entry != r["entry"] || len(l.Spec) == 0 ||
				r["market"] != "" && !l.For(rows.Market(r["market"])) {
				continue
			}
			compared++
			require.True(t, slices.ContainsFunc(l.Spec, func(s string) bool {
				figure, _, _ := strings.Cut(s, " (")
				return figure == r["figure"] || s == r["figure"]
			}), "%s: %s is not in %v", l.Key, r["figure"], l.Spec)
		}
		require.Positive(t, compared, "%s/%s", r["annex"], r["entry"])
	}
}

// TestPHOfLimits compares the criteria for the pH of a product with the words of the
// official exports. Expected values: ph_readings.csv, words and source per row.
func TestPHOfLimits(t *testing.T) {
	want := map[string]string{}
	for _, r := range published.Rows(t, "ph_readings.csv") {
		want[r["key"]] = r["ph"]
	}
	for _, l := range law.Limits(table.Builtin()) {
		if l.Seen != "seen" {
			continue
		}
		have := ""
		switch {
		case l.PH == nil:
		case l.PH.Min != nil && l.PH.Max != nil:
			have = l.PH.Min.Exact() + "-" + l.PH.Max.Exact()
		case l.PH.Max != nil && l.PH.MaxOpen:
			have = "<" + l.PH.Max.Exact()
		case l.PH.Max != nil:
			have = "<=" + l.PH.Max.Exact()
		case l.PH.MinOpen:
			have = ">" + l.PH.Min.Exact()
		default:
			have = ">=" + l.PH.Min.Exact()
		}
		require.Equal(t, want[l.Key], have, l.Key)
	}
}

// TestNumbersOfLaterEntries compares the numbers of entries that the exports of 2024
// do not have, or have none of, with those that the inventory of the Commission gives
// their substances. Expected values: later_numbers.csv, source per row.
func TestNumbersOfLaterEntries(t *testing.T) {
	exported := map[string]bool{}
	for _, a := range annexRows(t) {
		for _, m := range a.markets {
			exported[a.annex+"/"+a.entry+string(m)] = exported[a.annex+"/"+a.entry+string(m)] || len(a.numbers) > 0
		}
	}
	known := map[string][]string{}
	for _, r := range published.Rows(t, "later_numbers.csv") {
		known[r["annex"]+"/"+r["entry"]] = append(known[r["annex"]+"/"+r["entry"]], rows.SplitList(r["numbers"])...)
	}
	compared := 0
	for _, l := range law.Limits(table.Builtin()) {
		entry := l.Annex + "/" + l.Entry
		if l.Annex == "II" || l.Seen != "seen" || exported[entry+string(l.Markets[0])] || len(known[entry]) == 0 || slices.Contains(moreNumbersInTheAct, entry) {
			continue
		}
		for _, n := range append(slices.Clone(l.CAS), l.EC...) {
			compared++
			require.Contains(t, known[entry], n, l.Key)
		}
	}
	require.Greater(t, compared, 100)
}

// moreNumbersInTheAct are entries of which the act gives numbers that the inventory
// does not: nothing else says whether those were copied rightly, so they do not count.
var moreNumbersInTheAct = []string{"III/24", "III/371", "III/376", "III/380"}

// TestSumsOfLimits compares the limits of substances together with the words of the
// official exports. Expected values: sum_readings.csv, words and source per row.
func TestSumsOfLimits(t *testing.T) {
	for _, r := range published.Rows(t, "sum_readings.csv") {
		i := slices.IndexFunc(table.Builtin().Limits, func(l *annex.Limit) bool { return l.Key == r["key"] })
		require.GreaterOrEqual(t, i, 0, r["key"])
		require.NotNil(t, table.Builtin().Limits[i].Sum.LimitPct, r["key"])
		require.Equal(t, r["sum_pct"], table.Builtin().Limits[i].Sum.LimitPct.Exact(), r["key"])
	}
}

// TestDaysOfLimits compares the first day and the end of sale of limits and bans with
// the words of the official exports and of reports on the acts. A day that the reading
// leaves empty is not compared. Expected values: limit_days.csv, words and source per row.
func TestDaysOfLimits(t *testing.T) {
	days := map[string][2]string{}
	for _, l := range table.Builtin().Limits {
		days[l.Key] = [2]string{l.From.String(), l.OffShelf.String()}
	}
	for _, p := range table.Builtin().Prohibitions() {
		days[p.Key] = [2]string{p.From.String(), p.OffShelf.String()}
	}
	for _, r := range published.Rows(t, "limit_days.csv") {
		have, ok := days[r["key"]]
		require.True(t, ok, r["key"])
		for i, want := range []string{r["from"], r["until"]} {
			if want != "" {
				require.Equal(t, want, have[i], "%s: %s", r["key"], r["words"])
			}
		}
	}
}
