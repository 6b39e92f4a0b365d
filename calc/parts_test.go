package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// One product that makes each part but the exposure find something: hexamer at 5 % in a
// face wash (Regulation (EU) 2024/1328: below 0.1 %), phenoxyethanol at 1.2 % (V/29: 1 %),
// 500 mg/kg of lead, a scent without a certificate whose allergen is on the list of 2023
// alone, a value of 1 mg/kg for a preservative, a density that is one of kg/m³, no skin
// area, no challenge test, a word that is no function.
func TestFindingsOfTheLaterParts(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalyl Acetate", "5")
	own := formulatest.Material(t, "own", "preservative", "Sorbic Acid", "100")
	formulatest.Tox(t, own, "NOAEL", "1", "50", "50").Replaces = true
	own.Functions = append(own.Functions, "preservativ")
	ring := formulatest.Traced(t, formulatest.Pure(t, "emollient", "Cyclohexasiloxane"), "Lead", "1")
	ring.Physical.DensityGML = formulatest.Ptr(formulatest.Num(t, "960"))
	r := limitCase{product: "face-wash"}.of(t, fo, "3", own, "0.6", ring, "5",
		formulatest.Pure(t, "preservative", "Phenoxyethanol"), "1.2")
	codes := formulatest.Codes(r.Findings)
	for _, want := range []string{
		"ask unknown-function", "ask no-certificate", "stop over-limit", "stop other-law", "note old-stock",
		"ask no-challenge-test", "ask density-unusual", "ask mos-below-target", "ask aggregate-below-target",
		"ask no-skin-area", "ask trace-above-guidance", "ask prohibited-trace", "ask figures-unverified",
	} {
		assert.Contains(t, codes, want)
	}
	f := findingOf(t, r, "unknown-function")
	assert.Equal(t, "own", f.About.ID)
	near, _ := f.Values.Get("near")
	assert.Len(t, near.List, 3)
	assert.Equal(t, "preservative", near.List[0].Text)

	require.Len(t, r.LocalDoses, 1)
	require.Len(t, gapsBy(r, "no-skin-area"), 1)
	assert.Equal(t, "Face wash", gapsBy(r, "no-skin-area")[0].Subject)
	require.Len(t, gapsBy(r, "no-threshold"), 1)
	assert.Equal(t, "Lead", gapsBy(r, "no-threshold")[0].Subject)
	assert.Contains(t, r.MemoryFigures(), exposure.MemoryFigure{What: "exposure to all cosmetics", Table: "facts.csv",
		Row: "aggregate-exposure-relative", Seen: "memory"})
	assert.Contains(t, r.MemoryFigures(), exposure.MemoryFigure{What: "published figure for a trace",
		Table: "facts.csv", Row: "impurity-fda-lead", Seen: "memory"})
	assert.Contains(t, r.MemoryFigures(), exposure.MemoryFigure{What: "dermal absorption", Table: "tox-values.csv",
		Row: "Lead", Seen: "memory"}, "of the trace alone")

	geraniol := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Geraniol", "1")
	scented := limitCase{product: "body-lotion"}.of(t, geraniol, "1")
	assert.Contains(t, formulatest.Codes(scented.Findings), "note standard-no-figure")
	assert.Len(t, scented.Standards, 1)
	assert.Len(t, scented.Fragrances, 1)

	// with an area none is asked for; in a mouth spray what is breathed in has figures of its own
	own.Functions = []string{"preservative"}
	assert.Empty(t, gapsBy(limitCase{product: "face-cream"}.of(t, fo, "3"), "no-skin-area"))
	assert.Empty(t, gapsBy(limitCase{product: "nail-oil"}.of(t, fo, "3"), "no-skin-area"), "asked for with the exposure")
	r = job(t, "face-mist", "1", formulatest.Sheet(t, "m", "Glycerin", "100"), nil)
	asked := map[string]bool{}
	for _, f := range r.MemoryFigures() {
		asked[f.Row] = true
	}
	require.NotEmpty(t, r.Inhalation.Memory())
	for _, f := range r.Inhalation.Memory() {
		assert.True(t, asked[f.Row], f.Row)
	}
	assert.Len(t, foundBy(r, "figures-unverified"), 1)
}

