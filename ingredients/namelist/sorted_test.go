package namelist

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSorted(t *testing.T) {
	for n := range 40 {
		var lines []string
		for i := range n {
			lines = append(lines, fmt.Sprintf("%s%d\tvalue %d", strings.Repeat("k", i%7), i*3, i))
		}
		slices.Sort(lines)
		s := Sorted(strings.Join(lines, "\n"))
		for i := range n {
			v, ok := s.Find(fmt.Sprintf("%s%d", strings.Repeat("k", i%7), i*3))
			assert.True(t, ok, "%d of %d", i, n)
			assert.Equal(t, fmt.Sprintf("value %d", i), v)
			_, ok = s.Find(fmt.Sprintf("%s%d", strings.Repeat("k", i%7), i*3+1))
			assert.False(t, ok)
		}
		for _, none := range []string{"", "~", " ", "k"} {
			_, ok := s.Find(none)
			assert.False(t, ok)
		}
	}
}
