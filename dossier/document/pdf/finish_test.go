package pdf

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document/documenttest"
)

func parsePDF(t *testing.T, data []byte) *pdfObjects {
	t.Helper()
	require.True(t, bytes.HasPrefix(data, []byte("%PDF-1.7\n")))
	objs, _, _, err := SplitPDF(data)
	require.NoError(t, err)
	return objs
}

func TestPDFArchiveParts(t *testing.T) {
	data, warnings, err := Render(documenttest.Rich(), sampleFiles)
	require.NoError(t, err)
	require.Len(t, warnings, 3, "%q", warnings) // a byte that is no UTF-8, a pine, a tick
	for _, want := range []string{
		"<pdfaid:part>3</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>", "/GTS_PDFA1",
		"/DisplayDocTitle true", "/Lang (en-GB)",
		"/AFRelationship /Source", "/AFRelationship /Unspecified", "/Subtype /text#2Fcsv",
		"/ModDate (D:20260331000000+00'00')",
		"<xmp:CreateDate>2026-03-31T00:00:00+00:00</xmp:CreateDate>", "/ID [<", "/Names [(empty.txt)",
	} {
		require.True(t, bytes.Contains(data, []byte(want)), want)
	}
	require.False(t, bytes.Contains(data, []byte("{nb}")))
	objs := parsePDF(t, data)
	catalogs := 0
	for _, o := range objs.List {
		if bytes.Contains(o, []byte("/Type /Catalog")) {
			catalogs++
			require.Contains(t, string(o), "/Metadata ")
			require.Contains(t, string(o), "/AF [")
		}
	}
	require.Equal(t, 1, catalogs)
}

func TestPDFWithoutDateHasNone(t *testing.T) {
	d := documenttest.Small()
	d.Date = 0
	data, _, err := Render(d, nil)
	require.NoError(t, err)
	require.False(t, bytes.Contains(data, []byte("CreationDate")))
	require.False(t, bytes.Contains(data, []byte("CreateDate")))
}
