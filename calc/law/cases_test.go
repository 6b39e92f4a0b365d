package law

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
	"gallipot/testdata/published"
)

// TestPublishedCases compares what the tables say of a use with what the
// regulation says. Expected values: law_cases.csv, source per row.
func TestPublishedCases(t *testing.T) {
	cases := published.Rows(t, "law_cases.csv")
	require.GreaterOrEqual(t, len(cases), 60)
	for _, c := range cases {
		t.Run(c["id"]+" "+c["substance"], func(t *testing.T) { checkCase(t, c) })
	}
}

func checkCase(t *testing.T, c map[string]string) {
	tables := table.Builtin()
	day, err := exact.ParseDate(c["date"])
	require.NoError(t, err)
	rules, _ := rulesOf(tables, c["substance"], table.One(c["cas"]), nil, rows.Market(c["market"]), day,
		situationOfCase(t, c))
	var entry []rule
	for _, r := range rules {
		if r.Limit.Annex == c["annex"] && (c["entry"] == "" || r.Limit.Entry == c["entry"]) && (c["sum_rule"] == "" || r.Limit.SumRule == c["sum_rule"]) {
			entry = append(entry, r)
		}
	}
	if fact, ok := strings.CutPrefix(c["expect"], "undecided:"); ok {
		require.True(t, slices.ContainsFunc(entry,
			func(r rule) bool { return r.Answer.Verdict == Undecided && slices.Contains(r.Answer.Missing, fact) }), "%v", entry)
		return
	}
	entry = slices.DeleteFunc(entry, func(r rule) bool { return r.Answer.Verdict != Holds })
	if c["expect"] == "none" {
		require.Empty(t, entry)
		return
	}
	require.NotEmpty(t, entry, "no row of %s/%s holds", c["annex"], c["entry"])
	strictest := slices.MinFunc(entry, func(a, b rule) int { return cmpPct(a.Limit, b.Limit) }).Limit
	require.Contains(t, strictest.Basis.Text, c["basis"])
	if label, ok := strings.CutPrefix(c["expect"], "label:"); ok {
		require.Equal(t, label, strictest.LabelText)
		return
	}
	if c["expect"] == "nofigure" {
		require.Nil(t, strictest.MaxPct)
		return
	}
	require.NotNil(t, strictest.MaxPct)
	want, err := exact.ParseNum(c["expect"])
	require.NoError(t, err)
	require.True(t, want.Equal(*strictest.MaxPct), "%s: %s %%, expected %s %%", strictest.Key, strictest.MaxPct, want)
}

// cmpPct orders limits by figure, those without one last.
func cmpPct(a, b *annex.Limit) int {
	switch {
	case a.MaxPct == nil && b.MaxPct == nil:
		return 0
	case a.MaxPct == nil:
		return 1
	case b.MaxPct == nil:
		return -1
	}
	return a.MaxPct.Cmp(*b.MaxPct)
}

func situationOfCase(t *testing.T, c map[string]string) Situation {
	t.Helper()
	p, ok := ProductType(table.Builtin(), c["product_type"])
	require.True(t, ok, "product type %q", c["product_type"])
	s := SituationOf(p)
	if f := c["function"]; f != "" {
		s.Functions, s.FunctionsKnown = []string{f}, true
	}
	for _, fact := range rows.SplitList(c["facts"]) {
		key, value, _ := strings.Cut(fact, "=")
		truth := Is(value == "yes")
		switch key {
		case "ages":
			a, err := AgesOf(value)
			require.NoError(t, err)
			s.Ages = &a
		case "professional":
			s.Professional = truth
		case "nano":
			s.Nano = truth
		case "formaldehyde":
			n, err := exact.ParseNum(value)
			require.NoError(t, err)
			s.FormaldPct = &n
		default:
			t.Fatalf("unknown fact %q", fact)
		}
	}
	return s
}

// TestFactReadings compares single figures of guidance with a second place where
// they stand. Expected values: fact_readings.csv, source per row.
func TestFactReadings(t *testing.T) {
	for _, c := range published.Rows(t, "fact_readings.csv") {
		fact := Fact(table.Builtin(), c["key"])
		if fact.Unit == "date" {
			require.Equal(t, c["value"], fact.Date.String(), c["key"])
			continue
		}
		want, err := exact.ParseNum(c["value"])
		require.NoError(t, err)
		got := fact.Number
		require.True(t, want.Equal(got), "%s: %s, in the source %s", c["key"], got, want)
	}
}

// TestStandardReadings compares the limits of the fragrance Standards, category by
// category, and the kinds of others with second copies. Expected values:
// standard_readings.csv, source per row.
func TestStandardReadings(t *testing.T) {
	of := map[string][]*trade.FragranceStandard{}
	for _, s := range Standards(table.Builtin()) {
		if s.Seen == "seen" {
			of[s.Substance] = append(of[s.Substance], s)
		}
	}
	for _, c := range published.Rows(t, "standard_readings.csv") {
		got, want := map[string]string{}, map[string]string{}
		for _, s := range of[c["substance"]] {
			require.Equal(t, c["standard_type"], s.Type, c["substance"])
			for _, category := range s.Categories {
				require.NotContains(t, got, category, "%s: a Standard has one figure for a category", s.Substance)
				switch {
				case s.MaxPct != nil:
					got[category] = s.MaxPct.Exact()
				case s.Unrestricted:
					got[category] = "no"
				default:
					got[category] = "not stated"
				}
			}
		}
		switch {
		case c["figures"] != "":
			for figure := range strings.SplitSeq(c["figures"], ";") {
				category, value, _ := strings.Cut(figure, "=")
				if n, err := exact.ParseNum(value); err == nil {
					value = n.Exact()
				}
				want[category] = value
			}
		case c["standard_type"] == "prohibition":
			want["all"] = "0"
		default:
			want["all"] = "not stated"
		}
		require.Equal(t, want, got, c["substance"])
	}
}
