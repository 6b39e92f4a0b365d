package law

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/testdata/published"
)

// TestAllergenCounts compares the number of label names with the notes to the
// table: 24 in GB; in the EU 24 until 31 July 2026, 81 from 1 August 2026, since
// product placed until 31 July 2026 may follow the older list.
// Source: Reg. (EU) 2023/1545, footnotes; allergens.csv.
func TestAllergenCounts(t *testing.T) {
	tables := table.Builtin()
	for _, c := range []struct {
		market       rows.Market
		date         string
		now, later   int
		prohibited   int
		presentNames []string
	}{
		{rows.EU, "2026-07-31", 24, 57, 2, []string{"Linalool", "Citral"}},
		{rows.EU, "2026-08-01", 81, 0, 2, []string{"Linalool", "Pinene", "Lavandula Oil/Extract", "Menthol"}},
		{rows.NI, "2026-08-01", 81, 0, 2, nil},
		{rows.GB, "2026-11-25", 24, 0, 2, []string{"Limonene"}},
		{rows.GB, "2022-10-14", 24, 0, 1, nil}, // before the ban of butylphenyl methylpropional
		{rows.EU, "2019-08-22", 24, 57, 0, nil},
	} {
		now := Allergens(tables, c.market, day(t, c.date))
		require.Len(t, now, c.now, "%s %s", c.market, c.date)
		require.Len(t, AllergensLater(tables, c.market, day(t, c.date)), c.later, "%s %s later", c.market, c.date)
		require.Len(t, allergensProhibited(tables, c.market, day(t, c.date)), c.prohibited, "%s %s prohibited",
			c.market, c.date)
		for _, n := range c.presentNames {
			require.True(t, slices.ContainsFunc(now, func(a *annex.Allergen) bool { return a.LabelName == n }), n)
		}
		for _, a := range now {
			// thresholds: Annex III, each entry
			require.Equal(t, "0.001", a.Threshold(false).Exact(), a.Key)
			require.Equal(t, "0.01", a.Threshold(true).Exact(), a.Key)
		}
	}
	for _, a := range allergensProhibited(tables, rows.GB, day(t, "2026-11-25")) {
		require.True(t, a.Threshold(false).IsZero(), "any content of a prohibited one is a breach")
	}
}

// TestBotanicals: 29 oils and extracts in the EU list (notes to the table).
func TestBotanicals(t *testing.T) {
	n := 0
	for _, a := range Allergens(table.Builtin(), rows.EU, day(t, "2026-08-01")) {
		if a.Botanical {
			n++
		}
	}
	require.Equal(t, 29, n)
}

func TestMarkets(t *testing.T) {
	require.True(t, rows.GB.Valid() && rows.EU.Valid() && rows.NI.Valid())
	require.False(t, rows.Market("US").Valid())
	date := day(t, "2026-11-25")
	require.Equal(t, limitsFor(table.Builtin(), rows.EU, date), limitsFor(table.Builtin(), rows.NI, date),
		"Northern Ireland follows the EU annexes")
	require.NotEqual(t, len(limitsFor(table.Builtin(), rows.EU, date)), len(limitsFor(table.Builtin(), rows.GB, date)))
}

// TestForceDates: a row with both dates holds on both of them and on no other
// day beyond; the day before is later.
func TestForceDates(t *testing.T) {
	for _, l := range Limits(table.Builtin()) {
		for _, m := range []rows.Market{rows.EU, rows.GB} {
			if !l.For(m) {
				continue
			}
			if !l.From.IsZero() {
				require.True(t, l.In(m, l.From), l.Key)
				require.False(t, l.In(m, l.From.AddDays(-1)), l.Key)
				require.Contains(t, limitsLater(table.Builtin(), m, l.From.AddDays(-1)), l)
			}
			if !l.Until.IsZero() {
				require.True(t, l.In(m, l.Until), l.Key)
				require.False(t, l.In(m, l.Until.AddDays(1)), l.Key)
			}
		}
	}
}

// TestOffShelf: the acts bar making available from a day on; the last day of sale is the
// day before.
func TestOffShelf(t *testing.T) {
	for key, want := range map[string]string{
		"II-1380-eugb-01": "2021-08-22", // Reg (EU) 2017/1410: not made available from 23 August 2021
		"III-376-eu-01":   "2027-04-30", // Reg (EU) 2024/996: not made available from 1 May 2027
		"II-1730-eu-01":   "2026-04-30", // the same act: not made available from 1 May 2026
	} {
		i := slices.IndexFunc(table.Builtin().Limits, func(l *annex.Limit) bool { return l.Key == key })
		require.Equal(t, want, table.Builtin().Limits[i].OffShelf.String(), key)
	}
}

