package store

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
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

// TestWriteErrors: the errors of a disk have words for the maker and keep the
// error for programs.
func TestWriteErrors(t *testing.T) {
	for cause, want := range map[error]string{
		&os.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC}:            "the disk is full",
		&os.PathError{Op: "write", Path: "x", Err: syscall.EFBIG}:             "a file there may not be so large",
		&os.PathError{Op: "open", Path: "x", Err: syscall.EROFS}:              "the disk can only be read",
		&os.PathError{Op: "open", Path: "x", Err: syscall.EACCES}:             "no permission",
		&os.LinkError{Op: "rename", Old: "a", New: "x", Err: syscall.EEXIST}:  "there is one already",
		&os.LinkError{Op: "rename", Old: "a", New: "x", Err: syscall.ENOTDIR}: syscall.ENOTDIR.Error(),
		&os.PathError{Op: "open", Path: "x/y", Err: fs.ErrNotExist}:           "there is no folder shop/out",
	} {
		err := CannotWrite("shop/out/x.pdf", cause)
		require.ErrorIs(t, err, cause)
		var words *exact.ValueError
		require.ErrorAs(t, err, &words)
		require.Equal(t, "shop/out/x.pdf cannot be written: "+want+"; what was there is unchanged", words.What)
		require.NotEmpty(t, words.Fix)
	}
}

// TestWriteTreeTakesBack: where a file of a tree cannot be written, those before
// it go again, and what was there before stays.
func TestWriteTreeTakesBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	long := strings.Repeat("x", 300) // more than a file name holds
	err := WriteTree(dir, fstest.MapFS{"a/one.txt": {Data: []byte("1")}, "b.txt": {Data: []byte("2")}, long: {Data: []byte("3")}})
	require.Error(t, err)
	require.NoDirExists(t, dir)
}
