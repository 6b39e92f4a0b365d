package batch

import (
	"testing/fstest"

	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

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

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}

const workshopFile = "maker: {name: M, address: [A]}\nmarkets: [GB]\n"

// sheetFile is a sheet that reads without a finding.
func sheetFile(id, more string) string {
	return "id: " + id + "\nname: N\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n" + more
}

func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"workshop.yaml": {Data: []byte(workshopFile)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}
