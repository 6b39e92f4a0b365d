package main

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
		p.step()
	}
	p.end()
	assert.Equal(t, "\r1 of 3 products\r2 of 3 products\r3 of 3 products\r"+strings.Repeat(" ", 60)+"\r", out.String())

	out.Reset()
	p = newProgress(&out, "products", 3, time.Hour)
	p.step()
	p.end()
	assert.Empty(t, out.String(), "short work shows nothing")
}

// A file, a pipe and a buffer are nobody who watches.
func TestProgressIsForATerminal(t *testing.T) {
	f, err := os.Create(t.TempDir() + "/log")
	require.NoError(t, err)
	defer f.Close()
	for _, u := range []ui{{errout: f}, {errout: &bytes.Buffer{}}} {
		p := u.watch("products", 3)
		assert.Nil(t, p)
		p.step() // does nothing
		p.end()
	}
}
