package paper

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// Readers that start at once on an empty cache, or on one that somebody has altered, all
// start, and leave one cache that is whole.
func TestCacheOfTheEngine(t *testing.T) {
	if !testdata.Long() {
		t.Skip("a long test: GALLIPOT_LONG=1 runs it")
	}
	base := t.TempDir()
	dir := filepath.Join(base, "gallipot", cacheVersion)
	start := func(n int) {
		errs := make([]error, n)
		var all sync.WaitGroup
		for i := range n {
			all.Go(func() {
				e, err := startEngine(base, defaultLimits())
				if errs[i] = err; err == nil {
					e.close()
				}
			})
		}
		all.Wait()
		for _, err := range errs {
			assert.NoError(t, err)
		}
		assert.True(t, proved(dir))
		left, err := os.ReadDir(filepath.Dir(dir))
		require.NoError(t, err)
		assert.Len(t, left, 1, "nothing else stays")
	}
	start(2)
	var compiled string
	require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() && d.Name() != sumsFile {
			compiled = path
		}
		return err
	}))
	data, err := os.ReadFile(compiled)
	require.NoError(t, err)
	data[len(data)/2] ^= 1
	require.NoError(t, os.WriteFile(compiled, data, 0o600))
	require.False(t, proved(dir))
	start(1)
	require.NoError(t, os.Remove(filepath.Join(dir, sumsFile)))
	require.False(t, proved(dir))
	start(1)
}

func BenchmarkReaderModule(b *testing.B) {
	for b.Loop() {
		if _, err := readerModule(); err != nil {
			b.Fatal(err)
		}
	}
}
