package workshop

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
)

// A file's name with a line break in it would break every line that names the file:
// it is reported, under a name that can be printed, and nothing goes on without it.
func TestControlCharactersInFileNames(t *testing.T) {
	for _, name := range []string{"products/ti\nde.yaml", "ingredients/a\vb.yaml", "limits/a\r.csv", "x\x1b[2J.yaml"} {
		w, findings := LoadFS("shop", fstest.MapFS{
			"workshop.yaml": {Data: []byte("maker: {name: M}\n")},
			name:            {Data: []byte("id: tide\n")},
		}, table.Builtin())
		require.NotNil(t, w)
		found := false
		for _, f := range findings {
			said := wordstest.Said(f)
			assert.NotRegexp(t, `[[:cntrl:]]`, f.Pos.File+said.Message+said.Fix, "%q", name)
			found = found || f.Code == "unreadable-file" && f.Form == "name" && f.Unread
		}
		assert.True(t, found, "%q: %v", name, findings)
	}
}
