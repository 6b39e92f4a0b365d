package recalc_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/assess/assesstest"
	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/pack"
	"gallipot/dossier/recalc"
	"gallipot/dossier/show"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/testdata"
)

var demo = assesstest.Demo(assess.Run)

var demoProducts = []string{"lip-balm", "salt-scrub", "body-cream", "heath-wash"}

// chanceWorkshops is how many workshops are made by chance.
const chanceWorkshops = 24

// assessChance assesses a product of chance; some are soaps.
func assessChance(t *testing.T, seed int) *assess.Assessment {
	t.Helper()
	s := newChanceShop(uint64(seed))
	s.product(1 + seed%5)
	if seed%8 == 7 {
		s.soap()
	}
	return assessMap(t, s.files)
}

func assessMap(t *testing.T, files map[string]string) *assess.Assessment {
	t.Helper()
	m := fstest.MapFS{}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	w, findings := workshop.LoadFS("w", m, table.Builtin())
	require.NotNil(t, w)
	for _, f := range findings {
		require.False(t, f.Unread, "%s %s\n%s", f.Pos, wordstest.Said(f).Text(), files[f.Pos.File])
	}
	return assess.Run(w, w.Products[0], assess.Options{Date: testDay, Law: table.Builtin()})
}

// storedCell is a cell with a formula and the figure of the program beside it.
type storedCell struct{ sheet, name, formula, value string }

var storedRE = regexp.MustCompile(`<c r="([A-Z]+[0-9]+)"[^>]*><f>([^<]*)</f><v>([^<]*)</v></c>`)

// storedFormulas reads every formula of a workbook and what stands beside it.
func storedFormulas(t *testing.T, data []byte) []storedCell {
	t.Helper()
	f := openXLSX(t, data)
	var cells []storedCell
	unescape := strings.NewReplacer("&lt;", "<", "&gt;", ">", "&quot;", `"`, "&#34;", `"`, "&#39;", "'",
		"&apos;", "'", "&#xA;", "\n", "&amp;", "&")
	for i, sheet := range f.GetSheetList() {
		text := zipped(t, data, fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1))
		require.Equal(t, strings.Count(text, "<f>"), len(storedRE.FindAllString(text, -1)),
			"%s: a formula without a result", sheet)
		for _, m := range storedRE.FindAllStringSubmatch(text, -1) {
			cells = append(cells, storedCell{sheet, m[1], unescape.Replace(m[2]), unescape.Replace(m[3])})
		}
	}
	return cells
}

// differ says by how much two results differ: 0 where they are the same within
// 1e-9 of the figure.
func differ(want, got string) bool {
	x, errX := strconv.ParseFloat(want, 64)
	y, errY := strconv.ParseFloat(got, 64)
	if errX != nil || errY != nil {
		return want != got
	}
	return math.Abs(x-y) > math.Max(1e-9*math.Abs(x), 1e-15)
}

// requireSameFigures compares what formulas came to, figures and words, with what
// the program has; no formula may come to an error.
func requireSameFigures(t *testing.T, what string, cells []storedCell, result func(storedCell) string) {
	t.Helper()
	wrong := 0
	for _, c := range cells {
		got := result(c)
		for _, bad := range []string{"#", "Err:"} {
			require.False(t, strings.HasPrefix(got, bad), "%s: %s!%s =%s gives %s", what, c.sheet, c.name, c.formula, got)
		}
		if differ(c.value, got) {
			wrong++
			if wrong < 10 {
				t.Errorf("%s: %s!%s =%s gives %s, the program has %s", what, c.sheet, c.name, c.formula, got, c.value)
			}
		}
	}
	require.Zero(t, wrong, what)
}

// TestModelByLibrary recalculates the workbooks of the demo with the library's
// own calculator.
func TestModelByLibrary(t *testing.T) {
	for _, id := range demoProducts[:testdata.Cases(1, len(demoProducts))] {
		require.Greater(t, calculate(t, id, xlsxOf(t, modelAlone(demo(t, id)))), 400, id)
	}
}

// calculate compares every formula of a workbook, computed by the library, with
// the figure beside it, and counts them.
func calculate(t *testing.T, what string, data []byte) int {
	t.Helper()
	f := openXLSX(t, data)
	cells := storedFormulas(t, data)
	requireSameFigures(t, what, cells, func(c storedCell) string {
		got, err := f.CalcCellValue(c.sheet, c.name, excelize.Options{RawCellValue: true})
		require.NoError(t, err, "%s!%s =%s", c.sheet, c.name, c.formula)
		return got
	})
	return len(cells)
}