// What the reaction of lye with fats finds is among the findings, and what went into it is
// asked for its traces, by the suppliers of the fats.
func TestFindingsOfSoap(t *testing.T) {
	p := formulatest.SoapProduct(t, "NaOH", "naoh", "5", "water", "95")
	r := assessed(t, p, &formula.Variant{}, "bar-soap", rows.EU, today, formulatest.SoapSheets(t)...)
	assert.Contains(t, formulatest.Codes(r.Findings), "stop no-fat")

	p = formulatest.SoapProduct(t, "NaOH", "oil", "70", "naoh", "9", "water", "20", "glycerin", "1")
	sheets := formulatest.SoapSheets(t, "oil", "Olea Europaea Fruit Oil", "glycerin", "Glycerin")
	for _, s := range sheets {
		s.Supplier.Name = "Supplier of " + s.ID
	}
	r = assessed(t, p, &formula.Variant{}, "bar-soap", rows.EU, today, sheets...)
	require.Len(t, r.Reactions, 1)
	var asked []string
	for _, g := range gapsBy(r, "no-impurities") {
		assert.Equal(t, "Supplier of "+g.Subject, g.Ask)
		asked = append(asked, g.Subject)
	}
	assert.ElementsMatch(t, []string{"oil", "naoh", "water", "glycerin"}, asked, "each once")
	g := gapList{In: r.Input}
	assert.Equal(t, "the suppliers of the fats",
		g.SuppliersOf([]formula.Contribution{{Ingredient: formula.SheetsIn(r.Input, r.Compositions)[0].ID}}))
}

// The figures of the day that were not read in their source: each row of each table once,
// sorted, and none of a maker's own file.
func TestMemoryFiguresOfAResult(t *testing.T) {
	dose := func(table, row, seen string) exposure.LocalDose {
		return exposure.LocalDose{ProductMgCm2: &formula.Stated{Table: table, Row: row, Seen: seen}}
	}
	all := func(table, row, seen string) exposure.Aggregate {
		return exposure.Aggregate{All: formula.Stated{Table: table, Row: row, Seen: seen}}
	}
	r := &Result{Aggregates: []exposure.Aggregate{all("t", "c", "memory"), all("t", "a", "partly"), all("", "x", "memory"),
		all("t", "d", "seen")},
		LocalDoses: []exposure.LocalDose{dose("t", "b", "memory"), dose("s", "c", "memory"), dose("t", "c", "memory"),
			dose("t", "e", "given"), {}}}
	assert.Equal(t, []exposure.MemoryFigure{{What: "skin area", Table: "s", Row: "c", Seen: "memory"},
		{What: "exposure to all cosmetics", Table: "t", Row: "a", Seen: "partly"},
		{What: "skin area", Table: "t", Row: "b", Seen: "memory"},
		{What: "exposure to all cosmetics", Table: "t", Row: "c", Seen: "memory"}}, r.MemoryFigures())
	assert.Empty(t, (&Result{}).MemoryFigures())
	assert.Empty(t, (&Result{}).unverified())
}

// Findings that differ in one thing alone stay two; those that differ in nothing are one.
func TestFindingsThatDifferInOneThing(t *testing.T) {
	one := finding.NewFinding(finding.Ask, "b", exact.Pos{File: "f", Line: 2, Col: 2}, formula.With().Name("m", "b"))
	for what, change := range map[string]func(f *finding.Finding){
		"severity": func(f *finding.Finding) { f.Severity = finding.Stop },
		"file":     func(f *finding.Finding) { f.Pos.File = "e" },
		"line":     func(f *finding.Finding) { f.Pos.Line = 1 },
		"column":   func(f *finding.Finding) { f.Pos.Col = 1 },
		"code":     func(f *finding.Finding) { f.Code = "a" },
		"values":   func(f *finding.Finding) { f.Values = formula.With().Name("m", "a") },
	} {
		other := one
		change(&other)
		want := []string{other.Key(), one.Key()}
		for _, in := range [][]finding.Finding{{one, other, one}, {other, one, other}, {one, one, other}} {
			var got []string
			for _, f := range Unique(in) {
				got = append(got, f.Key())
			}
			assert.Equal(t, want, got, what)
		}
	}
	assert.Empty(t, Unique(nil))
}