// TestExceptions: an exception of a prohibition lifts it where the excepted entry
// holds, leaves it open where that is open, and nowhere else.
func TestExceptions(t *testing.T) {
	tables, date := table.Builtin(), day(t, "2026-11-25")
	nails := Situation{Codes: []string{"artificial-nail"}, Areas: []string{"nail"}, Professional: Yes}
	verdict := func(s Situation) map[string]Verdict {
		rules, listed := rulesOf(tables, "Hydroquinone", []string{"123-31-9"}, nil, rows.EU, date, s)
		require.True(t, listed)
		out := map[string]Verdict{}
		for _, r := range rules {
			out[r.Limit.Annex] = r.Answer.Verdict
		}
		return out
	}
	// II/1339 except III/14: artificial nail systems, professional use, 0.02 %
	require.Equal(t, map[string]Verdict{"III": Holds}, verdict(nails))
	nails.Professional = Unknown
	require.Equal(t, map[string]Verdict{"II": Undecided, "III": Undecided}, verdict(nails))
	// elsewhere both the prohibition and the closed list of III/14 say no
	require.Equal(t, map[string]Verdict{"II": Holds, "III": Holds}, verdict(Situation{Areas: []string{"face"}}))
}

// TestNoLineIsNoPass: benzyl salicylate in the EU from 2027 names product types
// and no lip type (notes to product-types.csv): listed, with no rule that holds.
func TestNoLineIsNoPass(t *testing.T) {
	lips, _ := ProductType(table.Builtin(), "lip-balm")
	s := SituationOf(lips)
	s.Functions, s.FunctionsKnown = []string{"fragrance"}, true
	rules, listed := rulesOf(table.Builtin(), "Benzyl Salicylate", []string{"118-58-1"}, nil, rows.EU,
		day(t, "2027-01-01"), s)
	require.True(t, listed)
	require.Empty(t, slices.DeleteFunc(rules, func(r rule) bool { return r.Limit.MaxPct == nil }))
	_, listed = rulesOf(table.Builtin(), "Exemplum Novum", []string{"50-00-1"}, nil, rows.EU, day(t, "2027-01-01"), s)
	require.False(t, listed)
}

func TestLimitsOf(t *testing.T) {
	tables := table.Builtin()
	keys := func(ms []Match) (out []string) {
		for _, m := range ms {
			out = append(out, m.Limit.Key+" "+m.By)
		}
		return out
	}
	require.Equal(t, []string{"V-29-eugb-01 name"}, keys(LimitsOf(tables, "phenoxyethanol", nil, nil)))
	require.Equal(t, []string{"V-29-eugb-01 name"}, keys(LimitsOf(tables, "2-Phenoxyethanol", nil, nil)), "by synonym")
	require.Equal(t, []string{"V-29-eugb-01 cas"}, keys(LimitsOf(tables, "Trade name", []string{"122-99-6"}, nil)))
	require.Equal(t, []string{"V-29-eugb-01 ec"}, keys(LimitsOf(tables, "Trade name", nil, []string{"204-589-7"})))
	require.Empty(t, LimitsOf(tables, "Aqua", []string{"7732-18-5"}, nil))
	// a sheet that names titanium dioxide without its number still meets the nano entry
	require.True(t, slices.ContainsFunc(LimitsOf(tables, "Titanium Dioxide", nil, nil),
		func(m Match) bool { return m.Limit.Entry == "27a" && m.By == "cas" }))
}

