package paper

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestWholeLines(t *testing.T) {
	dots := func(n int, x, y, dx, dy float64) (out []Rule) {
		for i := range n {
			at := float64(i)
			out = append(out, Rule{x + at*dx, y + at*dy, x + at*dx + 1, y + at*dy + 1})
		}
		return out
	}
	t.Run("dots in a row are a line", func(t *testing.T) {
		require.Equal(t, []Rule{{50, 100, 69, 101}}, wholeLines(dots(10, 50, 100, 2, 0)))
	})
	t.Run("dots below each other are an upright line", func(t *testing.T) {
		require.Equal(t, []Rule{{50, 100, 51, 119}}, wholeLines(dots(10, 50, 100, 0, 2)))
	})
	t.Run("two lines of one height stay two where a gap parts them", func(t *testing.T) {
		got := wholeLines(append(dots(10, 50, 100, 2, 0), dots(10, 200, 100, 2, 0)...))
		require.Equal(t, []Rule{{50, 100, 69, 101}, {200, 100, 219, 101}}, got)
	})
	t.Run("lines stay as they are, and a few dots too", func(t *testing.T) {
		whole := []Rule{{40, 90, 560, 91}, {40, 90, 41, 300}, {70, 80, 71, 81}}
		require.Equal(t, whole, wholeLines(whole))
	})
}
