package ready_test

import (
	"testing/fstest"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// batchOptions are those of a run on the day of the tests.
func batchOptions() assess.Options { return assess.Options{Date: 20261125, Law: table.Builtin()} }

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}

// termText puts a summand into words.
func termText(t finding.Term) string { return words.Term(t.Key, t.Values, words.Terminal) }

const workshopFile = "maker: {name: M, address: [A]}\nmarkets: [GB]\n"

func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"workshop.yaml": {Data: []byte(workshopFile)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}
