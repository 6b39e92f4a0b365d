package recalc_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/headroom"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/documenttest"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/pack"
	"gallipot/dossier/recalc"
	"gallipot/ingredients/exact"
)

// liveRow is a row of a live sheet after LibreOffice has computed it: the first whose cells
// begin with some words, in their order.
func liveRow(t *testing.T, b *officeBook, on string, begins ...string) []string {
	t.Helper()
	for _, r := range b.sheets[on] {
		if len(r) >= len(begins) && slices.Equal(r[:len(begins)], begins) {
			return r
		}
	}
	t.Fatalf("%s: no row %q on sheet %s", b.name, begins, on)
	return nil
}

// Phenoxyethanol is limited to 1.0 % (Annex V entry 29): 1.3 % of a blend with 91 % of it
// are 1.183 %, which the sheets have to flag at once, and 0.9 % are 0.819 %, and kept. The
// blend grows at the cost of water, which holds none of it: 1 ÷ 0.91 = 1.0989 % are the most.
// With 98 % of it in the blend 0.9 % are 0.882 %, and 1 ÷ 0.98 = 1.0204 % the most. Two
// sheets that hold no formula say that they no longer agree.
func TestLimitFlags(t *testing.T) {
	documenttest.Tool(t, "soffice") // before the books are made
	data := xlsxOf(t, pack.Build(assessProduct(t, demoFiles(t), "heath-wash")))
	names := namedCells(t, data)
	kept := &officeBook{name: "kept", data: data}
	over := &officeBook{name: "over", data: typeInto(t, data, map[storedCell]string{names["Amount_keeper_pe"]: "1.3"})}
	rich := &officeBook{name: "rich", data: typeInto(t, data,
		(&modelEdit{content: [3]string{"Phenoxyethanol", "keeper-pe", "98"}}).cells(t, data))}
	// 18.67 g a day, all of it left on 60 kg: 311.2 mg/kg × 0.016 % × 50 % = 24.9 µg/kg of
	// alpha-Isomethyl ionone, above half of 46 µg/kg (Cramer class I); washed off 0.249.
	stays := &officeBook{name: "stays", data: typeInto(t, data, map[storedCell]string{names["Exposure_retention"]: "1"})}
	books := []*officeBook{kept, over, rich, stays}
	recalculate(t, books)
	const limits = "Recalc limits"
	entry := func(b *officeBook) []string {
		r := liveRow(t, b, limits, "Annex V entry 29", "Phenoxyethanol")
		return []string{r[4], r[6], r[8]}
	}
	assert.Equal(t, []string{"0.819", "○ kept", "same"}, entry(kept))
	assert.Equal(t, []string{"1.183", "■ exceeded", "differs"}, entry(over))
	assert.Equal(t, []string{"0.882", "○ kept", "same"}, entry(rich))
	room := func(b *officeBook) (most float64, verdict string) {
		r := liveRow(t, b, limits, "Strandkeeper P, preservative blend (keeper-pe)", "Annex V entry 29, Phenoxyethanol")
		most, err := strconv.ParseFloat(r[7], 64) // in the first mixture
		require.NoError(t, err)
		return most, r[4]
	}
	for b, want := range map[*officeBook]struct {
		most    float64
		verdict string
	}{kept: {1 / 0.91, "○ kept"}, over: {1 / 0.91, "■ exceeded"}, rich: {1 / 0.98, "○ kept"}} {
		most, verdict := room(b)
		assert.InDelta(t, want.most, most, 1e-9, b.name)
		assert.Equal(t, want.verdict, verdict, b.name)
	}
	dose := func(b *officeBook) (float64, string) {
		r := liveRow(t, b, limits, "alpha-Isomethyl ionone", "I")
		ug, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		return ug, r[6]
	}
	ug, verdict := dose(kept)
	assert.InDelta(t, 2.79*0.016/100*0.5*1000, ug, 1e-9)
	assert.Equal(t, "○ at or below", verdict)
	ug, verdict = dose(stays)
	assert.InDelta(t, 18670/60.0*0.016/100*0.5*1000, ug, 1e-9)
	assert.Equal(t, "▲ above", verdict)
	for _, b := range books {
		for _, on := range []string{"Limits", "Margins", "Headroom", "Exposure", "Contributions"} {
			head := b.sheets[on][3][0]
			assert.Equal(t, b != kept, strings.HasPrefix(head, "■ inputs were changed"), "%s: %s", b.name, head)
			gone := 0
			for _, row := range b.sheets[on] {
				for _, cell := range row {
					if cell == "changed" {
						gone++
					}
				}
			}
			if b == kept {
				assert.Zero(t, gone, "%s: %s", b.name, on)
			} else {
				assert.NotZero(t, gone, "%s: %s", b.name, on)
				requireNothingStale(t, on, b.sheets[on])
			}
		}
	}
}

