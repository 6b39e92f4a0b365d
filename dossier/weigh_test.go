package dossier

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// TestWeighingSheetsHangTogether prints every variant of the demo in every form
// and wants each line in exactly one stage.
func TestWeighingSheetsHangTogether(t *testing.T) {
	w, _ := Load("../testdata/demo", law.Builtin())
	for _, p := range w.Products {
		a := w.Assess(p, batchOptions())
		for _, v := range p.Variants {
			s, err := w.Weigh(a, v.ID, WeighOptions{BatchG: grams(t, "2kg"), Code: "T1"})
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
			require.NoError(t, WriteText(&text, doc))
			require.NoError(t, WriteText(&again, s.Document()))
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
	titles := func(s *WeighSheet) (out []string) {
		for _, st := range s.Stages {
			out = append(out, st.Title)
		}
		return out
	}
	base := []string{"Phase A: Water and gum, heat to 40 °C", "Phase B: Surfactants, heat to 75 °C", "Phase A: Water and gum, again", "Phase C: Cool down"}
	assert.Equal(t, append(slices.Clone(base), "Divide the base", "Violet layer", "Bronze layer", "Phase D: Scent and colour"),
		titles(demoSheet(t, "heath-wash", "duo", WeighOptions{BatchG: grams(t, "2kg")})))
	assert.Equal(t, append(slices.Clone(base), "Phase D: Scent and colour", "Stir in last"),
		titles(demoSheet(t, "heath-wash", "scrub", WeighOptions{BatchG: grams(t, "2kg")})))
	s := demoSheet(t, "heath-wash", "duo", WeighOptions{BatchG: grams(t, "2kg")})
	// A 974 + 80 + 16 + 2 = 1072 g and B 400 + 100 + 360 = 860 g stand in two vessels
	// until the step that joins them: 1932 g
	var joined []string
	for _, st := range s.Stages {
		if st.joined {
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
	s := demoSheet(t, "heath-wash", "gorse", WeighOptions{Jars: 24, LossPct: ingredients.Int(3)})
	assert.Equal(t, "2969.1", s.Plan.TotalG.Exact()) // 24 × 120 / 0.97 = 2969.07, up to the division
	assert.Equal(t, 24, s.Units)
	s = demoSheet(t, "heath-wash", "gorse", WeighOptions{BatchG: grams(t, "2kg"), LossPct: ingredients.Int(3)})
	assert.Equal(t, 16, s.Units) // 1940 / 120 = 16.2
	density, err := ingredients.ParseNum("0.98")
	require.NoError(t, err)
	s = demoSheet(t, "body-cream", "tideline", WeighOptions{Jars: 10, DensityGML: &density})
	assert.Equal(t, "980", s.Plan.TotalG.Exact()) // 10 × 100 ml × 0.98

	w, _ := Load("../testdata/demo", law.Builtin())
	fail := func(product, variant string, opt WeighOptions, want string) {
		_, err := w.Weigh(w.Assess(w.Product(product), batchOptions()), variant, opt)
		assert.ErrorContains(t, err, want)
	}
	fail("body-cream", "tideline", WeighOptions{Jars: 10}, "density is not known")
	fail("heath-wash", "gorse", WeighOptions{}, "size of the batch is not given")
	fail("heath-wash", "", WeighOptions{BatchG: grams(t, "2kg")}, "one variant")
	fail("heath-wash", "gorse", WeighOptions{BatchG: grams(t, "0.05g")}, "cannot be weighed out")
	fail("heath-wash", "gorse", WeighOptions{BatchG: grams(t, "99999kg")}, "cannot be weighed out")
	w.BalanceDivisionG = nil
	fail("heath-wash", "gorse", WeighOptions{BatchG: grams(t, "2kg")}, "how finely your balance weighs")
}

func TestParseMass(t *testing.T) {
	for text, want := range map[string]string{"2kg": "2000", "500 g": "500", "1.5KG": "1500", "0.25 kg": "250", "12.3g": "12.3"} {
		n, err := ParseMass(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, n.Exact())
	}
	for _, bad := range []string{"", "2", "kg", "-2kg", "0g", "2,5kg", "2 lb", "two kg"} {
		_, err := ParseMass(bad)
		assert.Error(t, err, bad)
	}
}

// TestMissingPriceIsNamed: no price counts as none.
func TestMissingPriceIsNamed(t *testing.T) {
	w, _ := Load("../testdata/demo", law.Builtin())
	w.Sheets["fo-gorse"].PricePerKg = nil
	s, err := w.Weigh(w.Assess(w.Product("heath-wash"), batchOptions()), "gorse", WeighOptions{BatchG: grams(t, "2kg")})
	require.NoError(t, err)
	assert.Nil(t, s.Cost.Batch)
	assert.Equal(t, []string{"fo-gorse"}, s.Cost.Missing)
	var text bytes.Buffer
	require.NoError(t, WriteText(&text, s.Document()))
	assert.Contains(t, text.String(), "No price is given for fo-gorse")
	assert.Contains(t, text.String(), "prices are missing")
}

// TestWithoutPrices: where no sheet has a price, one line says so and no sheet of
// the workbook adds up nothing.
func TestWithoutPrices(t *testing.T) {
	w, _ := Load("../testdata/demo", law.Builtin())
	a := w.Assess(w.Product("heath-wash"), batchOptions())
	priced, err := w.Weigh(a, "gorse", WeighOptions{BatchG: grams(t, "2kg")})
	require.NoError(t, err)
	require.Len(t, priced.Document().Workbook, 1)
	for _, sheet := range w.Sheets {
		sheet.PricePerKg = nil
	}
	s, err := w.Weigh(a, "gorse", WeighOptions{BatchG: grams(t, "2kg")})
	require.NoError(t, err)
	doc := s.Document()
	assert.Empty(t, doc.Workbook)
	var text bytes.Buffer
	require.NoError(t, WriteText(&text, doc))
	assert.Equal(t, 1, strings.Count(text.String(), "no sheet has a price"))
}

// TestWholeTables: a table that is to stay whole is on one page wherever on the
// page it comes to stand; one that is not gets parted somewhere.
func TestWholeTables(t *testing.T) {
	parted := map[bool]bool{}
	for _, whole := range []bool{true, false} {
		for fill := range 45 {
			d := &Document{Title: "T", Date: 20261125, NoContents: true}
			sec := d.AddSection("s", "S")
			for range fill {
				sec.Add(Para("one line"))
			}
			table := &Table{ID: "t", Whole: whole, Columns: []Column{{Head: "A"}}}
			for i := range 12 {
				table.Add(TextCell("row").At("row-" + itoa(i)))
			}
			sec.Add(table)
			w, err := layPages(d)
			require.NoError(t, err)
			require.Contains(t, w.pages, "row-11")
			if w.pages["row-0"] != w.pages["row-11"] {
				parted[whole] = true
			}
		}
	}
	assert.Equal(t, map[bool]bool{false: true}, parted)
}

// TestWeighFiles writes both files, twice the same bytes.
func TestWeighFiles(t *testing.T) {
	var first [][]byte
	for i := range 2 {
		dir := filepath.Join(t.TempDir(), "out")
		files, _, err := demoSheet(t, "heath-wash", "duo", WeighOptions{BatchG: grams(t, "2kg")}).Files(dir)
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
		s := demoSheet(t, "heath-wash", "gorse", WeighOptions{BatchG: grams(t, "2kg"), Code: code})
		_, _, err := s.Files(dir)
		require.NoError(t, err)
		assert.Contains(t, s.Document().Product, code)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	for i := range files {
		files[i] = filepath.Base(files[i])
	}
	assert.Equal(t, []string{"HW261125A-weighing.pdf", "HW261125A-weighing.xlsx", "HW261125B-weighing.pdf", "HW261125B-weighing.xlsx"}, files)
}

// TestCautions: which rows of the caution table a material calls up.
func TestCautions(t *testing.T) {
	tables := law.Builtin()
	rows := func(text string, b bench, others ...string) []string {
		b.law = tables
		parse := func(text string) *calc.Material {
			s, fs := ingredients.ReadSheet(ingredients.NewSource("ingredients/m.yaml", []byte("id: m\n"+text)))
			require.Empty(t, fs, text)
			return calc.Prepare(s, tables.Dictionary())
		}
		m := parse(text)
		b.others = []*calc.Material{m}
		for _, o := range others {
			b.others = append(b.others, parse(o))
		}
		var out []string
		for _, c := range b.cautions(m) {
			out = append(out, c.Key)
		}
		return out
	}
	const whole = "composition: {complete: true, constituents: [{inci: %, pct: 100}]}\n"
	of := func(inci, more string) string { return "name: M\n" + more + strings.Replace(whole, "%", inci, 1) }
	hot := ingredients.Int(70)

	assert.Equal(t, []string{"H04", "H05", "H06"}, rows(of("Sodium Hydroxide", "form: solid\n"), bench{}))
	assert.Equal(t, []string{"H04", "H05", "H06", "H07"}, rows(of("Potassium Hydroxide", "form: solid\n"), bench{soap: true}))
	assert.Equal(t, []string{"H01", "H02", "H03"}, rows(of("Sodium Lauryl Sulfoacetate", "form: powder\nfunctions: [foaming]\n"), bench{}))
	assert.Equal(t, []string{"H01"}, rows(of("Sodium Cocoyl Isethionate", "form: solid\n"), bench{}))
	assert.Equal(t, []string{"H03"}, rows(of("Kaolin", "form: powder\n"), bench{}))
	assert.Equal(t, []string{"H12", "H13"}, rows(of("Butyrospermum Parkii Butter", "form: solid\n"), bench{heatC: &hot}))
	assert.Equal(t, []string{"H12", "H13"}, rows(of("Cetearyl Alcohol", "form: solid\nphysical: {melting_c: 52}\n"), bench{heatC: &hot}))
	for _, fat := range []string{"Cera Alba", "Cetearyl Alcohol", "Caprylic/Capric Triglyceride", "Petrolatum", "Helianthus Annuus Seed Oil"} { // no melting point on the sheet
		assert.Equal(t, []string{"H12", "H13"}, rows(of(fat, "form: solid\n"), bench{heatC: &hot}), fat)
	}
	sixty, less := ingredients.Int(60), ingredients.Int(59)
	assert.Equal(t, []string{"H12", "H13"}, rows(of("Cera Alba", "form: solid\n"), bench{heatC: &sixty}))
	assert.Empty(t, rows(of("Cera Alba", "form: solid\n"), bench{heatC: &less}))
	assert.Empty(t, rows(of("PEG-40 Hydrogenated Castor Oil", "form: liquid\n"), bench{heatC: &hot}), "no fat")
	assert.Empty(t, rows(of("Butyrospermum Parkii Butter", "form: solid\n"), bench{}))
	assert.Equal(t, []string{"H14"}, rows(of("Aqua", "form: liquid\n"), bench{heatC: &hot}))
	assert.Equal(t, []string{"H03", "H15"}, rows(of("Citric Acid", "form: powder\n"), bench{}))
	assert.Equal(t, []string{"H03", "H15", "H16"}, rows(of("Citric Acid", "form: powder\n"), bench{}, of("Sodium Bicarbonate", "form: powder\n")))
	assert.Equal(t, []string{"H17"}, rows(of("Alcohol Denat.", "form: liquid\n"), bench{}))
	assert.Equal(t, []string{"H17"}, rows(of("Dimethyl Ether", "form: liquid\nphysical: {flash_c: 60}\n"), bench{}))
	assert.Equal(t, []string{"H19"}, rows(of("Phenoxyethanol", "form: liquid\nfunctions: [preservative]\n"), bench{}))
	assert.Equal(t, []string{"H23"}, rows(of("Butane", "form: gas\n"), bench{}))
	assert.Equal(t, []string{"H09", "H10", "H11"}, rows("name: M\nform: liquid\nlabel_as: parfum\n", bench{}))
}

// TestLyeStandsOnTheSheet: a soap's weighing sheet shows the lye cautions beside
// the lye, and is blocked when there is too much of it.
func TestLyeStandsOnTheSheet(t *testing.T) {
	shop := func(lye string) *Workshop {
		w, fs := LoadFS("shop", folder(map[string]string{
			"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\nbalance: {division_g: 1}\n",
			"ingredients/water.yaml": sheetFile("water", ""),
			"ingredients/olive.yaml": "id: olive\nname: Olive oil\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}\n",
			"ingredients/lye.yaml":   "id: lye\nname: Caustic soda\nform: solid\ncomposition: {complete: true, constituents: [{inci: Sodium Hydroxide, cas: 1310-73-2, pct: 100}]}\n",
			"products/bar.yaml":      "id: bar\nname: Bar\nrevision: 1\nproduct_type: bar-soap\nintended_for: adults\nnet_content: {g: 100}\nformula:\n  basis: grams\n  saponify: {alkali: NaOH, excess_fat_pct: 5, water_loss_pct: 10}\n  phases:\n    - id: A\n      lines:\n        - {ingredient: olive, amount: 1000}\n        - {ingredient: lye, amount: " + lye + "}\n        - {ingredient: water, amount: 300}\n",
		}), law.Builtin())
		require.Empty(t, fs)
		return w
	}
	w := shop("123")
	a := w.Assess(w.Product("bar"), batchOptions())
	s, err := w.Weigh(a, "", WeighOptions{BatchG: grams(t, "1423g")})
	require.NoError(t, err)
	require.False(t, s.Blocked())
	var ids []string
	for _, c := range s.Stages[0].Cautions {
		ids = append(ids, c.Ingredient+" "+strings.Join(c.Rows, " "))
	}
	assert.Contains(t, ids, "lye H04 H05 H06 H07")
	assert.Equal(t, "Sodium Olivate", a.Results[0].List.Entries[0].Name)

	w = shop("150")
	s, err = w.Weigh(w.Assess(w.Product("bar"), batchOptions()), "", WeighOptions{BatchG: grams(t, "1450g")})
	require.NoError(t, err)
	require.True(t, s.Blocked())
	var text bytes.Buffer
	require.NoError(t, WriteText(&text, s.Document()))
	assert.Contains(t, text.String(), "Do not make this batch")
	assert.NotContains(t, text.String(), "To weigh", "no masses are printed")
}

// TestSoapInPack: the pack of a soap shows the balance and speaks of the product
// as sold.
func TestSoapInPack(t *testing.T) {
	w, fs := LoadFS("shop", folder(map[string]string{
		"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\nbalance: {division_g: 1}\n",
		"ingredients/water.yaml": sheetFile("water", ""),
		"ingredients/olive.yaml": "id: olive\nname: Olive oil\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}\n",
		"ingredients/lye.yaml":   "id: lye\nname: Caustic soda\ncomposition: {complete: true, constituents: [{inci: Sodium Hydroxide, cas: 1310-73-2, pct: 98-100}, {inci: Aqua, pct: q.s.}]}\n",
		"products/bar.yaml":      "id: bar\nname: Bar\nrevision: 1\nproduct_type: bar-soap\nintended_for: adults\nformula:\n  basis: grams\n  saponify: {alkali: NaOH, excess_fat_pct: 8, water_loss_pct: 10, values: [{ingredient: olive, mg_koh_g: \"188-190\"}]}\n  phases:\n    - id: A\n      lines:\n        - {ingredient: olive, amount: 1000}\n        - {ingredient: lye, amount: 125}\n        - {ingredient: water, amount: 300}\n",
	}), law.Builtin())
	require.Empty(t, fs)
	a := w.Assess(w.Product("bar"), batchOptions())
	doc := Pack(a)
	require.Empty(t, doc.Check())
	var text bytes.Buffer
	require.NoError(t, WriteText(&text, doc))
	for _, want := range []string{"Fats and lye of the product", "What the reaction leaves in the product", "Sodium Olivate", "before fats and lye"} {
		assert.True(t, strings.Contains(text.String(), want), want)
	}
	r := a.Results[0]
	assert.True(t, r.Reactions[0].FreeAlkali.IsZero())
	assert.Equal(t, []string{"Sodium Olivate", "Aqua", "Glycerin", "Olea Europaea Fruit Oil"}, strings.Split(r.List.Line(), ", "))
}

// TestWaterIsAddedBackToWater: the words on water that is lost while heating stand
// on the sheet of a base with a water line, and not on that of hot fat, even where
// a watery preservative is stirred in.
func TestWaterIsAddedBackToWater(t *testing.T) {
	for line, said := range map[string]bool{"{ingredient: water, amount: 30}": true, "{ingredient: water, amount: 0.5}": false, "{ingredient: wax, amount: 20}": false} {
		w, fs := LoadFS("shop", folder(map[string]string{
			"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\nbalance: {division_g: 0.1}\n",
			"ingredients/water.yaml": sheetFile("water", ""),
			"ingredients/oil.yaml":   "id: oil\nname: Oil\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}\n",
			"ingredients/wax.yaml":   "id: wax\nname: Wax\ncomposition: {complete: true, constituents: [{inci: Cera Alba, pct: 100}]}\n",
			"ingredients/mica.yaml":  "id: mica\nname: Mica\ncomposition: {complete: true, constituents: [{inci: Mica, pct: 100}]}\n",
			"products/balm.yaml": "id: balm\nname: Balm\nrevision: 1\nproduct_type: hand-cream\nintended_for: adults\nformula:\n  basis: percent\n  phases:\n    - id: A\n      heat_c: 75\n      lines:\n        - {ingredient: oil, amount: q.s.}\n        - " + line +
				"\n        - {slot: colour, amount: 1}\nvariants:\n  - id: duo\n    portions:\n      - {name: one, share: 50, fill: {colour: mica}}\n      - {name: two, share: 50}\n",
		}), law.Builtin())
		require.Empty(t, fs)
		s, err := w.Weigh(w.Assess(w.Product("balm"), batchOptions()), "duo", WeighOptions{BatchG: grams(t, "1kg")})
		require.NoError(t, err)
		var text bytes.Buffer
		require.NoError(t, WriteText(&text, s.Document()))
		assert.Equal(t, said, strings.Contains(text.String(), "water lost while heating"), line)
		assert.Contains(t, text.String(), "Weigh the base before it is divided")
	}
}

// TestWeighSheetInWorkbook: on the sheet Weigh every stage has its heading, so that a
// material that stands in several portions is told apart, and the one head of the
// columns is printed on every page.
func TestWeighSheetInWorkbook(t *testing.T) {
	s := demoSheet(t, "heath-wash", "duo", WeighOptions{BatchG: grams(t, "2kg")})
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

func hasLines(sec *Section) bool {
	for _, b := range sec.Blocks {
		if t, ok := b.(*Table); ok && t.SheetName == "Weigh" {
			return true
		}
	}
	return false
}

// TestWhichBalanceInWords: what is weighed on the fine balance is said as the plan does
// it: below 100 divisions of the coarse one (facts.csv, balance-good-load), 10 g at
// 0.1 g, as far as the fine one takes it.
func TestWhichBalanceInWords(t *testing.T) {
	for most, want := range map[string]string{"200g": "steps of 0.1 g, masses below 10 g in steps of 0.01 g", "5g": "steps of 0.1 g, masses up to 5 g in steps of 0.01 g"} {
		s := demoSheet(t, "heath-wash", "gorse", WeighOptions{BatchG: grams(t, "2kg")})
		s.balance.DivisionG, s.balance.FineG, s.balance.FineMaxG = *grams(t, "0.1g"), grams(t, "0.01g"), grams(t, most)
		assert.Equal(t, want, s.balanceText())
	}
}

// TestNoSpecification: a sheet without a check says why.
func TestNoSpecification(t *testing.T) {
	w, a := soapShop(t)
	s, err := w.Weigh(a, "", WeighOptions{BatchG: grams(t, "1423g")})
	require.NoError(t, err)
	var text bytes.Buffer
	require.NoError(t, WriteText(&text, s.Document()))
	assert.Contains(t, text.String(), "The product file has no specification")
	assert.Contains(t, text.String(), "What was looked at, what was found:")
	assert.NotContains(t, text.String(), "nothing to list")
}
