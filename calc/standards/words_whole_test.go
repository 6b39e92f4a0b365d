package standards_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/calc/soap"
	"gallipot/dossier/words"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// What is asked about margins, figures by hand as in TestMarginByHand:
//
//	betaine 3 % in body lotion: SED = 123.2 × 3 % × 50 % = 1.848; MoS = 125 / 1.848 = 67.6
//	at most 3 × 67.64 / 100 = 2.029 %, printed downward
func TestMarginsInWords(t *testing.T) {
	m := formulatest.Sheet(t, "betaine", "Cocamidopropyl Betaine", "100")
	r := calctest.Job(t, "body-lotion", "3", m, nil)
	f := calctest.Finding(t, r, "mos-below-target")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "in the product the margin of safety is 67.6, below the target of 100", wordstest.Said(f).Message)
	assert.Equal(t, "let the assessor judge; at most 2.02 % of it reaches the target", wordstest.Said(f).Fix)
	assert.Contains(t, wordstest.Said(f).Why,
		"SED = 123.2 × 3 % × 50 % = 1.848 mg/kg bw/d; MoS = 250 × 50 % / 1.848 = 67.6")
	assert.Contains(t, wordstest.Said(f).Why, "; NOAEL of 250 mg/kg bw/d from ")
	require.Len(t, f.Sum, 1)
	assert.Equal(t, "3 % of betaine × 100 % in it = 3 %", wordstest.Term(f.Sum[0]))
	assert.Equal(t, 11, f.Pos.Line)
	assert.NotContains(t, wordstest.Said(f).Why, "the value is from people")

	// a value of the maker's own sheet, its words, and where it may not stand
	own := formulatest.Sheet(t, "own", "Exemplum Acid", "100")
	formulatest.Tox(t, own, "ADI", "5", "", "")
	r = calctest.Job(t, "body-lotion", "1", own, nil)
	f = calctest.Finding(t, r, "not-a-pod")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "ADI is not a point of departure that a margin of safety can start from", wordstest.Said(f).Message)
	for word, refused := range map[string]bool{"NOAEL": false, "NOEL": false, "BMDL10": false, "LOAEL": false,
		"TDI": true, "T25": true, "guess": true} {
		own.Toxicology[0].PoDType = word
		assert.Equal(t, refused, len(calctest.Findings(calctest.Job(t, "body-lotion", "1", own, nil),
			"not-a-pod")) == 1, word)
	}
	own.Toxicology[0].INCI = "Exemplum Acdi"
	f = calctest.Finding(t, calctest.Job(t, "body-lotion", "1", own, nil), "toxicology-unmatched")
	assert.Equal(t, "it is in no composition here, so the toxicological value on the sheet of own is not used",
		wordstest.Said(f).Message)
	assert.Equal(t, "did you mean Exemplum Acid? write the name as in the composition", wordstest.Said(f).Fix)
	assert.Equal(t, finding.Ask, f.Severity)

	// a sheet that replaces the NOAEL of 250 by 300, by 250 and by 200
	for pod, asked := range map[string]bool{"300": true, "250": false, "200": false} {
		m = formulatest.Sheet(t, "betaine", "Cocamidopropyl Betaine", "100")
		formulatest.Tox(t, m, "NOAEL", pod, "", "").Replaces = true
		fs := calctest.Findings(calctest.Job(t, "body-lotion", "0.9", m, nil), "toxicology-replaced")
		assert.Equal(t, asked, len(fs) > 0, pod)
		if asked {
			assert.Equal(t, finding.Ask, fs[0].Severity)
			assert.Contains(t, wordstest.Said(fs[0]).Message, "of 250 mg/kg bw/d by a higher one, 300")
			assert.Contains(t, wordstest.Said(fs[0]).Why, "(tox-values.csv, row ")
		}
	}

	// per area, by hand: 5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg = 2.9773 mg/kg bw/d
	own = formulatest.Sheet(t, "own", "Exemplum Acid", "100")
	formulatest.Tox(t, own, "NOAEL", "100", "", "").DermalUgCm2 = formulatest.Ptr(formulatest.Num(t, "5"))
	r = calctest.Job(t, "body-lotion", "1", own, nil)
	x := calctest.Margin(t, r, "Exemplum Acid")
	assert.True(t, x.SED.ByArea)
	assert.InDelta(t, 2.9773, x.SED.Max, 1e-4)
	assert.InDelta(t, 2.9773, x.SED.Typical, 1e-4)
	assert.Equal(t, "5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg", x.SED.Text())
	f = calctest.Finding(t, r, "mos-below-target") // 50 / 2.977 = 16.8
	assert.Equal(t, "let the assessor judge; the absorption in µg/cm² does not change with the content",
		wordstest.Said(f).Fix)
	assert.Contains(t, wordstest.Said(f).Message, "the margin of safety is 16.8, below the target of 100")
	// the higher of two sheets' figures counts
	second := formulatest.Sheet(t, "second", "Exemplum Acid", "100")
	formulatest.Tox(t, second, "NOAEL", "100", "", "").DermalUgCm2 = formulatest.Ptr(formulatest.Num(t, "4"))
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "own", "0.5", "second", "0.5")
	p.IntendedFor = formula.Adults
	r = calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125, own, second,
		formulatest.Sheet(t, "water", "Aqua", "100"))
	assert.InDelta(t, 2.9773, calctest.Margin(t, r, "Exemplum Acid").SED.Max, 1e-4)
	// children from three years: × 1.6 = 4.7637
	p = formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "own", "1")
	p.IntendedFor = formula.ChildrenThree
	r = calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125, own,
		formulatest.Sheet(t, "water", "Aqua", "100"))
	x = calctest.Margin(t, r, "Exemplum Acid")
	assert.InDelta(t, 4.7637, x.SED.Max, 1e-4)
	assert.Equal(t, "5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg × 1.6", x.SED.Text())
}