// TestModelOfFaultyFormulas: formulas that the program stops at, and those at the
// edge of what it lets pass, come to its figures too.
func TestModelOfFaultyFormulas(t *testing.T) {
	const sheets = "composition: {complete: true, constituents: [{inci: Glycerin, cas: 56-81-5, pct: \"90-99\"}, {inci: Aqua, pct: q.s.}]}\n"
	for name, formula := range map[string]string{
		"one mixture, no variants":    "{basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: base, amount: 12.5}]}]}",
		"not 100":                     "{basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: 70}, {ingredient: base, amount: 12.5}]}]}",
		"nothing left for q.s.":       "{basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: base, amount: 99}, {slot: scent, amount: 3}]}]}",
		"exactly nothing left":        "{basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: base, amount: 97}, {slot: scent, amount: 3}]}]}",
		"an empty slot, no q.s.":      "{basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: 80}, {ingredient: base, amount: 17}, {slot: scent, amount: 3}]}]}",
		"grams and an empty slot":     "{basis: grams, phases: [{id: A, lines: [{ingredient: water, amount: 213}, {ingredient: base, amount: 17}, {slot: scent, amount: 3}]}]}",
		"as far from 100 as may be":   "{basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: 80.01}, {ingredient: base, amount: 20}]}]}",
		"just too far":                "{basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: 80.0101}, {ingredient: base, amount: 20}]}]}",
		"short by what may be":        "{basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: 79.99}, {ingredient: base, amount: 20}]}]}",
		"one raw material alone":      "{basis: percent, phases: [{id: A, lines: [{ingredient: base, amount: 100}]}]}",
		"one raw material, two lines": "{basis: percent, phases: [{id: A, lines: [{ingredient: base, amount: q.s.}, {ingredient: base, amount: 30}]}]}",
	} {
		t.Run(name, func(t *testing.T) {
			s := &chanceShop{files: map[string]string{"workshop.yaml": "maker: {name: Skerry Bench (invented), address: [A], country: GB}\nmarkets: [GB]\n"}}
			s.sheet("water", "composition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n")
			s.sheet("base", sheets)
			s.files["products/p.yaml"] = "id: p\nname: P\nrevision: 1\nproduct_type: body-lotion\nintended_for: adults\nformula: " + formula + "\n"
			require.Greater(t, calculate(t, name, xlsxOf(t, modelAlone(assessMap(t, s.files)))), 20)
		})
	}
}

// officeBook is a workbook to be recalculated, and what came of it.
type officeBook struct {
	name   string
	data   []byte
	sheets map[string][][]string
}

var resultRE = regexp.MustCompile(`(<f>[^<]*</f>)<v>[^<]*</v>`)

// withoutResults takes the figures beside the formulas out of a workbook, so that
// nothing can be taken over without computing it.
func withoutResults(t *testing.T, data []byte) []byte {
	t.Helper()
	return rezip(t, data, func(name string, content []byte) []byte {
		if strings.HasPrefix(name, "xl/worksheets/") {
			return resultRE.ReplaceAll(content, []byte("$1"))
		}
		return content
	})
}

// recalculate has LibreOffice compute all formulas of some workbooks.
func recalculate(t *testing.T, books []*officeBook) {
	t.Helper()
	office := documenttest.Tool(t, "soffice")
	dir := t.TempDir()
	args := []string{"--headless", "-env:UserInstallation=file://" + dir + "/profile", "--convert-to",
		"csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1", "--outdir", dir}
	for _, b := range books {
		file := filepath.Join(dir, b.name+".xlsx")
		require.NoError(t, os.WriteFile(file, withoutResults(t, b.data), 0o600))
		args = append(args, file)
	}
	documenttest.Run(t, office, args...)
	for _, b := range books {
		b.sheets = map[string][][]string{}
		for _, sheet := range openXLSX(t, b.data).GetSheetList() {
			r, err := os.Open(filepath.Join(dir, b.name+"-"+sheet+".csv"))
			require.NoError(t, err)
			cr := csv.NewReader(r)
			cr.FieldsPerRecord = -1
			b.sheets[sheet], err = cr.ReadAll()
			require.NoError(t, err)
			require.NoError(t, r.Close())
		}
	}
}

// cell returns what a cell came to.
func (b *officeBook) cell(t *testing.T, sheet, name string) string {
	t.Helper()
	col, row, err := excelize.CellNameToCoordinates(name)
	require.NoError(t, err)
	rows := b.sheets[sheet]
	if row > len(rows) || col > len(rows[row-1]) {
		return ""
	}
	return rows[row-1][col-1]
}

// TestModelInLibreOffice recalculates the workbooks of the demo and of workshops
// made by chance: every formula must come to the program's own figure.
func TestModelInLibreOffice(t *testing.T) {
	if !testdata.Night() {
		t.Skip("a test for a night: GALLIPOT_LONG=night runs it")
	}
	documenttest.Tool(t, "soffice")
	var books []*officeBook
	for _, id := range demoProducts {
		books = append(books, &officeBook{name: id, data: xlsxOf(t, pack.Build(demo(t, id)))})
	}
	for seed := range chanceWorkshops {
		books = append(books, &officeBook{name: fmt.Sprintf("chance-%d", seed),
			data: xlsxOf(t, modelAlone(assessChance(t, seed)))})
	}
	recalculate(t, books)
	n := 0
	for _, b := range books {
		cells := storedFormulas(t, b.data)
		require.Greater(t, len(cells), 100, b.name)
		requireSameFigures(t, b.name, cells, func(c storedCell) string { return b.cell(t, c.sheet, c.name) })
		n += len(cells)
	}
	t.Logf("%d formulas in %d workbooks", n, len(books))
}

// modelAlone is a document that holds nothing but the sheets that recalculate.
func modelAlone(a *assess.Assessment) *document.Document {
	d := show.Show(a, "").Document("Recalculation")
	d.Workbook = recalc.Build(a)
	return d
}
