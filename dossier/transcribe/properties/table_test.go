package properties

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A bound that is printed with a sign of its own is given no second one.
func TestBoundsText(t *testing.T) {
	for _, c := range [][3]string{{"", "5 ppm", "≤ 5 ppm"}, {"", "< 10 ppm", "< 10 ppm"}, {"", "≤ 3", "≤ 3"},
		{"2", "", "≥ 2"}, {"> 2", "", "> 2"}, {"2", "5", "2 - 5"}, {"-", "-", ""}} {
		require.Equal(t, c[2], boundsText(c[0], c[1]))
	}
}
