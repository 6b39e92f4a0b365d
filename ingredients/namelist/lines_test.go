package namelist

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLines(t *testing.T) {
	for _, n := range []int{0, 1, blockSize, blockSize + 1, 1000} {
		var lines []string
		for i := range n {
			lines = append(lines, fmt.Sprintf("line %d", i))
		}
		packed, err := PackLines(lines)
		require.NoError(t, err)
		l, err := OpenLines(string(packed))
		require.NoError(t, err)
		require.Equal(t, n, l.Len())
		for i := range n {
			require.Equal(t, lines[i], l.Line(i))
		}
	}
	packed, err := PackLines([]string{"a", "b"})
	require.NoError(t, err)
	for n := range 12 {
		_, err := OpenLines(string(packed[:n]))
		require.Error(t, err)
	}
}

func TestSections(t *testing.T) {
	data := string(PackSections("x1\n", []byte("one"), nil, []byte("three")))
	secs, err := OpenSections("x1\n", data, 3)
	require.NoError(t, err)
	require.Equal(t, []string{"one", "", "three"}, secs)
	_, err = OpenSections("x2\n", data, 3)
	require.Error(t, err)
	for n := range len(data) {
		_, err := OpenSections("x1\n", data[:n], 3)
		require.Error(t, err, "cut after %d bytes", n)
	}
}
