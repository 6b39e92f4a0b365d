package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
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
	"gallipot/dossier/document/documenttest"
	"gallipot/testdata"
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

func TestXLSXSheets(t *testing.T) {
	data := xlsxOf(t, documenttest.Rich())
	f := openXLSX(t, data)
	require.Equal(t, []string{"Contents", "Composition", "Notes", "Nanomaterials", "By variant", "Findings"},
		f.GetSheetList())
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
		require.Contains(t, hf.OddFooter, documenttest.Caution)
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

// LibreOffice opens the workbook, computes every formula again, and must find the
// numbers of the tree.
func TestXLSXInLibreOffice(t *testing.T) {
	if !testdata.Long() {
		t.Skip("a long test: GALLIPOT_LONG=1 runs it")
	}
	office := documenttest.Tool(t, "soffice")
	dir := t.TempDir()
	for name, d := range map[string]*document.Document{"rich": documenttest.Rich(), "formulas": formulaDocument()} {
		file := filepath.Join(dir, name+".xlsx")
		require.NoError(t, os.WriteFile(file, xlsxOf(t, d), 0o600))
		documenttest.Run(t, office, "--headless", "-env:UserInstallation=file://"+dir+"/profile", "--convert-to",
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

func readZipped(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}

var samples = map[string]func() *document.Document{"small": documenttest.Small, "rich": documenttest.Rich,
	"long": documenttest.Long}

func TestChanceDocumentsPrint(t *testing.T) {
	for seed := range uint64(12) {
		require.NoError(t, Write(io.Discard, documenttest.Chance(seed)), "seed %d", seed)
	}
}

// What is looked for before the pattern of a result leaves none out.
func TestHoldsResult(t *testing.T) {
	for _, s := range []string{"a = 5", "= −3", "x = <2", "0.3 % of the product", "0.3\u00a0%\u00a0of the product", "= of", "5 %",
		"the product", "a=5", "= ≤1", "of the product", "", "1 × 2 = 2"} {
		require.Equal(t, resultRE.MatchString(s), holdsResult(s), s)
	}
	require.True(t, holdsResult("1 × 2 = 2"))
	require.False(t, holdsResult("of the product"))
}
