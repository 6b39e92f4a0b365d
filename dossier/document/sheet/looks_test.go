package sheet

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/ingredients/exact"
)

// wideTable has so many columns of figures.
func wideTable(sheet string, columns int) *document.Table {
	t := &document.Table{ID: "t-" + sheet, SheetName: sheet, Title: "Title",
		Columns: []document.Column{{Head: "Substance", Fixed: true}}}
	row := []document.Cell{document.TextCell("Glycerin")}
	for i := range columns {
		t.Columns = append(t.Columns, document.Column{Head: fmt.Sprintf("v%d", i), Kind: document.KindNumber})
		row = append(row, document.PctCell(exact.Frac(1234, 100)))
	}
	return t.Add(row...)
}

// TestXLSXPrintIsReadable: a sheet goes onto one page across as long as its print
// is at least 60 % of its size, else onto several, with the first column and the
// head of a single table on each.
func TestXLSXPrintIsReadable(t *testing.T) {
	words := &document.Table{ID: "words", SheetName: "Words", Title: "Words"}
	var row []document.Cell
	for i := range 11 {
		words.Columns = append(words.Columns, document.Column{Head: fmt.Sprintf("Column %d", i)})
		row = append(row, document.TextCell(strings.Repeat("some words of no great length ", 2+i)))
	}
	words.Add(row...)
	d := &document.Document{Title: "x", Product: "Product & Co",
		Workbook: []*document.Section{{ID: "s", Title: "S",
			Blocks: []document.Block{wideTable("Narrow", 4), wideTable("Wide", 20), wideTable("Wider", 60), words}}}}
	f := openXLSX(t, xlsxOf(t, d))
	titles := map[string]string{}
	for _, n := range f.GetDefinedName() {
		titles[n.Name+" "+n.Scope] = n.RefersTo
	}
	for _, c := range []struct {
		sheet, orientation, titles string
		pages                      bool
	}{
		{"Narrow", "portrait", "'Narrow'!$6:$6", false},
		{"Wide", "landscape", "'Wide'!$6:$6", false},
		{"Wider", "landscape", "'Wider'!$A:$A,'Wider'!$6:$6", true},
		{"Words", "landscape", "'Words'!$6:$6", false},
	} {
		layout, err := f.GetPageLayout(c.sheet)
		require.NoError(t, err)
		require.Equal(t, c.orientation, *layout.Orientation, c.sheet)
		require.Equal(t, c.pages, *layout.FitToWidth > 1, c.sheet)
		require.Equal(t, c.titles, titles["_xlnm.Print_Titles "+c.sheet])
		require.True(t, strings.HasPrefix(titles["_xlnm.Print_Area "+c.sheet], "'"+c.sheet+"'!$A$1:$"), c.sheet)
		total := 0.0
		cols, err := f.GetCols(c.sheet)
		require.NoError(t, err)
		for i := range cols {
			w, err := f.GetColWidth(c.sheet, columnName(i+1))
			require.NoError(t, err)
			total += w + 0.7
		}
		require.GreaterOrEqual(t, acrossPage*float64(*layout.FitToWidth)/total, leastScale, c.sheet)
	}
	for i := range 11 { // a cell's words fit into the height of the row
		w, err := f.GetColWidth("Words", columnName(i+1))
		require.NoError(t, err)
		h, err := f.GetRowHeight("Words", 7)
		require.NoError(t, err)
		lines := layout.WrapRuns([]layout.Run{{Text: row[i].Text}}, w-2, sheetMeasure)
		require.LessOrEqual(t, float64(len(lines))*lineHeight, h+0.1, "column %d", i)
		require.LessOrEqual(t, w, mostColumn+3)
	}
}
