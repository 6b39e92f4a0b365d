package dossier

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/dossier/workshop"
	"gallipot/testdata"
)

// The PDF and the spreadsheet of a pack are both new, or both as they were.
func TestWritePackAllOrNothing(t *testing.T) {
	shop, out := filepath.Join(t.TempDir(), "demo"), t.TempDir()
	tree, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	require.NoError(t, store.WriteTree(shop, tree))
	assessed := func() *assess.Assessment {
		w, _ := workshop.Load(shop, table.Builtin())
		require.NotNil(t, w)
		return Assess(w, w.Product("salt-scrub"), assess.Options{Date: testDay, Law: table.Builtin()})
	}
	names := []string{filepath.Join(out, "salt-scrub-pack.xlsx"), filepath.Join(out, "salt-scrub-pack.pdf"),
		filepath.Join(out, "salt-scrub-part-b.docx"), filepath.Join(out, "salt-scrub-profiles.pdf")}
	written := func() (all []string) {
		entries, err := os.ReadDir(out)
		require.NoError(t, err)
		require.Len(t, entries, 4)
		for _, name := range names {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			all = append(all, string(data))
		}
		return all
	}
	files, _, err := WritePack(out, assessed())
	require.NoError(t, err)
	require.Equal(t, names, files)
	before := written()

	require.NoError(t, os.Chmod(names[0], 0o444))
	source := filepath.Join(shop, "products", "salt-scrub.yaml")
	text, err := os.ReadFile(source)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(source, append(text, "\n# changed\n"...), 0o600))
	files, _, err = WritePack(out, assessed())
	require.ErrorContains(t, err, "write-protected")
	assert.Empty(t, files)
	assert.True(t, assert.ObjectsAreEqual(before, written()), "a file changed")

	require.NoError(t, os.Chmod(names[0], 0o644))
	_, _, err = WritePack(out, assessed())
	require.NoError(t, err)
	assert.False(t, assert.ObjectsAreEqual(before, written()),
		"the change is in the pack, so that the test above could fail")
}
