package store

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestWriteWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "pack.pdf")
	content := func(want string) {
		t.Helper()
		got, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, want, string(got))
		list, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, list, 1, "nothing is left beside the file")
	}
	put := func(s string) func(io.Writer) error {
		return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
	}
	require.NoError(t, writeWhole(path, put("first")))
	content("first")
	require.NoError(t, writeWhole(path, put("second")))
	content("second")

	broken := errors.New("broken")
	err := writeWhole(path, func(w io.Writer) error {
		_, _ = io.WriteString(w, "half")
		return broken
	})
	require.ErrorIs(t, err, broken)
	require.ErrorContains(t, err, path)
	content("second")

	require.Panics(t, func() { _ = writeWhole(path, func(io.Writer) error { panic("x") }) })
	content("second")

	require.Error(t, writeWhole(filepath.Join(dir, "no", "such", "folder"), put("x")))
	content("second")
}

func TestWriteWholeKeepsTheMode(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x")
	require.NoError(t, os.WriteFile(path, nil, 0o640))
	require.NoError(t, writeWhole(path, func(io.Writer) error { return nil }))
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o640), info.Mode().Perm())
}

// TestSweep: of unfinished files only those go that no run holds, and nothing
// else goes.
func TestSweep(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	stay := []string{"pack.pdf", ".pack.pdf.123", "pack.pdf.123.part", ".pack.part", ".123.part", ".notes.swp"}
	for _, name := range append(stay, ".pack.pdf.123.part", ".pack.xlsx.98765.part") {
		require.NoError(t, os.WriteFile(at(name), []byte("x"), 0o644))
		require.NoError(t, os.Chtimes(at(name), time.Time{}, time.Now().Add(-2*leftAge)))
	}
	require.NoError(t, os.Mkdir(at(".folder.1.part"), 0o755))
	s, err := Stage(at("new.pdf"), func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err })
	require.NoError(t, err)
	temp := filepath.Base(s.temp)
	sweep(dir)
	sweep(dir)
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	require.ElementsMatch(t, append(stay, ".folder.1.part", temp), names)
	require.NoError(t, s.place())
	require.NoFileExists(t, at(temp))
	require.FileExists(t, at("new.pdf"))
}
