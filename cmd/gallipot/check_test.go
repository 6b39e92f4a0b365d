package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// heard notes what was said on standard error when the first of the output came.
type heard struct {
	bytes.Buffer
	errout *bytes.Buffer
	before string
}

func (h *heard) Write(p []byte) (int, error) {
	if h.Len() == 0 {
		h.before = h.errout.String()
	}
	return h.Buffer.Write(p)
}

// What is much by count is said before it is done, also where nobody sits at a terminal.
func TestCheckSaysWhatItDoes(t *testing.T) {
	said := func(size testdata.Size, args ...string) (before, errout, out string) {
		dir := t.TempDir()
		require.NoError(t, os.CopyFS(dir, testdata.Large(size)))
		var e bytes.Buffer
		o := heard{errout: &e}
		run(append([]string{"check", "--workshop", dir}, args...), strings.NewReader(""), &o, &e, 20261129)
		return o.before, e.String(), o.String()
	}
	many := testdata.Size{Sheets: manyFiles - 2, Products: 2, Variants: manyVariants / 2}
	const both = "gallipot: reading 200 files\ngallipot: computing 2 products\n"
	before, errout, _ := said(many)
	require.Equal(t, both, before, "said before anything is printed")
	require.Equal(t, both, errout)
	before, _, out := said(many, "--stream")
	require.Equal(t, both, before)
	require.Equal(t, 1, strings.Count(out, "wash-0000: "), "each product under its name")
	_, errout, _ = said(many, "--json")
	require.Equal(t, both, errout)
	few := testdata.Size{Sheets: 20, Products: 1, Variants: manyVariants - 1}
	_, errout, _ = said(few)
	require.Empty(t, errout)
}
