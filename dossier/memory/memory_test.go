package memory

import (
	"math"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTune(t *testing.T) {
	back := func(percent int, limit int64) func() {
		return func() { debug.SetGCPercent(percent); debug.SetMemoryLimit(limit) }
	}
	t.Cleanup(back(debug.SetGCPercent(100), debug.SetMemoryLimit(math.MaxInt64)))
	now := func() (int, int64) {
		percent := debug.SetGCPercent(100)
		debug.SetGCPercent(percent)
		return percent, debug.SetMemoryLimit(-1)
	}
	t.Run("the user's own settings prevail", func(t *testing.T) {
		t.Setenv("GOGC", "50")
		t.Setenv("GOMEMLIMIT", "1GiB")
		Tune()
		percent, limit := now()
		require.Equal(t, 100, percent)
		require.Equal(t, int64(math.MaxInt64), limit)
	})
	t.Run("a run that computes", func(t *testing.T) {
		t.Setenv("GOGC", "")
		t.Setenv("GOMEMLIMIT", "")
		Tune()
		percent, limit := now()
		require.Equal(t, first, percent)
		require.Equal(t, int64(most), limit)
	})
}
