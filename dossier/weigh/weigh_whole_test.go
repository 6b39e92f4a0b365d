package weigh_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/pack"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
)

// TestWeighingSheetsHangTogether prints every variant of the demo in every form
// and wants each line in exactly one stage.
func TestWeighingSheetsHangTogether(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	for _, p := range w.Products {
		a := dossier.Assess(w, p, batchOptions())
		for _, v := range p.Variants {
			s, err := weigh.Weigh(w, a, v.ID, weigh.WeighOptions{BatchG: grams(t, "2kg"), Code: "T1"})
			require.NoError(t, err)
			doc := s.Document()
			require.Empty(t, doc.Check(), "%s/%s", p.ID, v.ID)
			var lines []int
			steps := 0
			for _, st := range s.Stages {
				lines = append(lines, st.Lines...)
				steps += len(st.Steps)
			}
			slices.Sort(lines)
			require.Len(t, lines, len(s.Plan.Lines))
			for i, n := range lines {
				require.Equal(t, i, n)
			}
			assert.Equal(t, len(p.Process), steps, "every step once")
			last := s.Stages[len(s.Stages)-1].PotG
			if len(v.Portions) == 0 {
				assert.Equal(t, "2000", last.Exact(), "what is in the pot at the end")
			}
			var text, again bytes.Buffer
			require.NoError(t, plain.Write(&text, doc))
			require.NoError(t, plain.Write(&again, s.Document()))
			assert.Equal(t, text.String(), again.String())
			var js bytes.Buffer
			require.NoError(t, s.WriteJSON(&js))
			var back struct {
				Plan struct {
					TotalG float64 `json:"total_g"`
				} `json:"plan"`
			}
			require.NoError(t, json.Unmarshal(js.Bytes(), &back))
			assert.Equal(t, 2000.0, back.Plan.TotalG)
		}
	}
}

// TestStagesFollowTheProcess: heath-wash comes to A, B, A again, C, is divided,
// and scented after that.
func TestStagesFollowTheProcess(t *testing.T) {
	titles := func(s *weigh.WeighSheet) (out []string) {
		for _, st := range s.Stages {
			out = append(out, st.Title)
		}
		return out
	}
	base := []string{"Phase A: Water and gum, heat to 40 °C", "Phase B: Surfactants, heat to 75 °C",
		"Phase A: Water and gum, again", "Phase C: Cool down"}
	assert.Equal(t, append(slices.Clone(base), "Divide the base", "Violet layer", "Bronze layer",
		"Phase D: Scent and colour"),
		titles(demoSheet(t, "heath-wash", "duo", weigh.WeighOptions{BatchG: grams(t, "2kg")})))
	assert.Equal(t, append(slices.Clone(base), "Phase D: Scent and colour", "Stir in last"),
		titles(demoSheet(t, "heath-wash", "scrub", weigh.WeighOptions{BatchG: grams(t, "2kg")})))
	s := demoSheet(t, "heath-wash", "duo", weigh.WeighOptions{BatchG: grams(t, "2kg")})
	// A 974 + 80 + 16 + 2 = 1072 g and B 400 + 100 + 360 = 860 g stand in two vessels
	// until the step that joins them: 1932 g
	var joined []string
	for _, st := range s.Stages {
		if st.Joined {
			joined = append(joined, st.Title+" "+st.PotG.Exact())
		}
	}
	assert.Equal(t, []string{"Phase A: Water and gum, again 1932", "Phase C: Cool down 1980"}, joined)
	// 1 % scent and colour on 2000 g: 20 g; base 1980 g, 60 % of it 1188 g
	assert.Equal(t, "1980", s.Stages[3].PotG.Exact())
	assert.Equal(t, "1188", s.Plan.Portions[0].BaseG.Exact())
	assert.Equal(t, "1200", s.Stages[5].PotG.Exact())
	assert.Equal(t, "800", s.Stages[6].PotG.Exact())
}

