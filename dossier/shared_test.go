package dossier

import (
	"testing/fstest"

	"gallipot/ingredients/exact"
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

const testDay = exact.Date(20261125)

const workshopFile = "maker: {name: M, address: [A]}\nmarkets: [GB]\n"

func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"workshop.yaml": {Data: []byte(workshopFile)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}
