package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/dossier/document"
	"gallipot/ingredients/exact"
)

func xlsxOf(t *testing.T, d *document.Document) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, d))
	return b.Bytes()
}

func openXLSX(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

// zipped returns one file of the workbook as it is stored.
func zipped(t *testing.T, data []byte, name string) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	for _, f := range z.File {
		if f.Name == name {
			b, err := readZipped(f)
			require.NoError(t, err)
			return string(b)
		}
	}
	t.Fatalf("%s is not in the workbook", name)
	return ""
}

func TestXLSXSameBytesTwice(t *testing.T) {
	for name, make := range samples {
		first := xlsxOf(t, make())
		for range 4 {
			require.True(t, bytes.Equal(first, xlsxOf(t, make())), name)
		}
	}
}

// formulaDocument computes a content from a formula and a composition.
func formulaDocument() *document.Document {
	d := &document.Document{Title: "Formulas", Marks: []document.Mark{{ID: "memory", Symbol: "†", Text: "from memory"}}}
	s := d.AddSection("f", "F")
	lines := &document.Table{ID: "lines", Title: "Lines", SheetName: "Formula & lines", Columns: []document.Column{{Head: "Material"}, {Head: "Content", Unit: "% w/w", Key: "pct"}, {Head: "Glucoside inside", Unit: "%", Key: "in", Kind: document.KindRange}, {Head: "In the product", Unit: "%", Key: "out", Kind: document.KindRange}}}
	pcts := []exact.Num{pct(27, 1), pct(2, 3), pct(7233, 100)}
	insides := []exact.Range{between(pct(50, 1), pct(105, 2), pct(55, 1)), exact.Exactly(pct(1, 3)), {}}
	var sum exact.Range
	for i, p := range pcts {
		out := insides[i].Pct(p)
		sum = sum.Add(out)
		lines.Add(document.TextCell(fmt.Sprintf("material %d", i)), document.PctCell(p).Marked("memory").From("products/x.yaml"), document.RangeCell(insides[i]), document.RangeCell(out).Computed("{pct}*{in.*}/100"))
	}
	total := pcts[0].Add(pcts[1]).Add(pcts[2])
	lines.Total(document.TextCell("Total"), document.PctCell(total).Computed("SUM({lines!pct})").At("total"), document.BlankCell(), document.RangeCell(sum).Computed("SUM({lines!out.*})").At("glucoside"))
	check := &document.Table{ID: "check", Title: "Check", SheetName: "Check", Columns: []document.Column{{Head: "What"}, {Head: "Highest", Key: "max"}, {Head: "Limit", Key: "limit"}, {Head: "Share", Key: "share"}, {Head: "Outcome"}}}
	share := sum.Max.Quo(pct(20, 1))
	check.Add(document.LinkCell("glucoside", "glucoside"), document.PctCell(sum.Max).Computed("{#glucoside.max}"), document.PctCell(pct(20, 1)), document.FloatCell(share.Float(), 3).Computed("{max}/{limit}"),
		document.VerdictCell(document.VerdictMet, "within").Computed(`IF({share}<=1,"○ within","■ above")`))
	s.Add(lines, check)
	return d
}

