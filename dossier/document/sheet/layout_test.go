package sheet

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/ingredients/exact"
)

// formulaDocument computes a content from a formula and a composition.
func formulaDocument() *document.Document {
	d := &document.Document{Title: "Formulas", Marks: []document.Mark{{ID: "memory", Symbol: "†", Text: "from memory"}}}
	s := d.AddSection("f", "F")
	lines := &document.Table{ID: "lines", Title: "Lines", SheetName: "Formula & lines",
		Columns: []document.Column{{Head: "Material"}, {Head: "Content", Unit: "% w/w", Key: "pct"},
			{Head: "Glucoside inside", Unit: "%", Key: "in", Kind: document.KindRange},
			{Head: "In the product", Unit: "%", Key: "out", Kind: document.KindRange}}}
	pcts := []exact.Num{exact.Frac(27, 1), exact.Frac(2, 3), exact.Frac(7233, 100)}
	insides := []exact.Range{exact.Range{Min: exact.Frac(50, 1), Typ: exact.Frac(105, 2),
		Max: exact.Frac(55, 1)}, exact.Exactly(exact.Frac(1, 3)), {}}
	var sum exact.Range
	for i, p := range pcts {
		out := insides[i].Pct(p)
		sum = sum.Add(out)
		lines.Add(document.TextCell(fmt.Sprintf("material %d", i)),
			document.PctCell(p).Marked("memory").From("products/x.yaml"), document.RangeCell(insides[i]),
			document.RangeCell(out).Computed("{pct}*{in.*}/100"))
	}
	total := pcts[0].Add(pcts[1]).Add(pcts[2])
	lines.Total(document.TextCell("Total"), document.PctCell(total).Computed("SUM({lines!pct})").At("total"),
		document.BlankCell(), document.RangeCell(sum).Computed("SUM({lines!out.*})").At("glucoside"))
	check := &document.Table{ID: "check", Title: "Check", SheetName: "Check",
		Columns: []document.Column{{Head: "What"}, {Head: "Highest", Key: "max"}, {Head: "Limit", Key: "limit"},
			{Head: "Share", Key: "share"}, {Head: "Outcome"}}}
	share := sum.Max.Quo(exact.Frac(20, 1))
	check.Add(document.LinkCell("glucoside", "glucoside"),
		document.PctCell(sum.Max).Computed("{#glucoside.max}"), document.PctCell(exact.Frac(20, 1)),
		document.FloatCell(share.Float(), 3).Computed("{max}/{limit}"),
		document.VerdictCell(document.VerdictMet, "within").Computed(`IF({share}<=1,"○ within","■ above")`))
	s.Add(lines, check)
	return d
}

func TestXLSXFormulas(t *testing.T) {
	data := xlsxOf(t, formulaDocument())
	f := openXLSX(t, data)
	for _, c := range []struct{ sheet, cell, formula string }{
		{"Formula & lines", "F7", "B7*C7/100"}, {"Formula & lines", "G7", "B7*D7/100"},
		{"Formula & lines", "H7", "B7*E7/100"},
		{"Formula & lines", "B10", "SUM($B$7:$B$9)"}, {"Formula & lines", "H10", "SUM($H$7:$H$9)"},
		{"Check", "B7", "'Formula & lines'!$H$10"}, {"Check", "D7", "B7/C7"},
		{"Check", "E7", `IF(D7<=1,"○ within","■ above")`},
	} {
		got, err := f.GetCellFormula(c.sheet, c.cell)
		require.NoError(t, err)
		require.Equal(t, c.formula, got, c.cell)
		cached, err := f.GetCellValue(c.sheet, c.cell, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		computed, err := f.CalcCellValue(c.sheet, c.cell, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		requireSameValue(t, cached, computed, c.sheet+"!"+c.cell)
	}
	// 27 % of 55 % and 2/3 % of 1/3 %, by hand: 14.85 + 0.00222… = 14.852222…
	require.Contains(t, zipped(t, data, "xl/worksheets/sheet2.xml"), "<f>SUM($H$7:$H$9)</f><v>14.852222222222222</v>")
	require.NotContains(t, zipped(t, data, "xl/worksheets/sheet2.xml"), `t="str"`)
	require.Contains(t, zipped(t, data, "xl/worksheets/sheet3.xml"), `t="str"><f>IF(`)
	link, target, err := f.GetCellHyperLink("Check", "A7")
	require.NoError(t, err)
	require.True(t, link)
	require.Equal(t, "'Formula & lines'!F10", target)
}

func requireSameValue(t *testing.T, a, b, what string) {
	t.Helper()
	x, errX := strconv.ParseFloat(a, 64)
	y, errY := strconv.ParseFloat(b, 64)
	if errX != nil || errY != nil {
		require.Equal(t, a, b, what)
		return
	}
	require.InDelta(t, x, y, 1e-12*math.Max(1, math.Abs(x)), what)
}

func TestXLSXRefusesFormulasThatPointNowhere(t *testing.T) {
	for _, bad := range []string{"{nokey}", "{nowhere!x}", "{lines!nokey}", "{#noanchor}", "{pct.most}"} {
		d := formulaDocument()
		tab := d.Sections[0].Blocks[0].(*document.Table)
		tab.Rows[0].Cells[1].Formula = bad
		require.Error(t, Write(&bytes.Buffer{}, d), bad)
	}
}
