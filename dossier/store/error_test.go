package store

import (
	"io/fs"
	"os"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

// TestWriteErrors: the errors of a disk have words for the maker and keep the
// error for programs.
func TestWriteErrors(t *testing.T) {
	for cause, want := range map[error]string{
		&os.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC}:            "the disk is full",
		&os.PathError{Op: "write", Path: "x", Err: syscall.EFBIG}:             "a file there may not be so large",
		&os.PathError{Op: "open", Path: "x", Err: syscall.EROFS}:              "the disk can only be read",
		&os.PathError{Op: "open", Path: "x", Err: syscall.EACCES}:             "no permission",
		&os.LinkError{Op: "rename", Old: "a", New: "x", Err: syscall.EEXIST}:  "there is one already",
		&os.LinkError{Op: "rename", Old: "a", New: "x", Err: syscall.ENOTDIR}: "a part of its path is a file, not a folder",
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
