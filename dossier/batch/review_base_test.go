package batch_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/workshop"
)

// TestRecordHeldTogether changes one thing in a record that is in order.
func TestRecordHeldTogether(t *testing.T) {
	const record = `code: T-1
product: tide
revision: 2
date: 2026-11-20
division_g: 0.1
batch_g: 1000
lines:
  - {ingredient: water, planned_g: 991, weighed_g: 991, lot: W1}
  - {ingredient: oil, planned_g: 9, weighed_g: 9, lot: O1}
yield: {filled_units: 9, filled_g: 905, rejected_units: 2}
`
	about := []string{"batch-sums", "batch-revision", "batch-lots-twice", "batch-own-lot", "batch-dates"}
	for name, c := range map[string]struct {
		from, to string
		want     []string
	}{
		"in order":                           {"", "", nil},
		"planned as far off as the steps go": {"batch_g: 1000", "batch_g: 1000.2", nil},
		"planned further off":                {"batch_g: 1000", "batch_g: 1000.3", []string{"ask batch-sums/planned"}},
		"planned less than the lines":        {"batch_g: 1000", "batch_g: 999.7", []string{"ask batch-sums/planned"}},
		"weighed in by need":                 {"planned_g: 9,", "", nil},
		"all rejected":                       {"rejected_units: 2", "rejected_units: 9", nil},
		"more rejected than filled": {"rejected_units: 2", "rejected_units: 10",
			[]string{"stop batch-sums/rejected"}},
		"an earlier revision":       {"revision: 2", "revision: 1", nil},
		"a revision that never was": {"revision: 2", "revision: 3", []string{"ask batch-revision"}},
		"lots alone":                {"lot: O1", "lots: [{lot: O1, g: 4}, {lot: O2, g: 5}]", nil},
		"a lot beside lots": {"lot: O1", "lot: O3, lots: [{lot: O1, g: 4}, {lot: O2, g: 5}]",
			[]string{"ask batch-lots-twice"}},
		"a lot beside an empty list": {"lot: O1", "lot: O3, lots: ", nil},
		"its own code as lot":        {"lot: O1", "lot: ' t-1'", []string{"stop batch-own-lot"}},
		"its own code in a list": {"lot: O1", "lots: [{lot: O1, g: 4}, {lot: T-1, g: 5}]",
			[]string{"stop batch-own-lot"}},
		"a slip in the year":          {"date: 2026-11-20", "date: 1926-11-20", []string{"ask batch-dates/long-ago"}},
		"thirty years ago to the day": {"date: 2026-11-20", "date: 1996-11-25", nil},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(record, c.from, c.to, 1)
			require.True(t, c.from == "" || text != record)
			sheet := func(id, inci string) *fstest.MapFile {
				return &fstest.MapFile{Data: []byte("id: " + id + "\nname: " + inci + "\ncomposition: {complete: true, constituents: [{inci: " + inci + ", pct: 100}]}\nfunctions: [solvent]\n")}
			}
			w, _ := workshop.LoadFS("shop", fstest.MapFS{
				"workshop.yaml":          {Data: []byte("maker: {name: Skerry (invented), address: [x]}\nmarkets: [GB]\n")},
				"ingredients/water.yaml": sheet("water", "Aqua"), "ingredients/oil.yaml": sheet("oil", "Canola Oil"),
				"products/tide.yaml": {Data: []byte("id: tide\nname: Tide\nrevision: 2\nproduct_type: body-lotion\nintended_for: adults\nnet_content: {g: 100}\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: oil, amount: 0.9}]}]}\n")},
				"batches/T-1.yaml":   {Data: []byte(text)},
			}, table.Builtin())
			require.NotNil(t, w.Batch("T-1"))
			a := assess.Run(w, w.Products[0], assess.Options{Date: 20261125, Law: table.Builtin()})
			var got []string
			for _, f := range batch.Review(w, w.Batch("T-1"), a).Findings {
				if slices.Contains(about, f.Code) {
					got = append(got, strings.TrimSuffix(f.Severity.String()+" "+f.Code+"/"+f.Form, "/"))
				}
			}
			assert.Equal(t, c.want, got)
		})
	}
}
