package sheet

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// wideTable has so many columns of figures.
func wideTable(sheet string, columns int) *document.Table {
	t := &document.Table{ID: "t-" + sheet, SheetName: sheet, Title: "Title", Columns: []document.Column{{Head: "Substance", Fixed: true}}}
	row := []document.Cell{document.TextCell("Glycerin")}
	for i := range columns {
		t.Columns = append(t.Columns, document.Column{Head: fmt.Sprintf("v%d", i), Kind: document.KindNumber})
		row = append(row, document.PctCell(pct(1234, 100)))
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
	d := &document.Document{Title: "x", Product: "Product & Co", Workbook: []*document.Section{{ID: "s", Title: "S", Blocks: []document.Block{wideTable("Narrow", 4), wideTable("Wide", 20), wideTable("Wider", 60), words}}}}
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

// TestXLSXLongTextFits: a text that would be too high for a row gets a wider
// column; no row is higher than a sheet takes.
func TestXLSXLongTextFits(t *testing.T) {
	tab := &document.Table{ID: "t", SheetName: "T", Columns: []document.Column{{Head: "A"}, {Head: "B"}}}
	long := strings.Repeat("a text that takes many lines in a narrow column ", 60)
	tab.Add(document.TextCell("x"), document.TextCell(long))
	f := openXLSX(t, xlsxOf(t, &document.Document{Title: "x", Workbook: []*document.Section{{ID: "s", Title: "S", Blocks: []document.Block{tab}}}}))
	h, err := f.GetRowHeight("T", 7)
	require.NoError(t, err)
	require.LessOrEqual(t, h, mostHeight)
	w, err := f.GetColWidth("T", "B")
	require.NoError(t, err)
	require.LessOrEqual(t, float64(len(layout.WrapRuns([]layout.Run{{Text: long}}, w-2, sheetMeasure)))*lineHeight, h)
}

// TestXLSXContentsFit: words of several lines on the first sheet get rows that
// are high enough, and each table is named with its section.
func TestXLSXContentsFit(t *testing.T) {
	d := richDocument()
	d.Cover.Facts = append(d.Cover.Facts, document.Fact{Label: "Variants", Value: document.TextCell("one\ntwo\nthree\nfour")})
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

// TestSheetMeasure compares with published widths of the font, in digits.
// Source: Core 14 AFM files, Helvetica: space 278, digit 556, i 222, M 833, % 889.
func TestSheetMeasure(t *testing.T) {
	for r, units := range map[rune]float64{' ': 278, '7': 556, 'i': 222, 'M': 833, '%': 889, '-': 333, '(': 333, 'w': 722} {
		require.InDelta(t, units/556, sheetMeasure(r, nil), 1e-9, string(r))
	}
}