// flatPlaces are the figures and verdicts of the sheet with a row a substance, by substance
// and column.
func flatPlaces(t *testing.T, d *document.Document) map[string]storedCell {
	t.Helper()
	x := &sheet.XLSXWriter{D: d, TableNo: d.TableNumbers(), Cells: map[string]sheet.CellPlace{},
		Tables: map[string]*sheet.XLSXTable{}}
	x.Gather()
	x.Place()
	p := x.Tables["flat-substances"]
	require.NotNil(t, p)
	places := map[string]storedCell{}
	for i, r := range p.T.Rows {
		for j, c := range r.Cells {
			at := storedCell{sheet: p.Sheet.Name, name: sheet.CellName(p.First[j], p.Rows[i]), formula: c.Formula,
				value: strings.ReplaceAll(c.String(), "\u00a0", " ")}
			if figures := sheet.FiguresOf(c); len(figures) == 1 {
				at.value = figures[0].Stored
			} else if c.Kind != document.CellVerdict && c.Formula == "" {
				continue
			}
			places[r.Cells[0].Text+" / "+p.T.Columns[j].Head] = at
		}
	}
	return places
}

// TestFlatSheetFollows: the sheet with a row a substance shows, at once, what the program
// computes when the same change is made in the maker's files, and unedited what it prints.
// 1.3 % of a blend with 91 % of phenoxyethanol are 1.183 % against 1.0 % (Annex V entry 29).
func TestFlatSheetFollows(t *testing.T) {
	documenttest.Tool(t, "soffice") // before the books are made
	edits := []modelEdit{
		{name: "limit", product: "heath-wash",
			replace: []string{"{ingredient: keeper-pe, amount: 0.9}", "{ingredient: keeper-pe, amount: 1.3}"},
			typed:   map[string]string{"Amount_keeper_pe": "1.3"}},
		{name: "added", product: "heath-wash",
			replace: []string{"{ingredient: olive-stone, parts_per_100: 5}",
				"{ingredient: olive-stone, parts_per_100: 7.25}"}, typed: map[string]string{"Parts_scrub_olive_stone": "7.25"}},
		{name: "pod", product: "body-cream", replace: []string{"mg_per_kg_bw_d: 1000", "mg_per_kg_bw_d: 37"},
			typed: map[string]string{"PoD_Hydrolyzed_Oats": "37"}},
		{name: "wax", product: "lip-balm",
			replace: []string{"{ingredient: beeswax, amount: 18}", "{ingredient: beeswax, amount: 11.5}"},
			typed:   map[string]string{"Amount_beeswax": "11.5"}},
	}
	var books []*officeBook
	var before, after []map[string]storedCell
	for _, e := range edits {
		files := demoFiles(t)
		d := pack.Build(assessProduct(t, files, e.product))
		for name, text := range files {
			files[name] = strings.NewReplacer(e.replace...).Replace(text)
		}
		before = append(before, flatPlaces(t, d))
		after = append(after, flatPlaces(t, pack.Build(assessProduct(t, files, e.product))))
		data := xlsxOf(t, d)
		books = append(books, &officeBook{name: e.name, data: typeInto(t, data, e.cells(t, data))},
			&officeBook{name: e.name + ", unedited", data: data})
	}
	for seed := range 2 { // and workshops of chance, with portions and entries whose condition is not decided
		s := newChanceShop(uint64(100 + seed))
		s.product(3)
		d := pack.Build(assessMap(t, s.files))
		s.files["products/p.yaml"] = strings.Replace(s.files["products/p.yaml"], "{slot: scent, amount: 0.8}",
			"{slot: scent, amount: 0.55}", 1)
		before = append(before, flatPlaces(t, d))
		after = append(after, flatPlaces(t, pack.Build(assessMap(t, s.files))))
		data := xlsxOf(t, d)
		e := modelEdit{name: fmt.Sprintf("chance-%d", seed), typed: map[string]string{"Amount_scent": "0.55"}}
		edits = append(edits, e)
		books = append(books, &officeBook{name: e.name, data: typeInto(t, data, e.cells(t, data))},
			&officeBook{name: e.name + ", unedited", data: data})
	}
	recalculate(t, books)
	for i, e := range edits {
		edited, asMade := books[2*i], books[2*i+1]
		compared, changed, gone := 0, 0, 0
		for key, is := range before[i] {
			got := asMade.cell(t, is.sheet, is.name)
			assert.False(t, differ(is.value, got), "%s: %s is %s, printed %s", asMade.name, key, got, is.value)
			want, known := after[i][key]
			now := edited.cell(t, is.sheet, is.name)
			switch {
			case now == "changed":
				gone++
				assert.True(t, is.formula == "" || strings.Contains(is.formula, "changed"), "%s: %s", e.name, key)
				continue
			case !known || strings.HasSuffix(key, "/ Why no margin"):
				continue
			case differ(is.value, want.value):
				changed++
			}
			compared++
			assert.False(t, differ(want.value, now), "%s: %s (%s) is %s, the program has %s", e.name, key, is.name,
				now, want.value)
		}
		t.Logf("%s: %d compared, %d changed, %d give way", e.name, compared, changed, gone)
		assert.Greater(t, compared, 100, e.name)
		assert.Greater(t, changed, 2, e.name)
		assert.Zero(t, gone, "%s: figures that give way", e.name)
	}
	shown := func(b *officeBook, column string) string {
		at := before[0]["Phenoxyethanol / "+column]
		return b.cell(t, at.sheet, at.name)
	}
	for b, want := range map[*officeBook][]string{books[0]: {"1.183", "1", "■ exceeded"},
		books[1]: {"0.819", "1", "○ kept"}} {
		assert.Equal(t, want, []string{shown(b, "Highest"), shown(b, "Limit"), shown(b, "Against the limits")}, b.name)
	}
}

