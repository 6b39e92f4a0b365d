package pattern

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/require"
)

// A pattern answers as the expression it is made of, and several may ask it at once.
func TestPattern(t *testing.T) {
	p := New(`(\d+)-(\d+)`)
	require.Nil(t, p.compiled)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() { p.MatchString("1-2") })
	}
	all.Wait()
	require.Same(t, p.Regexp(), p.Regexp())
	require.Equal(t, []string{"10-15", "10", "15"}, p.FindStringSubmatch("C10-15"))
	require.Equal(t, "C15", p.ReplaceAllString("C10-15", "$2"))
	require.False(t, p.MatchString("C10"))
	require.Panics(t, func() { New(`(`).MatchString("") })
}
