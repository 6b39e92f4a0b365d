package terminal

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestProgress(t *testing.T) {
	var out bytes.Buffer
	p := newProgress(&out, "products", 3, 0)
	for range 3 {
		p.Step()
	}
	p.End()
	assert.Equal(t, "\r1 of 3 products\r2 of 3 products\r3 of 3 products\r"+strings.Repeat(" ", 60)+"\r", out.String())

	out.Reset()
	p = newProgress(&out, "products", 3, time.Hour)
	p.Step()
	p.End()
	assert.Empty(t, out.String(), "short work shows nothing")
}

// A file, a pipe and a buffer are nobody who watches.
func TestProgressIsForATerminal(t *testing.T) {
	f, err := os.Create(t.TempDir() + "/log")
	require.NoError(t, err)
	defer f.Close()
	for _, u := range []Printer{{Err: f}, {Err: &bytes.Buffer{}}} {
		p := u.Watch("products", 3)
		assert.Nil(t, p)
		p.Step() // does nothing
		p.End()
	}
}
