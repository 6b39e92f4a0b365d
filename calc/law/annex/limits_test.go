package annex

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/rows/rowstest"
	"gallipot/ingredients/exact"
)

// TestFaultyTables feeds each kind of fault to the reader and wants it named
// with its line.
func TestFaultyTables(t *testing.T) {
	head := strings.Join(append(slices.Clone(earlierColumns), laterColumns...), ",") + "\n"
	good := "k1,III,1,EU,Exemplum,,,all,1,,,,,,,,some act,seen," + strings.Repeat(",", len(laterColumns)) + "\n"
	for _, c := range []struct{ name, table, want string }{
		{"unknown column", strings.Replace(head, "max_pct", "max_pctt", 1) + good,
			`t.csv:1: unknown column "max_pctt": did you mean max_pct?`},
		{"missing column", strings.Replace(head, ",note", "", 1), `t.csv:1: column "note" is missing`},
		{"column twice", strings.Replace(head, "cas,ec", "cas,cas", 1), `t.csv:1: column "cas" stands twice`},
		{"empty", "", "t.csv:1: the table is empty"},
		{"check digit", head + strings.Replace(good, "Exemplum,,", "Exemplum,7732-18-4,", 1),
			"t.csv:2: cas: CAS number 7732-18-4 has check digit 4"},
		{"EC check digit", head + strings.Replace(good, "Exemplum,,", "Exemplum,,231-791-3", 1),
			"t.csv:2: ec: EC number 231-791-3 has check digit 3"},
		{"market", head + strings.Replace(good, ",EU,", ",US,", 1), `t.csv:2: market: "US" is none of EU, GB, EU+GB`},
		{"figure", head + strings.Replace(good, ",1,,,", ",1e1,,,", 1), `t.csv:2: max_pct: "1e1" is not a number`},
		{"above 100", head + strings.Replace(good, ",1,,,", ",101,,,", 1), "t.csv:2: max_pct: 101 is above 100 %"},
		{"condition", head + strings.Replace(good, ",all,", ",rinsed,", 1), `t.csv:2: condition: unknown condition "rinsed"`},
		{"date order", head + strings.Replace(good, ",,,some", ",2026-02-01,2026-01-01,some", 1),
			"t.csv:2: applies_until 2026-01-01 lies before applies_from 2026-02-01"},
		{"date", head + strings.Replace(good, ",,,some", ",2026-02-30,,some", 1),
			`t.csv:2: applies_from: "2026-02-30" is not a date`},
		{"no source", head + strings.Replace(good, "some act", "", 1), "t.csv:2: source is empty"},
		{"seen", head + strings.Replace(good, "seen", "yes", 1), `t.csv:2: seen: "yes" is none of`},
		{"cells", head + "k1,III\n", fmt.Sprintf("t.csv:2: 2 cells, the header has %d", len(LimitColumns.All()))},
		{"quotes", head + "k1,\"III\n", "t.csv:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadLimits("t.csv", c.table)
			require.ErrorContains(t, err, c.want)
		})
	}
}

// rule is a row of limits.csv.
var rule = rowstest.Cells{"key": "k", "annex": "III", "entry": "1", "market": "EU+GB", "inci_names": "Exemplum",
	"condition": "all", "max_pct": "1", "source": "act", "seen": "seen"}

func readRule(t *testing.T, row rowstest.Cells) *Limit {
	t.Helper()
	all, err := ReadLimits("t.csv", rowstest.Table(LimitColumns, row))
	require.NoError(t, err)
	require.Len(t, all, 1)
	return all[0]
}

func date(t *testing.T, text string) exact.Date {
	t.Helper()
	d, err := exact.ParseDate(text)
	require.NoError(t, err)
	return d
}

