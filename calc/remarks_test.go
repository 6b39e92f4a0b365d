package calc

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

	"gallipot/calc/law"
)

// rewordedTables returns the tables of the program with every remark replaced by x.
func rewordedTables(t testing.TB) *law.Tables {
	t.Helper()
	names, err := fs.Glob(law.Files(), "*.csv")
	require.NoError(t, err)
	files := fstest.MapFS{}
	for _, name := range names {
		data, err := fs.ReadFile(law.Files(), name)
		require.NoError(t, err)
		records, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		require.NoError(t, err)
		for i, col := range records[0] {
			for _, row := range records[1:] {
				if slices.Contains(law.Remarks(name), col) && row[i] != "" {
					row[i] = "x"
				}
			}
		}
		var out bytes.Buffer
		require.NoError(t, csv.NewWriter(&out).WriteAll(records))
		files[name] = &fstest.MapFile{Data: out.Bytes()}
	}
	tables, err := law.Read(files)
	require.NoError(t, err)
	return tables
}

// verdictsOf is what an assessment decides and computes, without its words.
func verdictsOf(r *Result) []string {
	var out []string
	say := func(args ...any) { out = append(out, fmt.Sprint(args...)) }
	for _, c := range r.Limits {
		say("limit ", c.Row.Key, c.Substances, c.Content, c.Verdict, c.LimitPct, c.HighestPct, c.WorstIn)
	}
	for _, l := range LabelTexts(r.Limits) {
		say("label ", l.Text, l.Substances, l.Certain)
	}
	for _, c := range Criteria(r.Input, r.Compositions) {
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

// Rewording every note, source and remark of every table changes no verdict, over
// generated formulas around the figures of the rows.
func TestRemarksMeanNothing(t *testing.T) {
	rows, dict := rawLimits(t), law.Builtin().Dictionary()
	pool := plainPool(rows, dict)
	groups := poolGroups(rows, pool)
	other := NewSession(rewordedTables(t))
	r := rand.New(rand.NewPCG(12, 29))
	said := 0
	for range 250 {
		p := generate(r, rows, pool, groups)
		in, _ := p.input(t, -1, nil)
		in.Product.Formula.Pos.Line = 1
		there := *in
		there.Session = other
		before, after := verdictsOf(Assess(in)), verdictsOf(Assess(&there))
		require.Equal(t, before, after, "%+v", p)
		said += len(before)
	}
	require.Greater(t, said, 5000)
}
