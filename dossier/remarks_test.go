package dossier

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/figures"
	"gallipot/dossier/ready"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/testdata"
)

// reworded returns the tables of the program with every cell of their remarks, as
// far as it is not empty, replaced by x, and how many cells that are.
func reworded(t testing.TB) (tables *table.Tables, cells int) {
	t.Helper()
	names, err := fs.Glob(table.Files(), "*.csv")
	require.NoError(t, err)
	files := fstest.MapFS{}
	for _, name := range names {
		data, err := fs.ReadFile(table.Files(), name)
		require.NoError(t, err)
		records, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
		require.NoError(t, err)
		remarks := table.Remarks(name)
		require.Subset(t, records[0], remarks, name)
		require.Subset(t, remarks, []string{"source", "note"}, name)
		for i, col := range records[0] {
			for _, row := range records[1:] {
				if slices.Contains(remarks, col) && row[i] != "" {
					row[i] = "x"
					cells++
				}
			}
		}
		var out bytes.Buffer
		require.NoError(t, csv.NewWriter(&out).WriteAll(records))
		files[name] = &fstest.MapFile{Data: out.Bytes()}
	}
	tables, err = table.Read(files)
	require.NoError(t, err)
	return tables, cells
}

// sayings are the keys of the JSON under which words of the tables are printed.
var sayings = []string{"source", "reason", "why", "what", "missing", "findings"}

// unsaidJSON is the JSON of an assessment without what the tables say in words.
func unsaidJSON(t testing.TB, a *assess.Assessment) string {
	t.Helper()
	var buf bytes.Buffer
	require.NoError(t, figures.WriteJSON(&buf, []*assess.Assessment{a}))
	var v any
	d := json.NewDecoder(&buf)
	d.UseNumber()
	require.NoError(t, d.Decode(&v))
	out, err := json.MarshalIndent(unsaid(v), "", " ")
	require.NoError(t, err)
	return string(out)
}

func unsaid(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for key := range v {
			switch {
			case slices.Contains(sayings, key):
				delete(v, key)
			case key == "arithmetic": // which ends with a reason where there is no margin
				v[key], _, _ = strings.Cut(fmt.Sprint(v[key]), "; no MoS: ")
			default:
				v[key] = unsaid(v[key])
			}
		}
	case []any:
		for i := range v {
			v[i] = unsaid(v[i])
		}
	}
	return v
}

// saidOf is what is found of a product, without its words.
func saidOf(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, fmt.Sprint(f.Severity, " ", f.Code, " ", f.Subject, " ", f.Pos, " ", f.Variants, " ", f.Markets))
	}
	slices.Sort(out)
	return out
}

// Rewording every note, source and remark of every table changes no figure, no
// verdict, no finding and no fingerprint, over the demo and a made-up workshop.
func TestRemarksMeanNothing(t *testing.T) {
	other, cells := reworded(t)
	require.Greater(t, cells, 4000)
	demo, _ := workshop.Load("../testdata/demo", table.Builtin())
	large, _ := workshop.LoadFS("large", testdata.Large(testdata.Size{Sheets: 60, Products: 3, Variants: 2}),
		table.Builtin())
	figures, findings := 0, 0
	for _, w := range []*workshop.Workshop{demo, large} {
		one, two := assess.Session(w, table.Builtin()), assess.Session(w, other)
		for _, p := range w.Products {
			for _, day := range []exact.Date{testDay, 20280901} {
				before := Assess(w, p,
					assess.Options{Date: day, Law: table.Builtin(), Session: one, Markets: []rows.Market{rows.GB, rows.EU}})
				after := Assess(w, p,
					assess.Options{Date: day, Law: other, Session: two, Markets: []rows.Market{rows.GB, rows.EU}})
				assert.Equal(t, before.Fingerprint, after.Fingerprint, p.ID)
				a, b := unsaidJSON(t, before), unsaidJSON(t, after)
				figures += strings.Count(a, "\n")
				require.Equal(t, a, b, p.ID)
				require.Equal(t, saidOf(before.Findings), saidOf(after.Findings), p.ID)
				findings += len(before.Findings)
				require.Equal(t, readyOf(before), readyOf(after), p.ID)
			}
		}
	}
	require.Greater(t, figures, 50_000)
	require.Greater(t, findings, 300)
}

// readyOf is which items of the file are there.
func readyOf(a *assess.Assessment) (out []string) {
	for _, item := range ready.Readiness(a) {
		out = append(out, fmt.Sprint(item.ID, " ", item.State))
	}
	return out
}
