package sheet

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/ingredients/exact"
)

func TestXLSXKeepsDigitsAndWords(t *testing.T) {
	d := &document.Document{Title: "x", Date: 20260331}
	s := d.AddSection("a", "A")
	long := strings.Repeat("é", 40_000)
	tab := &document.Table{ID: "t", SheetName: "Values",
		Columns: []document.Column{{Head: "What"}, {Head: "Value", Kind: document.KindRange}}}
	tab.Add(document.TextCell("=1+1"), document.PctCell(exact.Frac(2, 3))).
		Add(document.TextCell("+44"),
			document.RangeCell(exact.Range{Min: exact.Frac(1, 7), Typ: exact.Frac(1, 3), Max: exact.Frac(2, 3)})).
		Add(document.TextCell("-risky"), document.MissingCell("not supplied")).
		Add(document.TextCell("@cmd|'/c calc'!A1"), document.FloatCell(math.NaN(), 3)).
		Add(document.TextCell(long), document.DateCell(20250211)).
		Add(document.TextCell("bell\x07 \xff"), document.BlankCell())
	s.Add(tab)
	data := xlsxOf(t, d)
	f := openXLSX(t, data)
	sheet := zipped(t, data, "xl/worksheets/sheet2.xml")
	require.NotContains(t, sheet, "<f>")
	for _, want := range []string{"<v>0.66666666666666667</v>", "<v>0.14285714285714286</v>",
		"<v>45699</v>"} { // 2025-02-11 is day 45699 from 1899-12-30
		require.Contains(t, sheet, want)
	}
	get := func(cell string) string {
		v, err := f.GetCellValue("Values", cell)
		require.NoError(t, err)
		return v
	}
	require.Equal(t, "=1+1", get("A7"))
	require.Equal(t, "@cmd|'/c calc'!A1", get("A10"))
	for _, c := range []string{"B9", "C9", "D9"} {
		require.Equal(t, "not supplied", get(c), "a missing value must be words in all three columns")
	}
	require.Equal(t, "not computable", get("B10"))
	require.Less(t, len([]rune(get("A11"))), 32_767)
	require.Contains(t, get("A11"), "cut here")
	require.Equal(t, "2025-02-11", get("B11"))
	require.Equal(t, "", get("B12"))
	require.Equal(t, "bell? ?", get("A12"))
}
