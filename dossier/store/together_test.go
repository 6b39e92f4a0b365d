package store

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

// TestWriteFiles: files that belong together are all new or all as they were.
func TestWriteFiles(t *testing.T) {
	for name, c := range map[string]struct {
		before map[string]string // what is there
		hinder func(t *testing.T, dir string)
		want   map[string]string
		what   string // part of the error; "" for none
	}{
		"first time": {nil, nil, map[string]string{"a.pdf": "new a", "a.xlsx": "new x"}, ""},
		"again": {map[string]string{"a.pdf": "old a", "a.xlsx": "old x"}, nil,
			map[string]string{"a.pdf": "new a", "a.xlsx": "new x"}, ""},
		"PDF protected": {map[string]string{"a.pdf": "old a", "a.xlsx": "old x"}, func(t *testing.T, dir string) {
			require.NoError(t, os.Chmod(filepath.Join(dir, "a.pdf"), 0o444))
		}, map[string]string{"a.pdf": "old a", "a.xlsx": "old x"}, "a.pdf is write-protected"},
		"workbook protected": {map[string]string{"a.pdf": "old a", "a.xlsx": "old x"}, func(t *testing.T, dir string) {
			require.NoError(t, os.Chmod(filepath.Join(dir, "a.xlsx"), 0o444))
		}, map[string]string{"a.pdf": "old a", "a.xlsx": "old x"}, "a.xlsx is write-protected"},
		"a folder has the name": {map[string]string{"a.pdf": "old a"}, func(t *testing.T, dir string) {
			require.NoError(t, os.Mkdir(filepath.Join(dir, "a.xlsx"), 0o755))
		}, map[string]string{"a.pdf": "old a"}, "a folder has that name"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			for f, text := range c.before {
				require.NoError(t, os.WriteFile(filepath.Join(dir, f), []byte(text), 0o644))
			}
			if c.hinder != nil {
				c.hinder(t, dir)
			}
			err := WriteFiles(NewFile{filepath.Join(dir, "a.pdf"), []byte("new a")},
				NewFile{filepath.Join(dir, "a.xlsx"), []byte("new x")})
			if c.what == "" {
				require.NoError(t, err)
			} else {
				var value *exact.ValueError
				require.ErrorAs(t, err, &value)
				assert.Contains(t, value.What, c.what)
				assert.NotEmpty(t, value.Fix)
			}
			assert.Equal(t, c.want, filesIn(t, dir))
		})
	}
}

// TestWriteFilesPutsBack: when a later file cannot take its name, which no look
// beforehand could see, the one before it gets back what it held.
func TestWriteFilesPutsBack(t *testing.T) {
	dir := t.TempDir()
	first, second := filepath.Join(dir, "a.pdf"), filepath.Join(dir, "b", "a.xlsx")
	require.NoError(t, os.WriteFile(first, []byte("old a"), 0o640))
	require.NoError(t, os.Mkdir(filepath.Dir(second), 0o755))
	ready, err := Stage(first, NewFile{first, []byte("new a")}.write)
	require.NoError(t, err)
	lost, err := Stage(second, NewFile{second, []byte("new x")}.write)
	require.NoError(t, err)
	require.NoError(t, os.RemoveAll(filepath.Dir(second))) // so that its turn must fail
	require.Error(t, placeAll([]*staged{ready, lost}))
	assert.Equal(t, map[string]string{"a.pdf": "old a"}, filesIn(t, dir))
	info, err := os.Stat(first)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode().Perm())

	fresh := filepath.Join(dir, "c.pdf")
	ready, err = Stage(fresh, NewFile{fresh, []byte("new")}.write)
	require.NoError(t, err)
	require.Error(t, placeAll([]*staged{ready, lost}))
	assert.Equal(t, map[string]string{"a.pdf": "old a"}, filesIn(t, dir), "what was not there before is gone again")
}

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