func TestWeighSizes(t *testing.T) {
	s := demoSheet(t, "heath-wash", "gorse", weigh.WeighOptions{Jars: 24, LossPct: exact.Int(3)})
	assert.Equal(t, "2969.1", s.Plan.TotalG.Exact()) // 24 × 120 / 0.97 = 2969.07, up to the division
	assert.Equal(t, 24, s.Units)
	s = demoSheet(t, "heath-wash", "gorse", weigh.WeighOptions{BatchG: grams(t, "2kg"), LossPct: exact.Int(3)})
	assert.Equal(t, 16, s.Units) // 1940 / 120 = 16.2
	density, err := exact.ParseNum("0.98")
	require.NoError(t, err)
	s = demoSheet(t, "body-cream", "tideline", weigh.WeighOptions{Jars: 10, DensityGML: &density})
	assert.Equal(t, "980", s.Plan.TotalG.Exact()) // 10 × 100 ml × 0.98

	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	fail := func(product, variant string, opt weigh.WeighOptions, want string) {
		_, err := weigh.Weigh(w, dossier.Assess(w, w.Product(product), batchOptions()), variant, opt)
		assert.ErrorContains(t, err, want)
	}
	fail("body-cream", "tideline", weigh.WeighOptions{Jars: 10}, "density is not known")
	fail("heath-wash", "gorse", weigh.WeighOptions{}, "size of the batch is not given")
	fail("heath-wash", "", weigh.WeighOptions{BatchG: grams(t, "2kg")}, "one variant")
	fail("heath-wash", "gorse", weigh.WeighOptions{BatchG: grams(t, "0.05g")}, "cannot be weighed out")
	fail("heath-wash", "gorse", weigh.WeighOptions{BatchG: grams(t, "99999kg")}, "cannot be weighed out")
	w.BalanceDivisionG = nil
	fail("heath-wash", "gorse", weigh.WeighOptions{BatchG: grams(t, "2kg")}, "how finely your balance weighs")
}

// TestMissingPriceIsNamed: no price counts as none.
func TestMissingPriceIsNamed(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	w.Sheets["fo-gorse"].PricePerKg = nil
	s, err := weigh.Weigh(w, dossier.Assess(w, w.Product("heath-wash"), batchOptions()), "gorse",
		weigh.WeighOptions{BatchG: grams(t, "2kg")})
	require.NoError(t, err)
	assert.Nil(t, s.Cost.Batch)
	assert.Equal(t, []string{"fo-gorse"}, s.Cost.Missing)
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, s.Document()))
	assert.Contains(t, text.String(), "No price is given for fo-gorse")
	assert.Contains(t, text.String(), "prices are missing")
}

// TestWithoutPrices: where no lot and no sheet has a price, one line says so and no sheet of
// the workbook adds up nothing.
func TestWithoutPrices(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	a := dossier.Assess(w, w.Product("heath-wash"), batchOptions())
	priced, err := weigh.Weigh(w, a, "gorse", weigh.WeighOptions{BatchG: grams(t, "2kg")})
	require.NoError(t, err)
	require.Len(t, priced.Document().Workbook, 1)
	for _, sheet := range w.Sheets {
		sheet.PricePerKg = nil
	}
	s, err := weigh.Weigh(w, a, "gorse", weigh.WeighOptions{BatchG: grams(t, "2kg")})
	require.NoError(t, err)
	doc := s.Document()
	assert.Empty(t, doc.Workbook)
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, doc))
	assert.Equal(t, 1, strings.Count(text.String(), "no lot and no sheet has a price"))
}

// TestPriceOfLot: by hand, a lot of 500 g for 10 costs 20 a kilogram; where a lot has a
// price it stands above that of the sheet.
func TestPriceOfLot(t *testing.T) {
	fsys := fstest.MapFS{
		"workshop.yaml":        {Data: []byte("maker: {name: Skerry (invented), address: [Shore Road 1]}\nmarkets: [GB]\nbalance: {division_g: 0.1}\n")},
		"ingredients/oil.yaml": {Data: []byte("id: oil\nname: Oil\nprice: {per_kg: 7}\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\n")},
		"products/tide.yaml":   {Data: []byte("id: tide\nname: Tide\nrevision: 1\nproduct_type: body-oil\nintended_for: adults\nnet_content: {g: 100}\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: oil, amount: 100}]}]}\n")},
	}
	costOf := func() string {
		w, _ := workshop.LoadFS("shop", fsys, table.Builtin())
		require.NotNil(t, w)
		a := dossier.Assess(w, w.Products[0], batchOptions())
		s, err := weigh.Weigh(w, a, "", weigh.WeighOptions{BatchG: grams(t, "1kg")})
		require.NoError(t, err)
		return s.Cost.Batch.Exact()
	}
	assert.Equal(t, "7", costOf())
	fsys["lots/O-1.yaml"] = &fstest.MapFile{Data: []byte("lot: O-1\ningredient: oil\nreceived: 2026-01-10\nreceived_g: 500\nbest_before: 2030-01-01\nprice: 10\n")}
	assert.Equal(t, "20", costOf())
}

