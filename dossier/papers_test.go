package dossier

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document/documenttest"
)

func TestPapers(t *testing.T) {
	s := sent(t, "heath-wash")
	a := s.now()
	papers := PapersOf(a)
	t.Run("each once, by the numbers of the pack", func(t *testing.T) {
		sum := 0
		for i, x := range papers.list {
			data, err := os.ReadFile(filepath.Join(s.dir, filepath.FromSlash(x.File)))
			require.NoError(t, err)
			assert.Equal(t, data, x.data)
			assert.True(t, i == 0 || papers.list[i-1].Number < x.Number)
			sum += len(data)
		}
		assert.Equal(t, sum, papers.Bytes)
		assert.Equal(t, []string{"[E50] evidence/phytate-50-coa.txt"}, papers.Missing)
	})
	t.Run("in a folder, with an index of all", func(t *testing.T) {
		out := t.TempDir()
		_, _, err := WritePackWith(out, a, papers, PapersFolder)
		require.NoError(t, err)
		index, err := os.ReadFile(filepath.Join(out, "heath-wash-papers", "index.tsv"))
		require.NoError(t, err)
		assert.Equal(t, papers.Count()+len(papers.Missing)+2, len(strings.Split(string(index), "\n")),
			"a head and a line end")
		entries, err := os.ReadDir(filepath.Join(out, "heath-wash-papers"))
		require.NoError(t, err)
		assert.Len(t, entries, papers.Count()+1)
	})
	t.Run("inside the PDF, as they are", func(t *testing.T) {
		detach, out := documenttest.Tool(t, "pdfdetach"), t.TempDir()
		files, _, err := WritePackWith(out, a, papers, PapersInside)
		require.NoError(t, err)
		documenttest.Run(t, detach, "-saveall", "-o", out, files[1])
		for _, x := range papers.list {
			data, err := os.ReadFile(filepath.Join(out, x.name))
			require.NoError(t, err)
			assert.True(t, bytes.Equal(x.data, data), x.name)
		}
	})
}