func TestSumRows(t *testing.T) {
	tables, date := table.Builtin(), day(t, "2026-11-25")
	find := func(key string) *annex.Limit {
		i := slices.IndexFunc(tables.Limits, func(l *annex.Limit) bool { return l.Key == key })
		require.GreaterOrEqual(t, i, 0, key)
		return tables.Limits[i]
	}
	for _, c := range []struct {
		key    string
		kind   annex.SumKind
		limit  string
		strict bool
		rows   []string
	}{
		{"V-12-eugb-01", annex.SumEach, "0.4", false, []string{"V-12-eugb-01"}},
		{"V-12-eugb-02", annex.SumAll, "0.8", false, []string{"V-12-eugb-02", "V-12a-eugb-02"}},
		{"V-12a-eugb-01", annex.SumAll, "0.14", false, []string{"V-12a-eugb-01"}},
		{"V-1-eugb-01", annex.SumAll, "2.5", false, []string{"V-1-eugb-01"}},
		{"III-159-eugb-01", annex.SumAll, "0.02", false, []string{"III-157-eugb-01", "III-159-eugb-01", "III-164-eugb-01"}},
		{"III-287-eugb-01", annex.SumAll, "5", false, []string{"III-286-eugb-01", "III-287-eugb-01"}},
		{"III-286-eugb-02", annex.SumAll, "1", false, []string{"III-286-eugb-02"}},
		{"III-173-eugb-01", annex.SumAll, "0.01", false, []string{"III-89-eugb-01", "III-173-eugb-01"}},
		{"III-57-eugb-01", annex.SumAll, "3.5", false, []string{"III-57-eugb-01", "III-58-eugb-01"}},
		{"V-16-eugb-01", annex.SumAll, "0.007", false, []string{"V-16-eugb-01", "V-17-eugb-01"}},
		{"VI-27-eugb-01", annex.SumAll, "25", false, []string{"VI-27-eugb-01", "VI-27a-eugb-01"}},
		{"II-358-eugb-02", annex.SumAll, "0.0001", true, []string{"II-358-eugb-02"}},
		{"V-57-eugb-01", annex.SumExclusive, "0.0015", false, []string{"V-39-eugb-01", "V-57-eugb-01"}},
		{"III-152-eugb-01", annex.SumExclusive, "0.002", false,
			[]string{"III-89-eugb-01", "III-152-eugb-01", "III-173-eugb-01"}},
	} {
		l := find(c.key)
		require.Equal(t, c.kind, l.Sum.Kind, c.key)
		require.Equal(t, c.limit, l.Sum.LimitPct.Exact(), c.key)
		require.Equal(t, c.strict, l.Sum.Strict, c.key)
		var tableRows []string
		for _, r := range tables.SumRows(l, rows.EU, date) {
			tableRows = append(tableRows, r.Key)
		}
		require.Equal(t, c.rows, tableRows, c.key)
	}
	label := find("V-preamble_2-eu-01")
	require.Equal(t, annex.SumLabel, label.Sum.Kind)
	require.Equal(t, "0.001", label.Sum.LimitPct.Exact())
	for _, l := range Limits(tables) {
		require.Equal(t, l.SumRule == "", l.Sum.Kind == annex.NoSum, l.Key)
		require.Contains(t, tables.SumRows(l, l.Markets[0], date), l)
	}
}

func TestIsPreservative(t *testing.T) {
	tables, date := table.Builtin(), day(t, "2026-11-25")
	for name, want := range map[string]bool{
		"Phenoxyethanol": true, "Sodium Benzoate": true, "Potassium Sorbate": true, "Dehydroacetic Acid": true,
		"Benzyl Alcohol": true,
		"Aqua":           false, "Glycerin": false, "Citric Acid": false, "Tocopherol": false, "Caprylyl Glycol": false,
		"Titanium Dioxide": false,
	} {
		require.Equal(t, want, IsPreservative(tables, name, "", rows.GB, date), name)
	}
	require.True(t, IsUVFilter(tables, "Zinc Oxide", "", rows.EU, date))
	require.False(t, IsUVFilter(tables, "4-Methylbenzylidene Camphor", "", rows.EU, date))
}

func TestTox(t *testing.T) {
	tables := table.Builtin()
	rows := Tox(tables, "Phenoxyethanol")
	require.Len(t, rows, 1)
	require.Equal(t, "357", rows[0].PoD.Text) // SCCS/1575/16, as the table has it
	require.True(t, rows[0].FromMemory())
	require.Equal(t, rows, Tox(tables, "2-Phenoxyethanol"))
	require.Equal(t, rows, Tox(tables, "Some trade name", "122-99-6"))
	require.Empty(t, Tox(tables, "Some trade name"))
	byName := Tox(tables, "Ethylhexylglycerin")
	require.Len(t, byName, 1)
	require.Nil(t, byName[0].PoD, "a row without a value is a gap, not zero")
	require.NotEmpty(t, Tox(tables, "1,4-Dioxane"), "impurities are found by the name in the source")
}

func TestFragranceQueries(t *testing.T) {
	tables := table.Builtin()
	var seen []string
	for _, s := range FragranceStandards(tables, "Citral", "5392-40-5") {
		if s.Covers("4") && s.MaxPct != nil {
			seen = append(seen, s.MaxPct.Exact())
		}
	}
	require.NotEmpty(t, seen)
	unrestricted, missing := 0, 0
	for _, s := range Standards(tables) {
		require.False(t, s.Unrestricted && s.MaxPct != nil, s.Key)
		if s.Unrestricted {
			unrestricted++
		} else if s.MaxPct == nil {
			missing++
		}
		if s.Type == "prohibition" && s.MaxPct != nil && s.Substance != "Safrole" { // safrole: a figure for what oils bring in
			require.True(t, s.MaxPct.IsZero(), s.Key)
		}
	}
	require.Positive(t, unrestricted)
	require.Positive(t, missing, "figures that were not seen stay empty")
	require.Equal(t, 51, NewestAmendment(tables)) // IFRA page on the 51st Amendment, 30 June 2023
}

