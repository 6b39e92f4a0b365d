package dossier

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/answer/answertest"
	"gallipot/dossier/assess"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

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

// onlyFinding returns the one finding of a code.
func onlyFinding(t *testing.T, fs []finding.Finding, code string) finding.Finding {
	t.Helper()
	var got []finding.Finding
	for _, f := range fs {
		if f.Code == code {
			got = append(got, f)
		}
	}
	require.Len(t, got, 1, code)
	return got[0]
}

const testDay = exact.Date(20261125)

// signature is what every complete answer has.
func signature() map[string]answertest.Cells {
	return map[string]answertest.Cells{
		"B4":  {2: "Dr Morag Fenwick (invented), 2 Tarn Row, Northness"},
		"B4a": {2: "toxicologist, university degree (invented)"},
		"B4b": {2: "25 November 2026"},
		"B1a": {2: "Safe under the conditions written."},
		"B1e": {2: "at most 0.9 % of the preservative\nin the jar as tested"},
		"V01": {2: "valid"}, "V02": {2: "valid on condition",
			3: "after its own challenge test"}, "M01": {2: "valid"},
	}
}

func with(a map[string]answertest.Cells, code string, c answertest.Cells) map[string]answertest.Cells {
	a[code] = c
	return a
}
