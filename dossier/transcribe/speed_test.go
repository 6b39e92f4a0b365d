package transcribe_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/paper"
)

// BenchmarkPages reads every PDF of the set, beside the start of the reader. The aim is
// at most 30 ms a page.
func BenchmarkPages(b *testing.B) {
	reader, err := transcribe.New(table.Builtin(), nil)
	require.NoError(b, err)
	files := paper.NewReader()
	defer files.Close()
	names, err := filepath.Glob(papers + "/*.pdf")
	require.NoError(b, err)
	var all [][]byte
	for _, n := range names {
		data, err := os.ReadFile(n)
		require.NoError(b, err)
		all = append(all, data)
	}
	_, err = files.Read("start.pdf", all[0])
	require.NoError(b, err)
	pages := 0
	for b.Loop() {
		for _, data := range all {
			f, err := files.Read("a.pdf", data)
			require.NoError(b, err)
			reader.Read(f)
			pages += len(f.Pages)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(pages), "ms/page")
}
