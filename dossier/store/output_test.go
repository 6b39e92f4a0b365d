package store

import (
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// TestWriteTreeTakesBack: where a file of a tree cannot be written, those before
// it go again, and what was there before stays.
func TestWriteTreeTakesBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	long := strings.Repeat("x", 300) // more than a file name holds
	err := WriteTree(dir, fstest.MapFS{"a/one.txt": {Data: []byte("1")}, "b.txt": {Data: []byte("2")},
		long: {Data: []byte("3")}})
	require.Error(t, err)
	require.NoDirExists(t, dir)
}