// TestWeighFiles writes both files, twice the same bytes.
func TestWeighFiles(t *testing.T) {
	var first [][]byte
	for i := range 2 {
		dir := filepath.Join(t.TempDir(), "out")
		files, _, err := demoSheet(t, "heath-wash", "duo", weigh.WeighOptions{BatchG: grams(t, "2kg")}).Files(dir)
		require.NoError(t, err)
		require.Len(t, files, 2)
		for k, f := range files {
			data, err := os.ReadFile(f)
			require.NoError(t, err)
			if i == 0 {
				first = append(first, data)
			} else {
				assert.True(t, bytes.Equal(first[k], data), filepath.Base(f))
			}
		}
		assert.Equal(t, "heath-wash-duo-weighing.pdf", filepath.Base(files[0]))
		assert.Equal(t, "heath-wash-duo-weighing.xlsx", filepath.Base(files[1]))
	}
}

// TestFilesOfARecord: the sheet of a batch is named after its code, and bears the
// code on every page, so that two batches of one day keep a sheet each.
func TestFilesOfARecord(t *testing.T) {
	dir := t.TempDir()
	for _, code := range []string{"HW261125A", "HW261125B"} {
		s := demoSheet(t, "heath-wash", "gorse", weigh.WeighOptions{BatchG: grams(t, "2kg"), Code: code})
		_, _, err := s.Files(dir)
		require.NoError(t, err)
		assert.Contains(t, s.Document().Product, code)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	for i := range files {
		files[i] = filepath.Base(files[i])
	}
	assert.Equal(t, []string{"HW261125A-weighing.pdf", "HW261125A-weighing.xlsx", "HW261125B-weighing.pdf",
		"HW261125B-weighing.xlsx"}, files)
}

// TestLyeStandsOnTheSheet: a soap's weighing sheet shows the lye cautions beside
// the lye, and is blocked when there is too much of it.
func TestLyeStandsOnTheSheet(t *testing.T) {
	shop := func(lye string) *workshop.Workshop {
		w, fs := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
			"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\nbalance: {division_g: 1}\n",
			"ingredients/water.yaml": sheetFile("water", ""),
			"ingredients/olive.yaml": "id: olive\nname: Olive oil\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}\n",
			"ingredients/lye.yaml":   "id: lye\nname: Caustic soda\nform: solid\ncomposition: {complete: true, constituents: [{inci: Sodium Hydroxide, cas: 1310-73-2, pct: 100}]}\n",
			"products/bar.yaml":      "id: bar\nname: Bar\nrevision: 1\nproduct_type: bar-soap\nintended_for: adults\nnet_content: {g: 100}\nformula:\n  basis: grams\n  saponify: {alkali: NaOH, excess_fat_pct: 5, water_loss_pct: 10}\n  phases:\n    - id: A\n      lines:\n        - {ingredient: olive, amount: 1000}\n        - {ingredient: lye, amount: " + lye + "}\n        - {ingredient: water, amount: 300}\n",
		}), table.Builtin())
		require.Empty(t, fs)
		return w
	}
	w := shop("123")
	a := dossier.Assess(w, w.Product("bar"), batchOptions())
	s, err := weigh.Weigh(w, a, "", weigh.WeighOptions{BatchG: grams(t, "1423g")})
	require.NoError(t, err)
	require.False(t, s.Blocked())
	var ids []string
	for _, c := range s.Stages[0].Cautions {
		ids = append(ids, c.Ingredient+" "+strings.Join(c.Rows, " "))
	}
	assert.Contains(t, ids, "lye H04 H05 H06 H07")
	assert.Equal(t, "Sodium Olivate", a.Results[0].List.Entries[0].Name)

	w = shop("150")
	s, err = weigh.Weigh(w, dossier.Assess(w, w.Product("bar"), batchOptions()), "",
		weigh.WeighOptions{BatchG: grams(t, "1450g")})
	require.NoError(t, err)
	require.True(t, s.Blocked())
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, s.Document()))
	assert.Contains(t, text.String(), "Do not make this batch")
	assert.NotContains(t, text.String(), "To weigh", "no masses are printed")
}

