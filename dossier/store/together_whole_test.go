package store_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier"
)

// filesIn reads the files of a folder, hidden ones too.
func filesIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	out := map[string]string{}
	for _, e := range entries {
		if e.IsDir() {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		out[e.Name()] = string(data)
	}
	return out
}

// TestWritePackAllOrNothing: a workbook that must not be replaced keeps the PDF
// old as well.
func TestWritePackAllOrNothing(t *testing.T) {
	a := assessFiles(t, fullFiles())
	dir := t.TempDir()
	_, _, err := dossier.WritePack(dir, a)
	require.NoError(t, err)
	before := filesIn(t, dir)
	require.Len(t, before, 2)
	book := filepath.Join(dir, a.Product.ID+"-pack.xlsx")
	require.NoError(t, os.Chmod(book, 0o444))
	changed := fullFiles()
	changed["products/cream.yaml"] += "\n# changed\n"
	files, _, err := dossier.WritePack(dir, assessFiles(t, changed))
	require.ErrorContains(t, err, "write-protected")
	assert.Empty(t, files)
	assert.Equal(t, before, filesIn(t, dir))
	require.NoError(t, os.Chmod(book, 0o644))
	_, _, err = dossier.WritePack(dir, assessFiles(t, changed))
	require.NoError(t, err)
	assert.NotEqual(t, before, filesIn(t, dir), "the change is in the pack, so that the test above could fail")
}
