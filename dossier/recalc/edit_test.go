package recalc_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/recalc"
	"gallipot/testdata"
)

// demoFiles are the files of the demo without its papers.
func demoFiles(t *testing.T) map[string]string {
	t.Helper()
	files := map[string]string{}
	tree, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	require.NoError(t, fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".yaml") {
			return err
		}
		text, err := fs.ReadFile(tree, name)
		files[name] = string(text)
		return err
	}))
	return files
}

// assessProduct assesses one product of some files.
func assessProduct(t *testing.T, files map[string]string, id string) *assess.Assessment {
	t.Helper()
	w := assessMap(t, files).Workshop
	p := w.Product(id)
	require.NotNil(t, p, id)
	return assess.Run(w, p, assess.Options{Date: testDay, Law: table.Builtin()})
}

// namedCells are the places of all named cells.
func namedCells(t *testing.T, data []byte) map[string]storedCell {
	t.Helper()
	names := map[string]storedCell{}
	re := regexp.MustCompile(`^'([^!]+)'!\$([A-Z]+)\$(\d+)$`)
	for _, d := range openXLSX(t, data).GetDefinedName() {
		if strings.HasPrefix(d.Name, "_xlnm") {
			continue
		}
		m := re.FindStringSubmatch(d.RefersTo)
		require.NotNil(t, m, d.RefersTo)
		names[d.Name] = storedCell{sheet: m[1], name: m[2] + m[3]}
	}
	return names
}

