package calc_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/calc/plaintest"
	"gallipot/calc/standards"
)

// rewordedTables returns the tables of the program with every remark replaced by x.
func rewordedTables(t testing.TB) *table.Tables {
	t.Helper()
	names, err := fs.Glob(table.Files(), "*.csv")
	require.NoError(t, err)
	files := fstest.MapFS{}
	for _, name := range names {
		data, err := fs.ReadFile(table.Files(), name)
		require.NoError(t, err)
		records, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		require.NoError(t, err)
		for i, col := range records[0] {
			for _, row := range records[1:] {
				if slices.Contains(table.Remarks(name), col) && row[i] != "" {
					row[i] = "x"
				}
			}
		}
		var out bytes.Buffer
		require.NoError(t, csv.NewWriter(&out).WriteAll(records))
		files[name] = &fstest.MapFile{Data: out.Bytes()}
	}
	tables, err := table.Read(files)
	require.NoError(t, err)
	return tables
}

// verdictsOf is what an assessment decides and computes, without its words.
func verdictsOf(r *calc.Result) []string {
	var out []string
	say := func(args ...any) { out = append(out, fmt.Sprint(args...)) }
	for _, c := range r.Limits {
		say("limit ", c.Row.Key, c.Substances, c.Content, c.Verdict, c.LimitPct, c.HighestPct, c.WorstIn)
	}
	for _, l := range limits.LabelTexts(r.Limits) {
		say("label ", l.Text, l.Substances, l.Certain)
	}
	for _, c := range limits.Criteria(r.Input, r.Compositions) {
		say("criterion ", c.Ingredient, c.Substance, c.Text, c.Row.Key)
	}
	for _, c := range r.Standards {
		say("Standard ", c.Standard, c.Category, c.Verdict, c.Content, c.LimitPct, c.Ratio)
	}
	for _, m := range r.Margins {
		say("margin ", m.INCI, m.Verdict, m.MoS, m.PoDSys, m.SED.Max)
	}
	for _, a := range r.Allergens {
		say("allergen ", a.LabelName, a.Verdict, a.Worst)
	}
	for _, f := range r.Findings {
		say("finding ", f.Severity, f.Code, f.Subject, f.Pos)
	}
	return out
}

// Rewording every note, source and remark of every table changes no verdict: for
// each row of the limits a formula with what it names, above its figure, in a
// product it is for; and generated formulas around the figures of the rows.
func TestRemarksMeanNothing(t *testing.T) {
	tableRows, rules := plaintest.RawTable(t, "limits.csv"), &plaintest.Rules{Asked: formulatest.PlainAsked()}
	pool := rules.Pool(tableRows)
	groups := plaintest.Groups(tableRows, pool)
	other := formula.NewSession(rewordedTables(t))
	said := 0
	same := func(p plaintest.Product, of func(*formula.Input, []*formula.Composition) []string) {
		in, comps := formulatest.PlainInput(t, p, -1, nil)
		there := *in
		there.Session = other
		before, after := of(in, comps), of(&there, comps)
		require.Equal(t, before, after, "%+v", p)
		said += len(before)
	}
	limitsAlone := func(in *formula.Input, comps []*formula.Composition) []string {
		run := limits.GroundOf(in, comps).Run(in)
		r := &calc.Result{Input: in, Compositions: comps}
		r.Limits, r.Findings = run.Limits()
		standards, found := standards.StandardsOfLimitRun(run)
		r.Standards, r.Findings = standards, append(r.Findings, found...)
		return verdictsOf(r)
	}
	for _, row := range tableRows {
		if row["note"] != "" {
			same(rules.Of(row, formulatest.PlainKinds()), limitsAlone)
		}
	}
	r := rand.New(rand.NewPCG(12, 29))
	for range 60 {
		same(plaintest.Random(r, tableRows, formulatest.PlainKinds(), pool, groups),
			func(in *formula.Input, _ []*formula.Composition) []string { return verdictsOf(calc.Assess(in)) })
	}
	require.Greater(t, said, 4000)
}