// declaredColumn has what the supplier's document says, which no input changes.
const declaredColumn = 5

// sumRE is a result inside a line of arithmetic.
var sumRE = regexp.MustCompile(`= [0-9]`)

// requireNothingStale fails for each figure, and each line of arithmetic with its result,
// on a sheet that does not follow. Constants of substances, accepted counts and readings
// follow from no input, and the category of a fragrance is a word.
func requireNothingStale(t *testing.T, on string, rows [][]string) {
	t.Helper()
	for i, row := range rows {
		for j, cell := range row {
			_, err := strconv.ParseFloat(cell, 64)
			constant := on == "Raw materials" || on == "Tests" || cell == "9" ||
				on == "Contributions" && j == declaredColumn
			if err == nil && !constant || sumRE.MatchString(cell) && !strings.Contains(cell, "Q10") {
				t.Errorf("%s row %d, column %d still shows %s", on, i+1, j+1, cell)
			}
		}
	}
}

// TestNothingStaleOfASoap: what the lye makes of the fats is computed by the program alone,
// so that every figure of a sheet that does not follow gives way once an input is changed. What
// remains says nothing of contents: records of tests and papers, and Part B. The sheet with a
// row a substance follows the live sheets, which begin with the product as sold.
func TestNothingStaleOfASoap(t *testing.T) {
	documenttest.Tool(t, "soffice") // before the books are made
	s := newChanceShop(7)
	s.product(2)
	s.soap()
	a := assessMap(t, s.files)
	d := pack.Build(a)
	data := xlsxOf(t, d)
	name := "Exposure_retention"
	kept := &officeBook{name: "kept", data: data}
	changed := &officeBook{name: "changed",
		data: typeInto(t, data, map[storedCell]string{namedCells(t, data)[name]: "0.5"})}
	recalculate(t, []*officeBook{kept, changed})
	for on, rows := range changed.sheets {
		if strings.HasPrefix(on, "Recalc") || on == "Contents" || on == "Sources" || on == "Answers" || on == "Substances" {
			continue
		}
		assert.True(t, strings.HasPrefix(rows[3][0], "■ inputs were changed"), "%s: %s", on, rows[3][0])
		assert.False(t, strings.HasPrefix(kept.sheets[on][3][0], "■"), on)
		requireNothingStale(t, on, rows)
	}
	changedDoses := 0
	for key, is := range flatPlaces(t, d) {
		now := changed.cell(t, is.sheet, is.name)
		assert.True(t, is.formula != "" || now == "changed", "%s is neither a formula nor gives way", key)
		if strings.HasSuffix(key, "/ SED") && now != is.value {
			changedDoses++
		}
	}
	assert.Greater(t, changedDoses, 10)
	head := changed.sheets["Headroom"]
	require.NotEmpty(t, head)
	gone := 0
	for _, row := range head {
		for _, cell := range row {
			if cell == "changed" {
				gone++
			}
		}
	}
	assert.Greater(t, gone, 10, "figures of the headroom that give way")
}

// TestRoomOfASoap: the room of what does not react follows. Hydroxycitronellal is limited to
// 1.0 % (Annex III entry 72): of a scent with 5.5 % of it 1 ÷ 0.055 = 18.18 % are the most, of
// one with 50 % of it 2 %, which the 2.196 % in the soap exceed.
func TestRoomOfASoap(t *testing.T) {
	documenttest.Tool(t, "soffice") // before the books are made
	s := newChanceShop(10)
	s.product(2)
	s.soap()
	data := xlsxOf(t, modelAlone(assessMap(t, s.files)))
	kept := &officeBook{name: "kept", data: data}
	over := &officeBook{name: "over",
		data: typeInto(t, data, (&modelEdit{content: [3]string{"Hydroxycitronellal", "fo-1", "50"}}).cells(t, data))}
	recalculate(t, []*officeBook{kept, over})
	for b, want := range map[*officeBook]struct {
		most    float64
		verdict string
	}{kept: {1 / 0.055, "○ kept"}, over: {1 / 0.5, "■ exceeded"}} {
		r := liveRow(t, b, "Recalc limits", "Name of fo-1 (fo-1)", "Annex III entry 72, Hydroxycitronellal")
		most, err := strconv.ParseFloat(r[7], 64)
		require.NoError(t, err)
		assert.InDelta(t, want.most, most, 1e-9, b.name)
		assert.Equal(t, want.verdict, r[4], b.name)
	}
}