// The maker's own limits whose names are in no list and on no sheet, and that give no
// number, are asked about, with the nearest name.
func TestOwnLimitsThatNeverCount(t *testing.T) {
	const head = "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"
	own, faults := annex.ReadOwn("limits/house.csv", []byte(head+
		"known,own,house,EU+GB,Squalane,,,all,5,,,,,,,,our own rule,seen,\n"+
		"numbered,own,house,EU+GB,Nusquam Primum,7732-18-5,231-791-2,all,5,,,,,,,,our own rule,seen,\n"+
		"printed,own,house,EU+GB,Nusquam Acid;Nusquam Trace;Nusquam Scent,,,all,5,,,,,,,,our own rule,seen,\n"+
		"misspelt,own,house,EU+GB,Squalanne,,,all,5,,,,,,,,our own rule,seen,\n"+
		"far,own,house,EU+GB,Qqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqqq,,,all,5,,,,,,,,our own rule,seen,\n"))
	require.Empty(t, faults)
	m := formulatest.Traced(t, formulatest.Declared(t, formulatest.Pure(t, "", "Nusquam Acid"), ingredients.List2023,
		"Nusquam Scent", "1"), "Nusquam Trace", "1")
	plain := formulatest.Pure(t, "", "Glycerin")
	plain.Allergens = nil
	r := limitCase{product: "body-lotion"}.of(t, m, "1", plain, "1")
	in := *r.Input
	in.Session = formula.NewSession(in.Law.WithLimits(own))
	var got []string
	for _, f := range findingsOf(Assess(&in), "own-limit-name") {
		row, _ := f.Values.Get("row")
		near, _ := f.Values.Get("near")
		assert.Equal(t, finding.Ask, f.Severity)
		assert.Equal(t, "limits/house.csv", f.Pos.File)
		assert.Equal(t, 1, f.Pos.Col)
		got = append(got, formula.Itoa(f.Pos.Line)+" "+row.Text+" "+f.Subject[:8]+" "+near.Text)
	}
	assert.Equal(t, []string{"5 misspelt Squalann Squalane", "6 far Qqqqqqqq "}, got)
	assert.Empty(t, findingsOf(r, "own-limit-name"))
}

// Lists of two markets of which one alone wants an allergen named: linalyl acetate, on the
// label in the EU from 2026-08-01 (Regulation (EU) 2023/1545), in GB not.
func TestListsOfTwoMarkets(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalyl Acetate", "5")
	in := limitCase{product: "body-lotion"}.of(t, fo, "1").Input
	const eu, gb = "Aqua, Parfum, Linalyl Acetate", "Aqua, Parfum"
	for _, order := range [][]rows.Market{{rows.EU, rows.GB, rows.NI}, {rows.GB, rows.EU, rows.GB}, {rows.EU, rows.NI, rows.GB}} {
		for i, r := range AssessMarkets(in, order) {
			want := eu
			if order[i] == rows.GB {
				want = gb
			}
			assert.Equal(t, want, r.List.Line(), "%v %d", order, i)
		}
	}
	rs := AssessMarkets(in, []rows.Market{rows.EU, rows.NI})
	assert.Same(t, rs[0].List, rs[1].List, "the same names: one list")
}

// The sum of a formula that is not 100 names its materials as their sheets do.
func TestSumOfAFormulaNamesMaterials(t *testing.T) {
	oil := formulatest.Squalane(t)
	oil.Name = "Olive squalane"
	p := formulatest.WithFormula(t, formula.Percent, "base", "90")
	f := findingOf(t, assessed(t, p, &formula.Variant{}, "body-butter", rows.EU, today, oil), "not-100")
	require.NotEmpty(t, f.Sum)
	assert.Contains(t, wordstest.Term(f.Sum[0]), "Olive squalane")
}

// Figures of the names to come are printed as they stand in the table, and the content to
// four digits.
func TestDigitsOfComingAllergens(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalyl Acetate", "1.23456")
	f := findingOf(t, limitCase{product: "body-lotion", day: 20260731}.of(t, fo, "10"), "coming-allergen")
	require.Len(t, f.Sum, 1)
	threshold, _ := f.Sum[0].Values.Get("threshold")
	content, _ := f.Sum[0].Values.Get("content")
	assert.Equal(t, finding.AsIs, threshold.Round)
	assert.Equal(t, "0.1235", content.Round.Of(content.High()))
}

