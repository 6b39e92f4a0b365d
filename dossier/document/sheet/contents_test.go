package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
)

// TestXLSXContentsFit: words of several lines on the first sheet get rows that
// are high enough, and each table is named with its section.
func TestXLSXContentsFit(t *testing.T) {
	d := documenttest.Rich()
	d.Cover.Facts = append(d.Cover.Facts,
		document.Fact{Label: "Variants", Value: document.TextCell("one\ntwo\nthree\nfour")})
	f := openXLSX(t, xlsxOf(t, d))
	rows, err := f.GetRows(contentsSheet)
	require.NoError(t, err)
	found := false
	for i, r := range rows {
		if len(r) > 1 && strings.Count(r[1], "\n") == 3 {
			h, err := f.GetRowHeight(contentsSheet, i+1)
			require.NoError(t, err)
			require.GreaterOrEqual(t, h, 4*lineHeight)
			found = true
		}
	}
	require.True(t, found)
}