// The highest content in the whole or a portion; the whole where none has more. And
// findings: the gravest first, then by place, code and words, none twice.
func TestResults(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "1")
	v := &formula.Variant{Portions: []formula.Portion{{Name: "one", SharePct: formulatest.Num(t, "30"),
		Fill: []formula.Fill{formulatest.Fill("scent", "fo")}},
		{Name: "two", SharePct: formulatest.Num(t, "70"), Fill: []formula.Fill{formulatest.Fill("scent", "fo")}}}}
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":scent", "1")
	r := calctest.Assess(t, p, v, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo)
	_, where := r.Worst(r.Whole().Find("Linalool"))
	assert.Equal(t, "", where)
	v.Portions[1].Fill = nil
	r = calctest.Assess(t, p, v, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo)
	worst, where := r.Worst(r.Whole().Find("Linalool"))
	assert.Equal(t, "one 0.01", where+" "+worst.Max.Exact())

	at := func(s finding.Severity, line int, code, message string) finding.Finding {
		return finding.Finding{Severity: s, Pos: exact.Pos{File: "f", Line: line}, Code: code,
			Values: formula.With().Name("m", message)}
	}
	in := []finding.Finding{at(finding.Note, 1, "a", "m"), at(finding.Stop, 9, "b", "m"),
		at(finding.Stop, 9, "a", "n"), at(finding.Ask, 3, "a", "m"),
		at(finding.Stop, 9, "a", "m"), at(finding.Stop, 2, "z", "m"), at(finding.Stop, 9, "a", "m"),
		at(finding.Stop, 9, "b", "m")}
	var got []string
	for _, f := range calc.Unique(in) {
		got = append(got, f.Severity.String()+" "+formula.Itoa(f.Pos.Line)+f.Code+f.Values[0].Text)
	}
	assert.Equal(t, []string{"stop 2zm", "stop 9am", "stop 9an", "stop 9bm", "ask 3am", "note 1am"}, got)
	assert.Equal(t, "note", in[0].Severity.String(), "the list given stays in its order")
}

