package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// The reader that the program carries is what this command makes of the library's module.
func TestReaderIsFresh(t *testing.T) {
	const root = "../.."
	packed, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(target)))
	require.NoError(t, err)
	r, err := gzip.NewReader(bytes.NewReader(packed))
	require.NoError(t, err)
	have, err := io.ReadAll(r)
	require.NoError(t, err)
	module, err := original(root)
	require.NoError(t, err)
	want, _, err := leanReader(root, module)
	require.NoError(t, err)
	require.True(t, bytes.Equal(want, have), "run go run ./testdata/pdfreader")
}

// A module of six functions, put together by hand: 0 comes from outside, 1 is exported and
// called, 2 is called by 1, 3 and 4 stand in the table, 3 with the type that 1 calls through
// it, 5 is exported and not called.
func TestWithoutUncalled(t *testing.T) {
	section := func(id byte, data ...byte) []byte { return append([]byte{id, byte(len(data))}, data...) }
	build := func(exports []byte, bodies ...[]byte) []byte {
		code := []byte{byte(len(bodies))}
		for _, b := range bodies {
			code = append(append(code, byte(len(b))), b...)
		}
		return bytes.Join([][]byte{
			[]byte("\x00asm\x01\x00\x00\x00"),
			section(sectionType, 3, 0x60, 0, 0, 0x60, 1, 0x7f, 0, 0x60, 0, 0), // the third is the first again
			section(sectionImport, 1, 1, 'e', 1, 'f', 0, 0),
			section(sectionFunction, 5, 0, 0, 0, 1, 0),
			section(4, 1, 0x70, 0, 2),
			exports,
			section(sectionElement, 1, 0, opI32Const, 0, opEnd, 2, 3, 4),
			section(sectionCode, code...),
		}, nil)
	}
	first := []byte{0, opCall, 2, opI32Const, 0, opCallIndirect, 2, 0, opEnd}
	plain, other := []byte{0, opCall, 0, opEnd}, []byte{0, opI32Const, 7, 0x1a, opEnd}
	stub := []byte{0, opUnreachable, opEnd}
	data := build(section(sectionExport, 2, 1, 'a', 0, 1, 1, 'b', 0, 5), first, plain, other, other, other)
	want := build(section(sectionExport, 1, 1, 'a', 0, 1), first, plain, other, stub, stub)
	got, left, err := withoutUncalled(data, map[string]bool{"a": true})
	require.NoError(t, err)
	require.Equal(t, "3 functions of 5", left)
	require.Equal(t, want, got)

	for n := range len(data) { // cut off, it is refused or lacks its code
		short, _, err := withoutUncalled(data[:n], map[string]bool{"a": true})
		require.True(t, err != nil || len(short) < len(want), "%d bytes", n)
	}
	_, _, err = withoutUncalled(data, map[string]bool{"c": true})
	require.ErrorContains(t, err, "no function")
	_, _, err = withoutUncalled(build(section(sectionExport, 1, 1, 'a', 0, 1), []byte{0, 0xff, opEnd}, plain,
		other, other, other),
		map[string]bool{"a": true})
	require.ErrorContains(t, err, "instruction 0xff")
}
