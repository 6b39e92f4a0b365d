// Package dossiertest assesses the demo for the tests of other rooms.
package dossiertest

import (
	"io/fs"
	"path/filepath"
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

// day is the one the demo is made for.
const day = exact.Date(20261125)

// Demo assesses a product of the demo on its day.
func Demo(t testing.TB, id string) *assess.Assessment {
	t.Helper()
	tree, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	dir := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, store.WriteTree(dir, tree))
	w, _ := workshop.Load(dir, table.Builtin())
	require.NotNil(t, w)
	return dossier.Assess(w, w.Product(id), assess.Options{Date: day, Law: table.Builtin()})
}
