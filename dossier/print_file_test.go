package dossier

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWriteFileAtomic(t *testing.T) {
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
	require.NoError(t, WriteFileAtomic(path, put("first")))
	content("first")
	require.NoError(t, WriteFileAtomic(path, put("second")))
	content("second")

	broken := errors.New("broken")
	err := WriteFileAtomic(path, func(w io.Writer) error {
		_, _ = io.WriteString(w, "half")
		return broken
	})
	require.ErrorIs(t, err, broken)
	require.ErrorContains(t, err, path)
	content("second")

	require.Panics(t, func() { _ = WriteFileAtomic(path, func(io.Writer) error { panic("x") }) })
	content("second")

	require.Error(t, WriteFileAtomic(filepath.Join(dir, "no", "such", "folder"), put("x")))
	content("second")
}

func TestWriteFileAtomicKeepsTheMode(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x")
	require.NoError(t, os.WriteFile(path, nil, 0o640))
	require.NoError(t, WriteFileAtomic(path, func(io.Writer) error { return nil }))
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o640), info.Mode().Perm())
}
