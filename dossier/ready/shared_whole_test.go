package ready_test

import (
	"testing/fstest"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
)

// batchOptions are those of a run on the day of the tests.
func batchOptions() assess.Options { return assess.Options{Date: 20261125, Law: table.Builtin()} }

const workshopFile = "maker: {name: M, address: [A]}\nmarkets: [GB]\n"

func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"workshop.yaml": {Data: []byte(workshopFile)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}