// Who is asked about a lye that may be too much: those whose range leaves most open.
func TestWidestFats(t *testing.T) {
	use := func(id, low, high string) *soap.FatUse {
		return &soap.FatUse{Ingredient: id,
			TakesKOH: exact.Range{Min: formulatest.Num(t, low), Max: formulatest.Num(t, high)}}
	}
	assert.Equal(t, []string{"b"},
		(&soap.Reaction{Fats: []*soap.FatUse{use("a", "1", "2"), use("b", "1", "3"), use("c", "1", "2")}}).Widest())
	assert.Equal(t, []string{"a", "b"},
		(&soap.Reaction{Fats: []*soap.FatUse{use("a", "1", "2"), use("b", "2", "3"), use("a", "4", "5")}}).Widest())
	row := func(key, seen string) *trade.Fat { return &trade.Fat{Row: rows.Row{Key: key, Seen: seen}} }
	r := &soap.Reaction{Fats: []*soap.FatUse{{Rows: []*trade.Fat{row("a", "memory"), row("b", "seen")}},
		{Rows: []*trade.Fat{row("b", "seen")}}, {Own: true, Rows: []*trade.Fat{row("c", "memory")}}, {Own: true}}}
	var sources []string
	for _, x := range r.Sources() {
		sources = append(sources, words.Term(x.Text, x.List, words.Terminal))
	}
	assert.Equal(t, []string{"saponification.csv row a (not yet checked against its source)",
		"saponification.csv row b", "your own values under saponify"}, sources)
	assert.True(t, r.FromMemory())
	r.Fats = r.Fats[1:]
	assert.False(t, r.FromMemory(), "the maker's own value replaces the table's")
	for name, want := range map[string]bool{"Exemplum Seed Oil": true, "Exemplum Butter": true, "Beeswax": true,
		"Stearic Acid": true, "Cera Alba": true, "Lard": true, "Tallow": true, "Adeps Suillus": true,
		"Caprylic Triglyceride": true, "Tocopherol": false, "Kaolin": false} {
		assert.Equal(t, want, table.Builtin().Words(rows.WordsSoapFat).In(name), name)
	}
	asked := func(inci string, change func(*ingredients.Sheet)) int {
		odd := formulatest.Sheet(t, "odd", inci, "100")
		change(odd)
		p := formulatest.SoapProduct(t, "NaOH", "olive", "1000", "odd", "50", "naoh", "110", "water", "300")
		r := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
			append(formulatest.SoapSheets(t, "olive", "Olea Europaea Fruit Oil"), odd)...)
		return len(calctest.Findings(r, "fat-unknown"))
	}
	as := func(*ingredients.Sheet) {}
	for name, want := range map[string]int{"Exemplum Seed Oil": 1, "Exemplum Butter": 1, "Exemplum Cera": 1,
		"Exemplum Wax": 1, "Exemplum Oil Powder": 0, "Kaolin": 0} {
		assert.Equal(t, want, asked(name, as), name)
	}
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { s.Functions = []string{"perfuming"} }))
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { formulatest.Certified(t, s, "9", "1") }))
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { s.LabelAs = ingredients.LabelParfum }))

	// only wax: what it takes may be nothing, so that only the middle has an excess. By
	// hand: 100 g beeswax (89 to 103, middle 96) take 9.6 g KOH; 4.8 g leave half of it
	p := formulatest.SoapProduct(t, "KOH", "wax", "100", "koh", "4.8", "water", "95.2")
	r2 := calctest.Assess(t, p, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		formulatest.SoapSheets(t, "wax", "Cera Alba")...)
	assert.Equal(t, [3]string{"50", "50", "50"}, formulatest.ExactRange(r2.Reactions[0].ExcessFatPct))
	assert.Equal(t, "0", r2.Reactions[0].TakesKOH.Min.Exact())
}
