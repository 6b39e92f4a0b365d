package decide_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/decide"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/source"
)

var asked = workshop.Decision{Code: "open-order", Subject: "A: b", Variants: []string{"plain", "moor"},
	Values: "v0123456789",
	Text:   "as computed: both asked", By: "I. Nobody", Date: 20261101, Until: 20270101}

func TestAdded(t *testing.T) {
	for name, c := range map[string]struct{ before, after string }{
		"new list, comments and blank lines kept": {
			"id: tide   # the id\n\nname:  'Tide'\n",
			"id: tide   # the id\n\nname:  'Tide'\ndecisions:\n  - code: open-order\n    subject: \"A: b\"\n    variant: [plain, moor]\n    values: v0123456789\n    decision: \"as computed: both asked\"\n    by: I. Nobody\n    date: 2026-11-01\n    until: 2027-01-01\n",
		},
		"empty list": {"id: tide\ndecisions: []\nname: Tide\n", ""},
		"one more":   {"id: tide\ndecisions:\n  - {code: x, values: v1, decision: d, by: b, date: 2026-01-01} # first\nname: Tide\n", ""},
	} {
		t.Run(name, func(t *testing.T) {
			data, err := decide.Added(source.NewSource("products/tide.yaml", []byte(c.before)), asked)
			require.NoError(t, err)
			if c.after != "" {
				assert.Equal(t, c.after, string(data))
			}
			assert.Contains(t, string(data), "open-order")
			assert.Contains(t, string(data), "ame: ")
		})
	}
}

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "workshop.yaml")
	require.NoError(t, os.WriteFile(path, []byte("markets: [GB]\n"), 0o666))
	src, err := decide.Write(dir, source.NewSource("workshop.yaml", []byte("markets: [GB]\n")), asked)
	require.NoError(t, err)
	now, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(src.Bytes), string(now))

	_, err = decide.Write(dir, source.NewSource("workshop.yaml", []byte("markets: [GB]\n")), asked)
	assert.ErrorContains(t, err, "changed meanwhile")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(now), string(after), "a file that somebody changed is left alone")
}
