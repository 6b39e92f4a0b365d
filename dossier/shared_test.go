package dossier

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
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

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}

const workshopFile = "maker: {name: M, address: [A]}\nmarkets: [GB]\n"

func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"workshop.yaml": {Data: []byte(workshopFile)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}