// typeInto types values into cells of a workbook, as its reader would.
func typeInto(t *testing.T, data []byte, cells map[storedCell]string) []byte {
	t.Helper()
	f := openXLSX(t, data)
	for c, value := range cells {
		require.False(t, isLocked(t, f, c.sheet, c.name), "%s!%s is not an input", c.sheet, c.name)
		require.NoError(t, f.SetCellFormula(c.sheet, c.name, ""))
		require.NoError(t, f.SetCellDefault(c.sheet, c.name, value))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

func isLocked(t *testing.T, f *excelize.File, sheet, cell string) bool {
	t.Helper()
	n, err := f.GetCellStyle(sheet, cell)
	require.NoError(t, err)
	s, err := f.GetStyle(n)
	require.NoError(t, err)
	return s.Protection == nil || s.Protection.Locked
}

// modelEdit is a change of an input in the sheets, and the same change in the
// maker's files.
type modelEdit struct {
	name    string
	product string
	replace []string          // in all files: old, new, …
	typed   map[string]string // names of cells
	content [3]string         // or a content: substance, raw material, value of all three bounds
}

var modelEdits = []modelEdit{
	{name: "line", product: "heath-wash",
		replace: []string{"{ingredient: glycerin, amount: 4}", "{ingredient: glycerin, amount: 6.5}"},
		typed:   map[string]string{"Amount_glycerin": "6.5"}},
	{name: "limit", product: "heath-wash",
		replace: []string{"{ingredient: keeper-pe, amount: 0.9}", "{ingredient: keeper-pe, amount: 1.3}"},
		typed:   map[string]string{"Amount_keeper_pe": "1.3"}},
	{name: "slot", product: "heath-wash",
		replace: []string{"{slot: scent, amount: 0.8}", "{slot: scent, amount: 1.15}"},
		typed:   map[string]string{"Amount_scent": "1.15"}},
	{name: "portions", product: "heath-wash",
		replace: []string{"violet layer, share: 60", "violet layer, share: 55", "bronze layer, share: 40",
			"bronze layer, share: 45"},
		typed: map[string]string{"Portion_duo_violet_layer": "55", "Portion_duo_bronze_layer": "45"}},
	{name: "added", product: "heath-wash",
		replace: []string{"{ingredient: olive-stone, parts_per_100: 5}",
			"{ingredient: olive-stone, parts_per_100: 7.25}"}, typed: map[string]string{"Parts_scrub_olive_stone": "7.25"}},
	{name: "shares", product: "heath-wash",
		replace: []string{"{ingredient: fo-gorse, share: 70}, {ingredient: juniper-oil, share: 30}",
			"{ingredient: fo-gorse, share: 25}, {ingredient: juniper-oil, share: 75}"},
		typed: map[string]string{"Share_scrub_fo_gorse": "25", "Share_scrub_juniper_oil": "75"}},
	{name: "allergen", product: "heath-wash",
		replace: []string{"{name: Linalool, cas: 78-70-6, pct: 4.2}", "{name: Linalool, cas: 78-70-6, pct: 1.1}"},
		content: [3]string{"Linalool", "fo-heather", "1.1"}},
	{name: "retention", product: "heath-wash",
		replace: []string{"intended_for: adults\nbody_area: [body]\nprofessional: false",
			"intended_for: adults\nbody_area: [body]\nprofessional: false\nexposure: {retention_pct: 4, source: trial}"},
		typed: map[string]string{"Exposure_retention": "0.04"}},
	{name: "weight", product: "heath-wash",
		replace: []string{"intended_for: adults\nbody_area: [body]\nprofessional: false",
			"intended_for: adults\nbody_area: [body]\nprofessional: false\nexposure: {body_weight_kg: 48, source: trial}"},
		typed: map[string]string{"Exposure_body_weight_kg": "48"}},
	{name: "pod", product: "body-cream", replace: []string{"mg_per_kg_bw_d: 1000", "mg_per_kg_bw_d: 37"},
		typed: map[string]string{"PoD_Hydrolyzed_Oats": "37"}},
	{name: "absorbed", product: "body-cream",
		replace: []string{"dermal_absorption_pct: 10\n", "dermal_absorption_pct: 65\n"},
		typed:   map[string]string{"Absorbed_Hydrolyzed_Oats": "65"}},
	{name: "wax", product: "lip-balm",
		replace: []string{"{ingredient: beeswax, amount: 18}", "{ingredient: beeswax, amount: 11.5}"},
		typed:   map[string]string{"Amount_beeswax": "11.5"}},
}

// TestModelFollowsAChange types a changed value into the workbook of the demo and
// has LibreOffice recalculate it. What it comes to must be what the program
// computes when the same change is made in the maker's files.
func TestModelFollowsAChange(t *testing.T) {
	if !testdata.Night() {
		t.Skip("a test for a night: GALLIPOT_LONG=night runs it")
	}
	documenttest.Tool(t, "soffice")
	var books []*officeBook
	var before, after []*document.Document
	for _, e := range modelEdits {
		files := demoFiles(t)
		before = append(before, modelAlone(assessProduct(t, files, e.product)))
		for name, text := range files {
			files[name] = strings.NewReplacer(e.replace...).Replace(text)
		}
		require.False(t, maps.Equal(files, demoFiles(t)), e.name)
		after = append(after, modelAlone(assessProduct(t, files, e.product)))
		data := xlsxOf(t, before[len(before)-1])
		books = append(books, &officeBook{name: e.name, data: typeInto(t, data, e.cells(t, data))})
	}
	for seed := range 8 { // and the slot for the scent in workshops of chance
		s := newChanceShop(uint64(100 + seed))
		s.product(3)
		before = append(before, modelAlone(assessMap(t, s.files)))
		s.files["products/p.yaml"] = strings.Replace(s.files["products/p.yaml"], "{slot: scent, amount: 0.8}",
			"{slot: scent, amount: 0.55}", 1)
		after = append(after, modelAlone(assessMap(t, s.files)))
		data := xlsxOf(t, before[len(before)-1])
		books = append(books, &officeBook{name: fmt.Sprintf("chance-%d", seed),
			data: typeInto(t, data, map[storedCell]string{namedCells(t, data)["Amount_scent"]: "0.55"})})
	}
	recalculate(t, books)
	for i, b := range books {
		requireChanged(t, b, before[i], after[i])
	}
}

// cells are the places to type into.
func (e *modelEdit) cells(t *testing.T, data []byte) map[storedCell]string {
	t.Helper()
	cells := map[storedCell]string{}
	names := namedCells(t, data)
	for name, value := range e.typed {
		c, known := names[name]
		require.True(t, known, "no cell is called %s", name)
		cells[c] = value
	}
	if e.content[0] == "" {
		return cells
	}
	f := openXLSX(t, data)
	rows, err := f.GetRows(recalc.ContentsOfSheet)
	require.NoError(t, err)
	for i, r := range rows {
		if len(r) > 3 && r[0] == e.content[0] && r[1] == e.content[1] {
			for col := 4; col <= 6; col++ {
				cells[storedCell{sheet: recalc.ContentsOfSheet, name: sheet.CellName(col, i+1)}] = e.content[2]
			}
		}
	}
	require.Len(t, cells, 3, e.name)
	return cells
}

// figurePlaces are the places of the figures in the tables of a document by
// table, row and column, with the program's value.
func figurePlaces(d *document.Document) map[string]storedCell {
	x := &sheet.XLSXWriter{D: d, TableNo: d.TableNumbers(), Cells: map[string]sheet.CellPlace{},
		Tables: map[string]*sheet.XLSXTable{}}
	x.Gather()
	x.Place()
	places := map[string]storedCell{}
	for id, p := range x.Tables {
		if !strings.HasPrefix(id, "recalc-") || id == recalc.TableContents || id == recalc.TableGuide {
			continue
		}
		above := ""
		for i, r := range p.T.Rows {
			label := r.Cells[0].Text
			if strings.HasPrefix(label, "  ") {
				label = above + label
			} else {
				above = label
			}
			for j, c := range r.Cells {
				figures := sheet.FiguresOf(c)
				if len(figures) != 1 || c.Formula == "" {
					continue
				}
				key := strings.Join([]string{id, label, r.Cells[1].Text + r.Cells[min(2, len(r.Cells)-1)].Text,
					p.T.Columns[j].Head}, " / ")
				if id != recalc.TableDeclare {
					key = strings.Join([]string{id, label, p.T.Columns[j].Head}, " / ")
				}
				places[key] = storedCell{sheet: p.Sheet.Name, name: sheet.CellName(p.First[j], p.Rows[i]), value: figures[0].Stored}
			}
		}
	}
	return places
}

// requireChanged compares the figures of a recalculated workbook with those that
// the program has after the same change.
func requireChanged(t *testing.T, b *officeBook, before, after *document.Document) {
	t.Helper()
	here := figurePlaces(before)
	compared, changed := 0, 0
	for key, want := range figurePlaces(after) {
		at, known := here[key]
		if !known || strings.HasPrefix(key, recalc.TableOutcomes) || strings.HasPrefix(key,
			recalc.TableChanged) || strings.Contains(key, "As typed") || strings.Contains(key, "MoS in the pack") {
			continue
		}
		got := b.cell(t, at.sheet, at.name)
		require.False(t, differ(want.value, got), "%s: %s (%s!%s) is %s after the change, the program has %s",
			b.name, key, at.sheet, at.name, got, want.value)
		compared++
		if differ(at.value, want.value) {
			changed++
		}
	}
	t.Logf("%s: %d figures, %d changed", b.name, compared, changed)
	require.Greater(t, compared, 100, b.name)
	require.Positive(t, changed, "%s: the change changed nothing", b.name)
}