func TestFaultyRules(t *testing.T) {
	rowstest.Refuses(t, ReadLimits, LimitColumns, rule, [][3]string{
		{"annex", "own", `annex: "own" is none of II, III, IV, V, VI`},
		{"entry", "", "entry is empty"},
		{"inci_names", "", "inci_names is empty"},
		{"paired", "yes", "paired: each name needs a CAS and an EC number"},
		{"factors", "A|0.5", `factors: "A|0.5" is no factor`},
		{"factors", "A|||0.5", `factors: "A|||0.5" is no factor`},
		{"factors", " ||0.5", `factors: "||0.5" is no factor`},
		{"factors", "A||0", "factors: A||0 is no factor above 0"},
		{"factors", "A||-1", "factors: A||-1 is no factor above 0"},
		{"factors", "A||x", `factors: "x" is not a number`},
		{"replaced_from", "2027-01-01", "replaced_from and replaced_in go together"},
		{"replaced_in", "EU", "replaced_from and replaced_in go together"},
		{"colorant_field", "5", `colorant_field: "5" is none of 1, 2, 3, 4`},
		{"label_alone", "yes", "label_alone: it needs a label_condition"},
		{"label_condition", "rinsed", `label_condition: unknown condition "rinsed"`},
		{"ph", "7", `ph: "7" is no pH`},
		{"ph", "<7-9", `ph: "<7-9" is no pH`},
		{"ph", "9-7", "ph: 9-7 ends before it begins"},
		{"ph", "1.2345678901234567-2", `ph: "1.2345678901234567" has more than 15 digits`},
		{"ph", "1-1.2345678901234567", `ph: "1.2345678901234567" has more than 15 digits`},
		{"ph", "around 7", `ph: "around 7" is no pH`},
		{"sum_pct", "2", "sum: empty, yet other cells say how to add"},
		{"sum_entries", "III/1", "sum: empty, yet other cells say how to add"},
		{"sum_groups", "g", "sum: empty, yet other cells say how to add"},
		{"sum_conditions", "any", "sum: empty, yet other cells say how to add"},
		{"sum", "some", `sum: "some" is none of , all, below, each, label, exclusive`},
		{"exempt", "VII", `exempt: "VII" is no entry: write annex and number, such as III/14`},
		{"excepted", "III", `excepted: "III" is no entry`},
		{"traces", "III", `traces: "III" is no entry`},
	})
	paired := rule.With("paired", "yes").With("cas", "7732-18-5").With("ec", "231-791-2")
	rowstest.Refuses(t, ReadLimits, LimitColumns, paired, [][3]string{
		{"cas", "", "paired: each name needs a CAS and an EC number"},
		{"ec", "", "paired: each name needs a CAS and an EC number"},
	})
	rowstest.Refuses(t, ReadLimits, LimitColumns, rule.With("sum", "all"), [][3]string{
		{"sum_pct", "0.99", "sum_pct: 0.99 is below max_pct 1"},
	})
}

func TestRuleOfCells(t *testing.T) {
	plain := readRule(t, rule.With("colorant_field", "1"))
	assert.Equal(t, Sum{}, plain.Sum)
	assert.False(t, plain.EntryUnread || plain.SpecForNano || plain.Prohibited())
	assert.Equal(t, 1, plain.ColourantField)
	assert.Empty(t, plain.Traces)
	assert.Nil(t, plain.PH)
	assert.Equal(t, "7", readRule(t, rule.With("ph", "7-7")).PH.Max.Exact(), "one pH alone")
	full := readRule(t, rule.With("colorant_field", "4").With("entry_read", "no").With("spec_for", "nano").
		With("traces", "III/186").With("max_pct", "0").With("exempt", "IV;III/23").With("factors", " A | dry | 0.5 ;B||2"))
	assert.True(t, full.EntryUnread && full.SpecForNano && full.Prohibited())
	assert.Equal(t, 4, full.ColourantField)
	assert.Equal(t, "III/186", full.Traces)
	assert.Equal(t, []string{"IV", "III/23"}, full.Exempt)
	require.Len(t, full.Basis.Factors, 2)
	assert.Equal(t, []string{"A", "dry", "0.5", "2"}, []string{full.Basis.Factors[0].Name, full.Basis.Factors[0].Form,
		full.Basis.Factors[0].Factor.Exact(), full.Basis.Factors[1].Factor.Exact()})
	assert.False(t, readRule(t, rule.With("max_pct", "")).Prohibited(), "no figure is no prohibition")
}

// From its first day to the last, both included, and in some markets no longer than a newer
// rule lets it.
func TestDaysOfRules(t *testing.T) {
	open := readRule(t, rule)
	bounded := readRule(t, rule.With("applies_from", "2026-05-01").With("applies_until", "2027-08-31"))
	replaced := rule.With("replaced_from", "2027-01-01").With("replaced_in", "EU")
	without, within, before := readRule(t, replaced), readRule(t, replaced.With("applies_until", "2027-08-31")),
		readRule(t, replaced.With("applies_until", "2026-12-30"))
	for _, c := range []struct {
		name   string
		l      *Limit
		market rows.Market
		day    string
		in     bool
		until  string
	}{
		{"long in force", open, rows.EU, "2013-07-11", true, ""},
		{"before the first day", bounded, rows.EU, "2026-04-30", false, "2027-08-31"},
		{"the first day", bounded, rows.EU, "2026-05-01", true, "2027-08-31"},
		{"the last day", bounded, rows.GB, "2027-08-31", true, "2027-08-31"},
		{"behind it", bounded, rows.GB, "2027-09-01", false, "2027-08-31"},
		{"the last day before the newer rule", without, rows.NI, "2026-12-31", true, "2026-12-31"},
		{"its first day", without, rows.EU, "2027-01-01", false, "2026-12-31"},
		{"in the other market", without, rows.GB, "2027-01-01", true, ""},
		{"the newer rule comes first", within, rows.EU, "2026-12-31", true, "2026-12-31"},
		{"its own end, in the other market", within, rows.GB, "2027-08-31", true, "2027-08-31"},
		{"its own end comes first", before, rows.EU, "2026-12-31", false, "2026-12-30"},
	} {
		assert.Equal(t, c.in, c.l.In(c.market, date(t, c.day)), c.name)
		var until exact.Date
		if c.until != "" {
			until = date(t, c.until)
		}
		assert.Equal(t, until, c.l.UntilIn(c.market), c.name)
	}
	only := readRule(t, rule.With("market", "GB"))
	assert.False(t, only.In(rows.EU, date(t, "2026-05-01")))
	assert.True(t, only.In(rows.GB, date(t, "2026-05-01")))
}