// TestSoapInPack: the pack of a soap shows the balance and speaks of the product
// as sold.
func TestSoapInPack(t *testing.T) {
	w, fs := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\nbalance: {division_g: 1}\n",
		"ingredients/water.yaml": sheetFile("water", ""),
		"ingredients/olive.yaml": "id: olive\nname: Olive oil\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}\n",
		"ingredients/lye.yaml":   "id: lye\nname: Caustic soda\ncomposition: {complete: true, constituents: [{inci: Sodium Hydroxide, cas: 1310-73-2, pct: 98-100}, {inci: Aqua, pct: q.s.}]}\n",
		"products/bar.yaml":      "id: bar\nname: Bar\nrevision: 1\nproduct_type: bar-soap\nintended_for: adults\nformula:\n  basis: grams\n  saponify: {alkali: NaOH, excess_fat_pct: 8, water_loss_pct: 10, values: [{ingredient: olive, mg_koh_g: \"188-190\"}]}\n  phases:\n    - id: A\n      lines:\n        - {ingredient: olive, amount: 1000}\n        - {ingredient: lye, amount: 125}\n        - {ingredient: water, amount: 300}\n",
	}), table.Builtin())
	require.Empty(t, fs)
	a := dossier.Assess(w, w.Product("bar"), batchOptions())
	doc := pack.Build(a)
	require.Empty(t, doc.Check())
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, doc))
	for _, want := range []string{"Fats and lye of the product", "What the reaction leaves in the product",
		"Sodium Olivate", "before fats and lye"} {
		assert.True(t, strings.Contains(text.String(), want), want)
	}
	r := a.Results[0]
	assert.True(t, r.Reactions[0].FreeAlkali.IsZero())
	assert.Equal(t, []string{"Sodium Olivate", "Aqua", "Glycerin", "Olea Europaea Fruit Oil"},
		strings.Split(r.List.Line(), ", "))
}

// TestWaterIsAddedBackToWater: the words on water that is lost while heating stand
// on the sheet of a base with a water line, and not on that of hot fat, even where
// a watery preservative is stirred in.
func TestWaterIsAddedBackToWater(t *testing.T) {
	for line, said := range map[string]bool{"{ingredient: water, amount: 30}": true,
		"{ingredient: water, amount: 0.5}": false, "{ingredient: wax, amount: 20}": false} {
		w, fs := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
			"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\nbalance: {division_g: 0.1}\n",
			"ingredients/water.yaml": sheetFile("water", ""),
			"ingredients/oil.yaml":   "id: oil\nname: Oil\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}\n",
			"ingredients/wax.yaml":   "id: wax\nname: Wax\ncomposition: {complete: true, constituents: [{inci: Cera Alba, pct: 100}]}\n",
			"ingredients/mica.yaml":  "id: mica\nname: Mica\ncomposition: {complete: true, constituents: [{inci: Mica, pct: 100}]}\n",
			"products/balm.yaml": "id: balm\nname: Balm\nrevision: 1\nproduct_type: hand-cream\nintended_for: adults\nformula:\n  basis: percent\n  phases:\n    - id: A\n      heat_c: 75\n      lines:\n        - {ingredient: oil, amount: q.s.}\n        - " + line +
				"\n        - {slot: colour, amount: 1}\nvariants:\n  - id: duo\n    portions:\n      - {name: one, share: 50, fill: {colour: mica}}\n      - {name: two, share: 50}\n",
		}), table.Builtin())
		require.Empty(t, fs)
		s, err := weigh.Weigh(w, dossier.Assess(w, w.Product("balm"), batchOptions()), "duo",
			weigh.WeighOptions{BatchG: grams(t, "1kg")})
		require.NoError(t, err)
		var text bytes.Buffer
		require.NoError(t, plain.Write(&text, s.Document()))
		assert.Equal(t, said, strings.Contains(text.String(), "water lost while heating"), line)
		assert.Contains(t, text.String(), "Weigh the base before it is divided")
	}
}

