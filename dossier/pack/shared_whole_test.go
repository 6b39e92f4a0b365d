package pack_test

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

// batchOptions are those of a run on the day of the tests.
func batchOptions() assess.Options { return assess.Options{Date: 20261125, Law: table.Builtin()} }

const testDay = exact.Date(20261125)

// demoAssessment assesses a product of the demo on the day the demo is made for.
func demoAssessment(t *testing.T, id string) *assess.Assessment {
	t.Helper()
	tree, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	dir := t.TempDir() + "/demo"
	require.NoError(t, store.WriteTree(dir, tree))
	w, _ := workshop.Load(dir, table.Builtin())
	require.NotNil(t, w)
	return dossier.Assess(w, w.Product(id), assess.Options{Date: testDay, Law: table.Builtin()})
}

const workshopFile = "maker: {name: M, address: [A]}\nmarkets: [GB]\n"

func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"workshop.yaml": {Data: []byte(workshopFile)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}
