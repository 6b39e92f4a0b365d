package transcribe_test

import (
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/stretchr/testify/require"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"

	"gallipot/calc/law/table"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/paper"
)

// BenchmarkPages reads every PDF of both sets, beside the start of the reader, and in turn
// the floor: the same module, which the library drives, opens the same papers and gives
// the bare text of each page. The aim is at most 30 ms a page. Processor time says more
// than the clock on a machine that others use.
func BenchmarkPages(b *testing.B) {
	reader, err := transcribe.New(table.Builtin(), nil)
	require.NoError(b, err)
	files := paper.NewReader()
	defer files.Close()
	bare, err := webassembly.Init(webassembly.Config{MaxTotal: 1, FSConfig: wazero.NewFSConfig(),
		Stdout: io.Discard, Stderr: io.Discard, RuntimeConfig: wazero.NewRuntimeConfig().WithCloseOnContextDone(true).
			WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling)})
	require.NoError(b, err)
	defer bare.Close()
	var all [][]byte
	for _, folder := range []string{papers, papers + "/layouts"} {
		names, err := filepath.Glob(folder + "/*.pdf")
		require.NoError(b, err)
		for _, n := range names {
			data, err := os.ReadFile(n)
			require.NoError(b, err)
			all = append(all, data)
		}
	}
	_, err = files.Read("start.pdf", all[0])
	require.NoError(b, err)
	pages := 0
	var opened, read, floor, wall time.Duration
	for b.Loop() {
		for _, data := range all {
			start, at := cpuTime(), time.Now()
			f, err := files.Read("a.pdf", data)
			require.NoError(b, err)
			opened += cpuTime() - start
			reader.Read(f)
			read, wall = read+cpuTime()-start, wall+time.Since(at)
			pages += len(f.Pages)
			start = cpuTime()
			require.Equal(b, len(f.Pages), barePages(b, bare, data))
			floor += cpuTime() - start
		}
	}
	each := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 / float64(pages) }
	b.ReportMetric(each(wall), "ms/page")
	b.ReportMetric(each(read), "cpu-ms/page")
	b.ReportMetric(each(opened), "cpu-ms/page-lines")
	b.ReportMetric(each(floor), "cpu-ms/page-floor")
	b.ReportMetric(float64(read)/float64(max(floor, 1)), "times-floor")
}

// barePages opens a paper and takes the text of its pages.
func barePages(b *testing.B, pool pdfium.Pool, data []byte) int {
	inst, err := pool.GetInstance(time.Minute)
	require.NoError(b, err)
	defer inst.Close()
	doc, err := inst.OpenDocument(&requests.OpenDocument{File: &data})
	require.NoError(b, err)
	n, err := inst.FPDF_GetPageCount(&requests.FPDF_GetPageCount{Document: doc.Document})
	require.NoError(b, err)
	for i := range n.PageCount {
		_, err := inst.GetPageText(&requests.GetPageText{Page: requests.Page{
			ByIndex: &requests.PageByIndex{Document: doc.Document, Index: i}}})
		require.NoError(b, err)
	}
	return n.PageCount
}
