package stability_test

import (
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/stability"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/testdata"
)

func wash(t *testing.T) *assess.Assessment {
	t.Helper()
	tree, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	dir := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, store.WriteTree(dir, tree))
	w, _ := workshop.Load(dir, table.Builtin())
	require.NotNil(t, w)
	return assess.Run(w, w.Product("heath-wash"), assess.Options{Date: 20261125, Law: table.Builtin()})
}

// The demo's wash: one batch of Gorse in all tests, reasons for three others in two of them.
func TestTestsOf(t *testing.T) {
	a := wash(t)
	tests := stability.TestsOf(a)
	assert.Len(t, tests, 5)
	for _, x := range tests {
		tested, _ := x.Stands("gorse")
		assert.True(t, tested, x.Name)
		for _, other := range []string{"plain", "heather", "duo", "scrub"} {
			tested, because := x.Stands(other)
			assert.False(t, tested, "%s counts for %s", x.Name, other)
			covered := (x.Name == "challenge test" || x.Name == "storage, heat, 40 °C") && other != "scrub"
			assert.Equal(t, covered, because != "", "%s, %s", x.Name, other)
		}
	}
	assert.Equal(t, []string{"scrub"}, stability.Uncovered(a, stability.IsStorage))
	assert.Equal(t, []string{"plain", "heather", "duo", "scrub"},
		stability.Uncovered(a, func(x *stability.Tested) bool { return x.Name == "total count" }))
	assert.Nil(t, stability.Uncovered(a, func(*stability.Tested) bool { return false }), "no such test: asked elsewhere")
}
