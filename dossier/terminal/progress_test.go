package terminal

import (
	"bytes"
	"io"
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

// A file or a pipe gets one line for what is much, and none for what is little.
func TestBegin(t *testing.T) {
	var out bytes.Buffer
	u := Printer{Err: &out}
	p := u.Begin("reading", "file", 300, true)
	p.Step()
	p.End()
	assert.Equal(t, "gallipot: reading 300 files\n", out.String())
	out.Reset()
	u.Begin("reading", "file", 3, false).End()
	assert.Empty(t, out.String())
}

// On a terminal the line comes by itself where nothing is done for long, and is wiped.
func TestBeginComesByItself(t *testing.T) {
	read, write, err := os.Pipe()
	require.NoError(t, err)
	defer read.Close()
	p := begin(write, "reading", "file", 300, time.Nanosecond)
	said := make([]byte, len("\rreading 0 of 300 files"))
	_, err = io.ReadFull(read, said) // waits until it is said
	require.NoError(t, err)
	assert.Equal(t, "\rreading 0 of 300 files", string(said))
	p.End()
	require.NoError(t, write.Close())
	rest, err := io.ReadAll(read)
	require.NoError(t, err)
	assert.Equal(t, "\r"+strings.Repeat(" ", 60)+"\r", string(rest))

	var out bytes.Buffer
	begin(&out, "reading", "file", 300, time.Hour).End()
	assert.Empty(t, out.String(), "short work shows nothing")
}
