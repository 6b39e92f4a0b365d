package stability_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// batchOptions are those of a run on the day of the tests.
func batchOptions() assess.Options { return assess.Options{Date: 20261125, Law: table.Builtin()} }

// product is a file that reads without a finding; tests change one thing in it.
const product = `id: x
name: X
revision: 1
product_type: shower-gel
intended_for: adults
formula:
  basis: percent
  phases:
    - id: A
      lines:
        - {ingredient: water, amount: q.s.}
        - {slot: scent, amount: 0.8}
`

const testDay = exact.Date(20261125)

// assessFiles loads a workshop from memory and assesses its cream.
func assessFiles(t *testing.T, files map[string]string) *assess.Assessment {
	t.Helper()
	m := fstest.MapFS{}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	w, findings := workshop.LoadFS("w", m, table.Builtin())
	require.NotNil(t, w)
	for _, f := range findings {
		require.False(t, f.Unread, "%s %s", f.Pos, wordstest.Said(f).Message)
	}
	return assess.Run(w, w.Product("cream"), assess.Options{Date: testDay, Law: table.Builtin()})
}

const (
	notifiedOf  = "notifications: [{market: GB, number: \"1\", dated: 2026-04-01}, {market: EU, number: \"2\", dated: 2026-04-01}]\n"
	stabilityOf = "stability:\n  - {test: room, temp_c: 20, weeks: 26, pack: jar, verdict: pass, readings: [{week: 0, ph: 5.5}, {week: 26, ph: 5.5}]}\n"
	challengeOf = "  - {test: challenge, method: ISO 11930, verdict: A, dated: 2026-03-31, file: evidence/challenge.txt}\n"
)

func codesOf(fs []finding.Finding) (codes []string) {
	for _, f := range fs {
		codes = words.AddOnce(codes, f.Code)
	}
	return codes
}

// sheetFile is a sheet that reads without a finding.
func sheetFile(id, more string) string {
	return "id: " + id + "\nname: N\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n" + more
}
