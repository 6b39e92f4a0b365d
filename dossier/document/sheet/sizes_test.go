package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// TestXLSXLongTextFits: a text that would be too high for a row gets a wider
// column; no row is higher than a sheet takes.
func TestXLSXLongTextFits(t *testing.T) {
	tab := &document.Table{ID: "t", SheetName: "T", Columns: []document.Column{{Head: "A"}, {Head: "B"}}}
	long := strings.Repeat("a text that takes many lines in a narrow column ", 60)
	tab.Add(document.TextCell("x"), document.TextCell(long))
	f := openXLSX(t, xlsxOf(t, &document.Document{Title: "x",
		Workbook: []*document.Section{{ID: "s", Title: "S", Blocks: []document.Block{tab}}}}))
	h, err := f.GetRowHeight("T", 7)
	require.NoError(t, err)
	require.LessOrEqual(t, h, mostHeight)
	w, err := f.GetColWidth("T", "B")
	require.NoError(t, err)
	require.LessOrEqual(t, float64(len(layout.WrapRuns([]layout.Run{{Text: long}}, w-2, sheetMeasure)))*lineHeight, h)
}