// TestWeighSheetInWorkbook: on the sheet Weigh every stage has its heading, so that a
// material that stands in several portions is told apart, and the one head of the
// columns is printed on every page.
func TestWeighSheetInWorkbook(t *testing.T) {
	s := demoSheet(t, "heath-wash", "duo", weigh.WeighOptions{BatchG: grams(t, "2kg")})
	f := openXLSX(t, xlsxOf(t, s.Document()))
	rows, err := f.GetRows("Weigh")
	require.NoError(t, err)
	heads, stages := 0, map[string]bool{}
	for _, r := range rows {
		switch {
		case len(r) > 1 && r[1] == "Raw material":
			heads++
		case len(r) > 0:
			stages[r[0]] = true
		}
	}
	assert.Equal(t, 1, heads)
	for _, sec := range s.Document().Sections[1].Subsections {
		if sec.Title != "Divide the base" && strings.HasPrefix(sec.ID, "stage") && hasLines(sec) {
			assert.True(t, stages[sec.Number+"  "+sec.Title], sec.Title)
		}
	}
	titles := ""
	for _, n := range f.GetDefinedName() {
		if n.Name == "_xlnm.Print_Titles" && n.Scope == "Weigh" {
			titles = strings.ReplaceAll(n.RefersTo, "'", "")
		}
	}
	assert.Equal(t, "Weigh!$6:$6", titles)
}

func hasLines(sec *document.Section) bool {
	for _, b := range sec.Blocks {
		if t, ok := b.(*document.Table); ok && t.SheetName == "Weigh" {
			return true
		}
	}
	return false
}

// TestWhichBalanceInWords: what is weighed on the fine balance is said as the plan does
// it: below 100 divisions of the coarse one (facts.csv, balance-good-load), 10 g at
// 0.1 g, as far as the fine one takes it.
func TestWhichBalanceInWords(t *testing.T) {
	for most, want := range map[string]string{"200g": "steps of 0.1 g, masses below 10 g in steps of 0.01 g",
		"5g": "steps of 0.1 g, masses up to 5 g in steps of 0.01 g"} {
		s := demoSheet(t, "heath-wash", "gorse", weigh.WeighOptions{BatchG: grams(t, "2kg")})
		s.Balance.DivisionG, s.Balance.FineG, s.Balance.FineMaxG = *grams(t, "0.1g"), grams(t, "0.01g"), grams(t, most)
		assert.Equal(t, want, s.BalanceText())
	}
}

// TestNoSpecification: a sheet without a check says why.
func TestNoSpecification(t *testing.T) {
	w, a := soapShop(t)
	s, err := weigh.Weigh(w, a, "", weigh.WeighOptions{BatchG: grams(t, "1423g")})
	require.NoError(t, err)
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, s.Document()))
	assert.Contains(t, text.String(), "The product file has no specification")
	assert.Contains(t, text.String(), "What was looked at, what was found:")
	assert.NotContains(t, text.String(), "nothing to list")
}

// TestTwoPages: twelve lines in five stages, with their cautions, checks and sources, are
// two pages; the last section begins on the second.
func TestTwoPages(t *testing.T) {
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	require.NotNil(t, w)
	a := dossier.Assess(w, w.Product("heath-wash"), assess.Options{Date: 20261125, DateChosen: true, Law: table.Builtin()})
	g := exact.Int(2000)
	s, err := weigh.Weigh(w, a, "gorse", weigh.WeighOptions{BatchG: &g})
	require.NoError(t, err)
	require.Len(t, s.Plan.Lines, 12)
	pages, err := pdf.LayPages(s.Document())
	require.NoError(t, err)
	assert.Equal(t, 2, pages.Pages["cautions"])
	assert.Equal(t, 2, pages.P.PageCount())
}