func TestXLSXFormulas(t *testing.T) {
	data := xlsxOf(t, formulaDocument())
	f := openXLSX(t, data)
	for _, c := range []struct{ sheet, cell, formula string }{
		{"Formula & lines", "F7", "B7*C7/100"}, {"Formula & lines", "G7", "B7*D7/100"}, {"Formula & lines", "H7", "B7*E7/100"},
		{"Formula & lines", "B10", "SUM($B$7:$B$9)"}, {"Formula & lines", "H10", "SUM($H$7:$H$9)"},
		{"Check", "B7", "'Formula & lines'!$H$10"}, {"Check", "D7", "B7/C7"}, {"Check", "E7", `IF(D7<=1,"○ within","■ above")`},
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

func TestXLSXKeepsDigitsAndWords(t *testing.T) {
	d := &document.Document{Title: "x", Date: 20260331}
	s := d.AddSection("a", "A")
	long := strings.Repeat("é", 40_000)
	tab := &document.Table{ID: "t", SheetName: "Values", Columns: []document.Column{{Head: "What"}, {Head: "Value", Kind: document.KindRange}}}
	tab.Add(document.TextCell("=1+1"), document.PctCell(pct(2, 3))).
		Add(document.TextCell("+44"), document.RangeCell(between(pct(1, 7), pct(1, 3), pct(2, 3)))).
		Add(document.TextCell("-risky"), document.MissingCell("not supplied")).
		Add(document.TextCell("@cmd|'/c calc'!A1"), document.FloatCell(math.NaN(), 3)).
		Add(document.TextCell(long), document.DateCell(20250211)).
		Add(document.TextCell("bell\x07 \xff"), document.BlankCell())
	s.Add(tab)
	data := xlsxOf(t, d)
	f := openXLSX(t, data)
	sheet := zipped(t, data, "xl/worksheets/sheet2.xml")
	require.NotContains(t, sheet, "<f>")
	for _, want := range []string{"<v>0.66666666666666667</v>", "<v>0.14285714285714286</v>", "<v>45699</v>"} { // 2025-02-11 is day 45699 from 1899-12-30
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

func TestXLSXSheets(t *testing.T) {
	data := xlsxOf(t, richDocument())
	f := openXLSX(t, data)
	require.Equal(t, []string{"Contents", "Composition", "Notes", "Nanomaterials", "By variant", "Findings"}, f.GetSheetList())
	rows, err := f.GetRows("Findings")
	require.NoError(t, err)
	require.Len(t, rows, 6+14)
	require.Equal(t, "■ stop", rows[6][0])
	linkRE := regexp.MustCompile(`^'(.+)'!([A-Z]+\d+)$`)
	links := 0
	for row := 1; row < 40; row++ {
		if ok, target, err := f.GetCellHyperLink("Contents", fmt.Sprintf("A%d", row)); err == nil && ok {
			m := linkRE.FindStringSubmatch(target)
			require.NotNil(t, m, target)
			title, err := f.GetCellValue(m[1], m[2])
			require.NoError(t, err)
			name, err := f.GetCellValue("Contents", fmt.Sprintf("C%d", row))
			require.NoError(t, err)
			require.True(t, strings.HasSuffix(title, name), "%q leads to %q", name, title)
			section, err := f.GetCellValue("Contents", fmt.Sprintf("B%d", row))
			require.NoError(t, err)
			require.True(t, section != "" || name == "Findings", "%q stands in no section", name)
			links++
		}
	}
	require.Equal(t, 5, links)
	for _, s := range f.GetSheetList() {
		hf, err := f.GetHeaderFooter(s)
		require.NoError(t, err)
		require.Contains(t, hf.OddFooter, sampleCaution)
		require.Contains(t, hf.OddFooter, "4f1c 90ab 77d2 e015")
		layout, err := f.GetPageLayout(s)
		require.NoError(t, err)
		require.Equal(t, 9, *layout.Size, "A4")
		require.GreaterOrEqual(t, *layout.FitToWidth, 1)
	}
	notes, err := f.GetRows("Notes")
	require.NoError(t, err)
	require.Contains(t, notes[0][0], "Notes")
}

func TestXLSXSheetNames(t *testing.T) {
	taken := map[string]bool{"contents": true}
	require.Equal(t, "a-b-c", sheetName("a/b:c", taken))
	require.Equal(t, "A-B-C (2)", sheetName("A*B?C", taken))
	require.Equal(t, "Contents (2)", sheetName("Contents", taken))
	require.Equal(t, "History_", sheetName("History", taken))
	require.Equal(t, "quoted", sheetName("'quoted'", taken))
	long := sheetName(strings.Repeat("ö", 50), taken)
	require.Len(t, []rune(long), 31)
	require.Len(t, []rune(sheetName(strings.Repeat("ö", 50), taken)), 31)
}

// LibreOffice opens the workbook, computes every formula again, and must find the
// numbers of the tree.
func TestXLSXInLibreOffice(t *testing.T) {
	office := requireTool(t, "soffice")
	dir := t.TempDir()
	for name, d := range map[string]*document.Document{"rich": richDocument(), "formulas": formulaDocument()} {
		file := filepath.Join(dir, name+".xlsx")
		require.NoError(t, os.WriteFile(file, xlsxOf(t, d), 0o600))
		runTool(t, office, "--headless", "-env:UserInstallation=file://"+dir+"/profile", "--convert-to",
			"csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1", "--outdir", dir, file)
		compared := 0
		for _, b := range d.Blocks() {
			tab, ok := b.(*document.Table)
			if !ok || tab.SheetName == "" {
				continue
			}
			r, err := os.Open(filepath.Join(dir, name+"-"+tab.SheetName+".csv"))
			require.NoError(t, err)
			cr := csv.NewReader(r)
			cr.FieldsPerRecord = -1
			records, err := cr.ReadAll()
			require.NoError(t, err)
			require.NoError(t, r.Close())
			compared += compareWithSheet(t, tab, records)
		}
		require.Greater(t, compared, 8, name)
	}
}

// compareWithSheet compares the figures of a table that stands alone on its sheet.
func compareWithSheet(t *testing.T, tab *document.Table, records [][]string) int {
	t.Helper()
	p := newXLSXTable(tab)
	n := 0
	for i, r := range tab.Rows {
		if r.Kind == document.RowGroup {
			continue
		}
		record := records[firstTableRow+1+i]
		for j, c := range r.Cells {
			figures := FiguresOf(c)
			if c.Kind == document.CellDate || len(figures) == 0 {
				continue
			}
			for k := range p.Width[j] {
				want, err := strconv.ParseFloat(figures[min(k, len(figures)-1)].Stored, 64)
				require.NoError(t, err)
				got, err := strconv.ParseFloat(record[p.First[j]+k-1], 64)
				require.NoError(t, err, "row %d: %q", i, record)
				require.InEpsilon(t, 1+math.Abs(want), 1+math.Abs(got), 1e-13)
				require.InDelta(t, want, got, math.Max(1e-12*math.Abs(want), 1e-20), "%s row %d", tab.ID, i)
				n++
			}
		}
	}
	return n
}