// What a limit is expressed as, and what it counts of others.
func TestBasisOfRules(t *testing.T) {
	b := readRule(t, rule.With("basis", "as acid").With("counted_as", "*acid;Phenol").
		With("factors", "Zinc Exemplate||0.5;Zinc Exemplate|anhydrous|0.6;Zinc Exemplate|dihydrate|0.4")).Basis
	for name, is := range map[string]bool{"Exemplic Acid": true, "Acid": true, "Acid Red": false, "phenol": true,
		"Phenolate": false} {
		assert.Equal(t, is, b.Is(name), name)
	}
	for name, want := range map[string]string{"zinc exemplate": "0.6", "Zinc Exemplate (dihydrate)": "0.4",
		"Zinc Exemplate (anhydrous)": "0.6", "Sodium Exemplate": ""} {
		factor, stated := b.Of(name)
		assert.Equal(t, want != "", stated, name)
		if want == "" {
			want = "1"
		}
		assert.Equal(t, want, factor.Exact(), name)
	}
	factor, stated := readRule(t, rule.With("basis", "as acid").With("factors", "Zinc Exemplate||0.5")).Basis.Of("Zinc Exemplate")
	assert.True(t, stated)
	assert.Equal(t, "0.5", factor.Exact())
	factor, stated = Basis{}.Of("Exemplum")
	assert.False(t, stated)
	assert.Equal(t, "1", factor.Exact())
}

// Rules for hair and lash dyes and nothing else.
func TestRulesForDyes(t *testing.T) {
	for when, dyes := range map[string]bool{"product=hair-dye": true, "product=hair-dye-oxidative|eyelash-tint": true,
		"product=hair-dye-nonoxidative & rinse-off": true, "rinse-off & product=hair-dye": true, "all": false,
		"product=hair-dye|shampoo": false, "product=shampoo|hair-dye": false, "except=product:hair-dye": false,
		"except=natural-content": false, "function=fragrance": false} {
		assert.Equal(t, dyes, readRule(t, rule.With("condition", when)).DyesHair(), when)
	}
}

// A row of several markets names the entry in the annex of each.
func TestSourcesOfMarkets(t *testing.T) {
	text := rowstest.Table(LawStateColumns,
		rowstest.Cells{"market": "EU", "consolidated_to": "2026-10-01", "cited": "EU {entry}, up to {to}", "source": "act", "seen": "seen"},
		rowstest.Cells{"market": "GB", "consolidated_to": "2026-09-01", "cited": "GB {entry}, up to {to}",
			"entry_cited": "UK {entry} of {to}", "source": "act", "seen": "seen"})
	states, err := ReadLawStates("t.csv", text)
	require.NoError(t, err)
	assert.Equal(t, "EU V, up to 2026-10-01", states[0].Cite("V"))
	l := readRule(t, rule)
	l.States = states
	assert.Equal(t, []string{"act", "act", "UK III/1 of 2026-09-01"},
		[]string{l.SourceIn(rows.EU), l.SourceIn(rows.NI), l.SourceIn(rows.GB)})
	assert.Equal(t, []string{"act", "UK III/1 of 2026-09-01"}, l.SourcesIn([]rows.Market{rows.EU, rows.NI, rows.GB}))
	l.Markets = []rows.Market{rows.GB}
	assert.Equal(t, "act", l.SourceIn(rows.GB), "its source is that of its only market")
	assert.Equal(t, []string{"act"}, l.SourcesIn([]rows.Market{rows.EU, rows.GB}))
	assert.Empty(t, l.SourcesIn([]rows.Market{rows.EU}))
	l.Markets, l.Own = []rows.Market{rows.EU, rows.GB}, true
	assert.Equal(t, "act", l.SourceIn(rows.GB), "a maker's row rests on what the maker names")
	rowstest.Refuses(t, ReadLawStates, LawStateColumns, rowstest.Cells{"market": "EU", "cited": "x", "source": "act", "seen": "seen"},
		[][3]string{{"market", "NI", `market: "NI" is none of EU, GB`}, {"cited", "", "cited is empty"},
			{"market", "", "market is empty\nthe row has no key\nmarket: \"\" is none of EU, GB"}})
}
