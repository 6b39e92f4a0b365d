package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestServe(t *testing.T) {
	for name, args := range map[string][]string{
		"alone":                  {"serve"},
		"with what it once took": {"serve", "--workshop", "demo", "--port", "0"},
		"asked for help":         {"serve", "--help"},
	} {
		t.Run(name, func(t *testing.T) {
			var out, errout bytes.Buffer
			assert.Equal(t, 2, run(args, nil, &out, &errout, 20261125))
			assert.Equal(t, "serve is no longer a verb; type: gallipot bench --read-only\n", errout.String())
			assert.Empty(t, out.String())
		})
	}
}
