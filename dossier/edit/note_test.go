package edit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNoted(t *testing.T) {
	const text = "name: Kelp # kept\r\nparts:\r\n  - {inci: Aqua, pct: 5}\r\nnote: |\r\n  a\r\n  b\r\nph: 5"
	f, err := Parse("x.yaml", []byte(text))
	require.NoError(t, err)
	for _, c := range []struct {
		name, path, want string
	}{
		{"a value on its line", "/ph", text + " # p. 1"},
		{"an entry in brackets", "/parts/0/pct",
			"name: Kelp # kept\r\nparts:\r\n  - {inci: Aqua, pct: 5} # p. 1\r\nnote: |\r\n  a\r\n  b\r\nph: 5"},
		{"a remark that is there stays", "/name", text},
		{"a text of several lines", "/note", text},
		{"no such place", "/flash", text},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := ParsePath(c.path)
			require.NoError(t, err)
			require.Equal(t, c.want, string(f.Noted(p, " p.\n1 ").Bytes()))
		})
	}
}