// TestGuidanceFigures compares single figures with the documents they are from.
func TestGuidanceFigures(t *testing.T) {
	tables := table.Builtin()
	for key, want := range map[string]string{
		"mos-target": "100", "body-weight-adult": "60", "dermal-absorption-default": "50", "oral-absorption-default": "50",
		"loael-factor": "3", "duration-factor-28d": "3", "ttc-cramer-1": "46", "ttc-cramer-3": "2.3",
		"ttc-genotoxic":               "0.0025",
		"aggregate-exposure-relative": "269", "percent-sum-tolerance": "0.01", "order-threshold": "1", "file-retention": "10",
		"impurity-lead": "2.0", "impurity-nitrosamine": "50",
	} {
		require.Equal(t, want, Fact(tables, key).Value, key)
	}
	// parts of the aggregate exposure add up to the total within its rounding
	sum := 0.0
	for _, f := range Facts(tables) {
		if len(f.Key) > 15 && f.Key[:15] == "aggregate-part-" {
			sum += f.Float()
		}
	}
	require.InDelta(t, 268.82, sum, 0.005) // notes on exposure, section 9
	require.InDelta(t, 40.00/56.11, Fact(tables, "soap-naoh-per-koh").Float(), 1e-12)
	require.Panics(t, func() { Fact(tables, "no-such-fact") })
	limits := StabilityTopic(tables, "limit")
	require.Equal(t, "100", limits[0].Number.Exact()) // ISO 17516: class 1
	require.Equal(t, "1000", limits[1].Number.Exact())
	require.Len(t, LowRiskCriteria(tables), 11)
}

func TestExposureTable(t *testing.T) {
	e, ok := Exposure(table.Builtin(), "shower-gel")
	require.True(t, ok)
	// SCCS/1647/22 Table 3A: 18.67 g/d, 279.20 mg/kg bw/d, 0.01, 0.19 g/d, 2.79 mg/kg bw/d
	require.Equal(t, []string{"18.67", "279.20", "0.01", "0.19", "2.79"},
		[]string{e.DailyG.Text, e.RelativeDaily.Text, e.Retention.Text, e.ExposureG.Text, e.RelativeMgKg.Text})
	for _, e := range table.Builtin().Exposure {
		if e.RelativeDaily != nil && e.Retention != nil && e.RelativeMgKg != nil {
			require.InDelta(t, e.RelativeDaily.Value*e.Retention.Value, e.RelativeMgKg.Value, 0.01,
				e.Key) // notes on exposure, section 2
		}
	}
	_, ok = Exposure(table.Builtin(), "")
	require.False(t, ok)
}

func TestFats(t *testing.T) {
	fats := table.Builtin().Fats
	i := slices.IndexFunc(fats, func(f *trade.Fat) bool { return f.Key == "olive" })
	require.Equal(t, "184", fats[i].SVMin.Exact()) // Codex CXS 33: 184-196
	require.Equal(t, "196", fats[i].SVMax.Exact())
	require.Equal(t, "Sodium Olivate", fats[i].SoapSodium)
}

// TestFatReadings compares ranges of saponification values with a second copy.
// Expected values: fat_readings.csv, source per row.
func TestFatReadings(t *testing.T) {
	for _, r := range published.Rows(t, "fat_readings.csv") {
		i := slices.IndexFunc(table.Builtin().Fats, func(f *trade.Fat) bool { return f.Key == r["key"] })
		require.GreaterOrEqual(t, i, 0, r["key"])
		f := table.Builtin().Fats[i]
		require.Equal(t, []string{r["sv_min_mg_koh_g"], r["sv_max_mg_koh_g"]},
			[]string{f.SVMin.Exact(), f.SVMax.Exact()}, f.Key)
	}
}

// TestStandardsFor: a Standard that counts what an entry of the annexes names is shown
// for each such substance, though the Standard has neither its name nor its number.
// Source: IFRA Standard on furocoumarins (total bergapten); rose ketones as one group.
func TestStandardsFor(t *testing.T) {
	tables := table.Builtin()
	for name, want := range map[string]string{
		"Bergapten":      "Furocoumarin-containing oils, total bergapten (5-MOP)",
		"beta-Damascone": "alpha-Damascone (rose ketones group)",
		"Aqua":           "",
	} {
		found := StandardsFor(tables, name, nil, nil)
		if want == "" {
			require.Empty(t, found, name)
			continue
		}
		require.True(t, slices.ContainsFunc(found,
			func(s *trade.FragranceStandard) bool { return s.Substance == want }), name)
	}
}
