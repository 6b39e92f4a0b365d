package source

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A file that is kept is parsed once and says the same; canonical forms outlive
// the release.
func TestKeptSource(t *testing.T) {
	const text = "b: 2\na: [1, 'two'] # why\nskip: 3\n"
	plain, kept := NewSource("a.yaml", []byte(text)), NewSource("a.yaml", []byte(text))
	kept.Keep()
	want := string(plain.Canonical("skip"))
	assert.Equal(t, `{"a": ["1", "two", ], "b": "2", }`, want)
	for range 2 {
		assert.Equal(t, want, string(kept.Canonical("skip")))
		assert.NotEqual(t, want, string(kept.Canonical()))
	}
	kept.Release()
	assert.Equal(t, want, string(kept.Canonical("skip")))
	assert.Equal(t, `{"a": ~, }`, string(NewSource("a.yaml", []byte("a:\n")).Canonical()))
	assert.Equal(t, "a: [", string(NewSource("a.yaml", []byte("a: [")).Canonical()),
		"what does not parse stands for itself")
}

// TestCanonicalLeavesOut: keys and keys of groups are left out, and a group that
// holds nothing else.
func TestCanonicalLeavesOut(t *testing.T) {
	of := func(text string, skip ...string) string {
		return string(NewSource("x.yaml", []byte(text)).Canonical(skip...))
	}
	all := of("a: 1\nb: {c: 2, d: 3}\n")
	require.Equal(t, of("b: {c: 2, d: 3}\n"), of("a: 1\nb: {c: 2, d: 3}\n", "a"))
	require.Equal(t, of("a: 1\nb: {d: 3}\n"), of("a: 1\nb: {c: 2, d: 3}\n", "b.c"))
	require.Equal(t, of("a: 1\n"), of("a: 1\nb: {c: 2, d: 3}\n", "b.c", "b.d"), "an emptied group is gone")
	require.Equal(t, all, of("a: 1\nb: {c: 2, d: 3}\n", "c", "b.e", "a.x"), "c is no outermost key")
	require.Equal(t, of("b: {c: [{c: 1}]}"), of("b: {c: [{c: 1}], d: 2}", "b.d"), "keys further in stay")
	require.NotEqual(t, of("b: {}"), of(""), "a group that was empty from the start stays")
}
