package terminal

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a desktop starts reads and prints nowhere or into a log; a pipe and a terminal have
// somebody at their other end.
func TestAwaited(t *testing.T) {
	nowhere, err := os.OpenFile(os.DevNull, os.O_RDWR, 0)
	require.NoError(t, err)
	log, err := os.Create(filepath.Join(t.TempDir(), "log"))
	require.NoError(t, err)
	r, w, err := os.Pipe()
	require.NoError(t, err)
	for _, f := range []*os.File{nowhere, log, r, w} {
		defer f.Close() // nothing was written
	}
	assert.False(t, Awaited(nowhere, nowhere, nowhere))
	assert.False(t, Awaited(nowhere, log, log), "a log of the desktop")
	assert.True(t, Awaited(nowhere, w, nowhere), "gallipot | less")
	assert.False(t, Awaited(r, log, log), "nobody types")
	if terminal, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0); err == nil {
		defer terminal.Close() // nothing was written
		assert.True(t, Awaited(terminal, log, log))
		assert.True(t, Awaited(nowhere, terminal, log))
		assert.True(t, Awaited(nowhere, log, terminal))
	}
}
