package sheet

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
)

// TestXLSXTextsAsTyped: words come back from the file as they were, whatever
// they look like to its format.
// Source of the escape: ISO/IEC 29500-1, 22.9.2.19 ST_Xstring.
func TestXLSXTextsAsTyped(t *testing.T) {
	words := []string{"plain", " led and followed by spaces ", "two\nlines", `<b> & "c" 'd'`, "_x0041_",
		"_x0041_x0042_", "_x005F_", "a_x00e9_b", "_x004", "_xyz0_", "Süßholz · ≥ 3", "plain"}
	tab := &document.Table{ID: "t", SheetName: "Texts", Title: "Texts",
		Columns: []document.Column{{Head: "Words"}, {Head: "Figure", Kind: document.KindNumber}}}
	for _, w := range words {
		tab.Add(document.TextCell(w), document.IntCell(7))
	}
	data := xlsxOf(t, &document.Document{Title: "x",
		Workbook: []*document.Section{{ID: "s", Title: "S", Blocks: []document.Block{tab}}}})
	f := openXLSX(t, data)
	for i, w := range words {
		got, err := f.GetCellValue("Texts", CellName(1, firstTableRow+2+i))
		require.NoError(t, err)
		require.Equal(t, w, got)
	}
	require.Contains(t, zipped(t, data, textsFile), "<t>_x005F_x0041_x005F_x0042_</t>", "both could be read as an escape")
	require.NotContains(t, zipped(t, data, textsFile), ">7<", "a number is no text")
}

// TestSheetRows: rows without cells are left out unless they have a height, and
// cells out of order are refused, since programs would call the file damaged.
func TestSheetRows(t *testing.T) {
	var r sheetRows
	require.NoError(t, r.add(xlsxCell{row: 2, col: 1, style: 3, number: "0.50", text: noText}))
	require.NoError(t, r.add(xlsxCell{row: 2, col: 27, text: 4}))
	require.NoError(t, r.add(xlsxCell{row: 5, col: 2, text: noText, formula: `IF(A2>1,"a","b")`, result: "b"}))
	require.NoError(t, r.add(xlsxCell{row: 5, col: 3, style: 1, text: noText, formula: "A2*2", number: "1"}))
	r.setHeight(4, 12.75)
	r.setHeight(5, 30)
	got, err := r.into([]byte("<a/><sheetData></sheetData><b/>"))
	require.NoError(t, err)
	require.Equal(t, `<a/><sheetData><row r="2"><c r="A2" s="3"><v>0.50</v></c><c r="AA2" t="s"><v>4</v></c></row>`+
		`<row r="4" ht="12.75" customHeight="1"></row>`+
		`<row r="5" ht="30" customHeight="1"><c r="B5" t="str"><f>IF(A2&gt;1,"a","b")</f><v>b</v></c><c r="C5" s="1"><f>A2*2</f><v>1</v></c></row>`+
		`</sheetData><b/>`, string(got))
	for _, at := range [][2]int{{5, 3}, {5, 1}, {4, 9}} {
		require.Error(t, r.add(xlsxCell{row: at[0], col: at[1], text: noText}), "%v", at)
	}
	_, err = r.into([]byte("<sheetData/>"))
	require.Error(t, err)
}
