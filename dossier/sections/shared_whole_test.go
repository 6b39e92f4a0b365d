package sections_test

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

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
