package edit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestMerge(t *testing.T) {
	const base = "a: 1   # one\nb: x\nlines:\n  - {i: w, n: 1}\n  - {i: g, n: 2}\nl: [1]\n"
	const mine = "a: 1   # one\nb: zz\nlines:\n  - {i: w, n: 5}\n  - {i: g, n: 2}\nl: [1]\n"
	const theirs = "# new\na: 2   # one\nb: x\nlines:\n  - {i: w, n: 7}\n  - {i: g, n: 3}\nl: [1, 2]\n"
	ds, ok := Compare([]byte(base), []byte(mine), []byte(theirs))
	require.True(t, ok)
	require.Equal(t, []Difference{
		{Path: "/a", Name: "a", Was: "1", Here: "1", There: "2", Theirs: true},
		{Path: "/b", Name: "b", Was: "x", Here: "zz", There: "x", Mine: true},
		{Path: "/lines/0/n", Name: "lines · 1 · n", Was: "1", Here: "5", There: "7", Mine: true, Theirs: true, Both: true},
		{Path: "/lines/1/n", Name: "lines · 2 · n", Was: "2", Here: "2", There: "3", Theirs: true},
		{Path: "/l", Name: "l", Was: "[1]", Here: "[1]", There: "[1, 2]", Theirs: true},
	}, ds)
	got, err := Merge("f", []byte(base), []byte(mine), []byte(theirs),
		func(p string) bool { return p == "/b" || p == "/lines/0/n" || p == "/lines/1/n" })
	require.NoError(t, err)
	require.Equal(t, "# new\na: 2   # one\nb: zz\nlines:\n  - {i: w, n: 5}\n  - {i: g, n: 2}\nl: [1, 2]\n", string(got))
	_, ok = Compare([]byte(base), []byte("a: ["), []byte(theirs))
	require.False(t, ok)
}