// A substance without a margin: what is asked for instead, and of whom.
func TestGapsWithoutAMargin(t *testing.T) {
	stated := func(inci, podType, pod, class string) *ingredients.Sheet {
		m := formulatest.Sheet(t, "m", inci, "100")
		formulatest.Tox(t, m, podType, pod, "", "").CramerClass = class
		return m
	}
	for _, c := range []struct {
		m         *ingredients.Sheet
		pct       string
		code, why string // "": no gap of these
	}{
		{stated("Exemplum Acid", "ADI", "5", ""), "1", "unusable-pod", "ADI is a safe intake"},
		{stated("Exemplum Acid", "", "", "I"), "0.01", "ttc-only", "only a screening by Cramer class I stands here: "},
		{stated("Zinc Exemplate", "", "", "I"), "0.01", "no-pod", "no point of departure"}, // to which the screening is closed
		{stated("Exemplum Acid", "", "", ""), "0.01", "no-pod", "no point of departure"},
		{stated("Exemplum Acid", "NOAEL", "1000", ""), "0.01", "", ""},
	} {
		r := job(t, "shower-gel", c.pct, c.m, nil)
		name := c.m.Composition.Constituents[0].INCI
		for _, code := range []string{"unusable-pod", "ttc-only", "no-pod"} {
			gaps := gapsBy(r, code)
			if code != c.code {
				assert.Empty(t, gaps, "%s %s", name, c.code)
				continue
			}
			require.Len(t, gaps, 1, "%s %s", name, c.code)
			assert.Equal(t, name, gaps[0].Subject)
			assert.Contains(t, gaps[0].Why, c.why)
			assert.Equal(t, "the supplier of m, else the assessor", gaps[0].Ask)
		}
	}
	r := job(t, "body-lotion", "30", formulatest.Sheet(t, "m", "Polysorbate 20", "100"), nil)
	require.Len(t, gapsBy(r, "absorption-poor"), 1)
	assert.Equal(t, "Polysorbate 20", gapsBy(r, "absorption-poor")[0].Subject)
	assert.Empty(t, gapsBy(r, "absorption-default"))
}

// Each later day with its own names, in the order of time: on the label from 2005-03-11
// (Directive 2003/15/EC) linalool, from 2026-08-01 (Regulation (EU) 2023/1545) linalyl
// acetate. A declaration against the list of 2003 is silent on the names of the later one.
func TestComingAllergensOfSeveralDays(t *testing.T) {
	for list, want := range map[string][]string{
		ingredients.List2023: {"2005-03-11 names Linalool", "2026-08-01 names Linalyl Acetate"},
		ingredients.List2003: {"2005-03-11 names Linalool", "2026-08-01 both Linalyl Acetate"},
	} {
		fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), list, "Linalyl Acetate", "3", "Linalool", "2",
			"Geraniol", "0.01") // 0.0001 % of the product, which is below the threshold of 0.001 %
		r := limitCase{product: "body-lotion"}.of(t, fo, "1")
		in := *r.Input
		in.Date = 20050310
		now, _ := listing.Allergens(&in, r.Compositions, in.Materials)
		var got []string
		for _, f := range allergensToCome(&in, r.Compositions, in.Materials, now) {
			day, _ := f.Values.Get("day")
			names, _ := f.Values.Get("names")
			require.Len(t, names.List, 1)
			require.Len(t, f.Sum, 1)
			assert.Equal(t, finding.Note, f.Severity)
			got = append(got, day.Date().String()+" "+f.Form+" "+names.List[0].Text)
			if f.Form == "both" {
				whom, _ := f.Values.Get("materials")
				assert.Len(t, whom.List, 1)
			}
		}
		assert.Equal(t, want, got, list)
	}
	// one name that no paper states is enough to be asked about
	r := limitCase{product: "body-lotion"}.of(t, formulatest.ScentSheet("fo"), "1")
	c := comingAllergens{row: &annex.Allergen{}, open: []string{"Linalool"}, whom: []string{"fo"}}
	f := c.finding(r.Input, 20260801)
	assert.Equal(t, "unstated", f.Form)
	open, _ := f.Values.Get("open")
	assert.Equal(t, 1, open.Count())
	c.names = []string{"Citral"}
	assert.Equal(t, "both", c.finding(r.Input, 20260801).Form)
	c.open = nil
	assert.Equal(t, "names", c.finding(r.Input, 20260801).Form)
}

// What stands in the list for substances with no name is asked about at the composition of
// its material.
func TestListThatIsIncomplete(t *testing.T) {
	hidden := formulatest.Material(t, "hidden", "", "Squalane", "40")
	hidden.Composition.Complete = false
	hidden.Composition.Pos = exact.Pos{File: "ingredients/hidden.yaml", Line: 4}
	f := findingOf(t, limitCase{product: "body-lotion"}.of(t, hidden, "20"), "list-incomplete")
	material, _ := f.Values.Get("material")
	assert.Equal(t, "hidden", material.ID)
	require.NotNil(t, f.Settle)
	assert.Equal(t, "ingredients/hidden.yaml", f.Settle.File)
	assert.Equal(t, "composition", f.Settle.Key)
}