// Citral is limited to 0.60 % in category 4 (IFRA Standard, 49th Amendment): 12 % of an oil
// with 4 % of it are 0.48 %, and kept, 20 % are 0.80 %, and exceeded.
func TestStandardFlags(t *testing.T) {
	documenttest.Tool(t, "soffice") // before the books are made
	s := &chanceShop{files: map[string]string{"workshop.yaml": "maker: {name: Skerry Bench (invented), address: [A], country: GB}\nmarkets: [GB]\n"}}
	s.sheet("base", "composition: {complete: true, constituents: [{inci: Alcohol, pct: 100}]}\n")
	s.sheet("oil", "functions: [perfuming]\nlabel_as: parfum\nallergens: {list: 2023-1545, dated: 2026-01-05, declared: [{name: Citral, cas: 5392-40-5, pct: 4}]}\n")
	s.files["products/p.yaml"] = "id: p\nname: P\nrevision: 1\nproduct_type: perfume-oil\nintended_for: adults\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: base, amount: q.s.}, {ingredient: oil, amount: 12}]}]}\n"
	data := xlsxOf(t, modelAlone(assessMap(t, s.files)))
	kept := &officeBook{name: "kept", data: data}
	over := &officeBook{name: "over",
		data: typeInto(t, data, map[storedCell]string{namedCells(t, data)["Amount_oil"]: "20"})}
	recalculate(t, []*officeBook{kept, over})
	for b, want := range map[*officeBook][]string{kept: {"0.48", "○ kept", "same"},
		over: {"0.8", "■ exceeded", "differs"}} {
		r := liveRow(t, b, "Recalc limits", "Citral")
		assert.Equal(t, want, []string{r[3], r[5], r[7]}, b.name)
	}
}

// TestRoomIsTheProgrammes: the live room of each raw material under a limit or a margin is
// what the program computes on its own way, in a product after a reaction with lye too.
func TestRoomIsTheProgrammes(t *testing.T) {
	shops := map[string]*assess.Assessment{}
	for _, id := range demoProducts {
		shops[id] = demo(t, id)
	}
	soaps := 0
	for seed := range 12 {
		s := newChanceShop(uint64(7 + seed))
		s.product(2)
		s.soap()
		shops[fmt.Sprintf("soap-%d", seed)] = assessMap(t, s.files)
	}
	for id, a := range shops {
		live := map[string][]float64{}
		for _, s := range recalc.Build(a) {
			for _, b := range s.Blocks {
				x, ok := b.(*document.Table)
				if !ok || x.ID != "recalc-room" {
					continue
				}
				for _, r := range x.Rows {
					for _, c := range r.Cells[7:] {
						if c.Kind == document.CellNum {
							name, _, _ := strings.Cut(r.Cells[0].Text, " (")
							live[name] = append(live[name], c.Num.Float())
						}
					}
				}
			}
		}
		compared := 0
		for _, r := range a.Results {
			for _, h := range headroom.Headrooms(r) {
				sheet := a.Workshop.Sheets[h.Ingredient]
				if sheet == nil {
					continue
				}
				for _, rule := range h.Rules {
					if string(rule.Kind) != "legal limit" && string(rule.Kind) != "margin of safety" ||
						strings.Contains(rule.Rule, "if it applies") || rule.AtMostPct == nil || rule.Portion != h.Portion ||
						!rule.AtMostPct.Less(exact.Int(90)) || len(r.Compositions) > 1 { // portions are bound one by one
						continue
					}
					want := rule.AtMostPct.Float()
					found := slices.ContainsFunc(live[sheet.Name], func(x float64) bool { return math.Abs(x-want) <= 1e-9*want })
					assert.True(t, found, "%s %s %s: %v in %v", id, sheet.Name, rule.Rule, want, live[sheet.Name])
					compared++
				}
			}
		}
		t.Logf("%s: %d rooms compared", id, compared)
		if a.Product.Saponify != nil {
			soaps += compared
			continue
		}
		assert.Greater(t, compared, 4, id)
	}
	assert.Greater(t, soaps, 20, "rooms in soaps")
}
