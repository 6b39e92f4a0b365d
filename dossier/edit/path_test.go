package edit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParsePath(t *testing.T) {
	for text, want := range map[string]Path{
		"":                     nil,
		"/a":                   {"a"},
		"/a/b~1c/0/d~0e":       {"a", "b/c", "0", "d~e"},
		"/phases/id=A/lines/-": {"phases", "id=A", "lines", "-"},
	} {
		p, err := ParsePath(text)
		require.NoError(t, err)
		require.Equal(t, want, p)
		require.Equal(t, text, p.String())
	}
	_, err := ParsePath("a/b")
	require.Error(t, err)
}

func TestPathAt(t *testing.T) {
	f, err := Parse("f", []byte("é: x\nlines:\n  # c\n  - {i: water, n: 1}\n  - i: g\n    n: 2\nend: [a, b]\n"))
	require.NoError(t, err)
	for _, c := range []struct {
		line, col int
		want      string
	}{{1, 1, "/é"}, {1, 4, "/é"}, {4, 9, "/lines/0/i"}, {4, 16, "/lines/0/n"}, {4, 3, "/lines/0"},
		{5, 5, "/lines/1/i"}, {6, 8, "/lines/1/n"}, {7, 10, "/end/1"}, {2, 1, "/lines"}} {
		require.Equal(t, c.want, f.PathAt(c.line, c.col).String(), "%d:%d", c.line, c.col)
	}
}
