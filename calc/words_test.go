package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// What is asked about margins, figures by hand as in TestMarginByHand:
//
//	betaine 3 % in body lotion: SED = 123.2 × 3 % × 50 % = 1.848; MoS = 125 / 1.848 = 67.6
//	at most 3 × 67.64 / 100 = 2.029 %, printed downward
func TestMarginsInWords(t *testing.T) {
	m := sheet(t, "betaine", "Cocamidopropyl Betaine", "100")
	r := job(t, "body-lotion", "3", m, nil)
	f := findingOf(t, r, "mos-below-target")
	assert.Equal(t, ingredients.Ask, f.Severity)
	assert.Equal(t, "in the product the margin of safety is 67.6, below the target of 100", said(f).Message)
	assert.Equal(t, "let the assessor judge; at most 2.02 % of it reaches the target", said(f).Fix)
	assert.Contains(t, said(f).Why, "SED = 123.2 × 3 % × 50 % = 1.848 mg/kg bw/d; MoS = 250 × 50 % / 1.848 = 67.6")
	assert.Contains(t, said(f).Why, "; NOAEL of 250 mg/kg bw/d from ")
	require.Len(t, f.Sum, 1)
	assert.Equal(t, "3 % of betaine × 100 % in it = 3 %", termText(f.Sum[0]))
	assert.Equal(t, 11, f.Pos.Line)
	assert.NotContains(t, said(f).Why, "the value is from people")

	// a value of the maker's own sheet, its words, and where it may not stand
	own := sheet(t, "own", "Exemplum Acid", "100")
	tox(t, own, "ADI", "5", "", "")
	r = job(t, "body-lotion", "1", own, nil)
	f = findingOf(t, r, "not-a-pod")
	assert.Equal(t, ingredients.Ask, f.Severity)
	assert.Equal(t, "ADI is not a point of departure that a margin of safety can start from", said(f).Message)
	for word, refused := range map[string]bool{"NOAEL": false, "NOEL": false, "BMDL10": false, "LOAEL": false, "TDI": true, "T25": true, "guess": true} {
		own.Toxicology[0].PoDType = word
		assert.Equal(t, refused, len(findingsOf(job(t, "body-lotion", "1", own, nil), "not-a-pod")) == 1, word)
	}
	own.Toxicology[0].INCI = "Exemplum Acdi"
	f = findingOf(t, job(t, "body-lotion", "1", own, nil), "toxicology-unmatched")
	assert.Equal(t, "it is in no composition here, so the toxicological value on the sheet of own is not used", said(f).Message)
	assert.Equal(t, "did you mean Exemplum Acid? write the name as in the composition", said(f).Fix)
	assert.Equal(t, ingredients.Ask, f.Severity)

	// a sheet that replaces the NOAEL of 250 by 300, by 250 and by 200
	for pod, asked := range map[string]bool{"300": true, "250": false, "200": false} {
		m = sheet(t, "betaine", "Cocamidopropyl Betaine", "100")
		tox(t, m, "NOAEL", pod, "", "").Replaces = true
		fs := findingsOf(job(t, "body-lotion", "0.9", m, nil), "toxicology-replaced")
		assert.Equal(t, asked, len(fs) > 0, pod)
		if asked {
			assert.Equal(t, ingredients.Ask, fs[0].Severity)
			assert.Contains(t, said(fs[0]).Message, "of 250 mg/kg bw/d by a higher one, 300")
			assert.Contains(t, said(fs[0]).Why, "(tox-values.csv, row ")
		}
	}

	// per area, by hand: 5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg = 2.9773 mg/kg bw/d
	own = sheet(t, "own", "Exemplum Acid", "100")
	tox(t, own, "NOAEL", "100", "", "").DermalUgCm2 = ptr(num(t, "5"))
	r = job(t, "body-lotion", "1", own, nil)
	x := marginOf(t, r, "Exemplum Acid")
	assert.True(t, x.SED.ByArea)
	assert.InDelta(t, 2.9773, x.SED.Max, 1e-4)
	assert.InDelta(t, 2.9773, x.SED.Typical, 1e-4)
	assert.Equal(t, "5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg", x.SED.Text)
	f = findingOf(t, r, "mos-below-target") // 50 / 2.977 = 16.8
	assert.Equal(t, "let the assessor judge; the absorption in µg/cm² does not change with the content", said(f).Fix)
	assert.Contains(t, said(f).Message, "the margin of safety is 16.8, below the target of 100")
	// the higher of two sheets' figures counts
	second := sheet(t, "second", "Exemplum Acid", "100")
	tox(t, second, "NOAEL", "100", "", "").DermalUgCm2 = ptr(num(t, "4"))
	p := formula(t, Percent, "water", "q.s.", "own", "0.5", "second", "0.5")
	p.IntendedFor = Adults
	r = assessed(t, p, &Variant{}, "body-lotion", law.EU, 20261125, own, second, sheet(t, "water", "Aqua", "100"))
	assert.InDelta(t, 2.9773, marginOf(t, r, "Exemplum Acid").SED.Max, 1e-4)
	// children from three years: × 1.6 = 4.7637
	p = formula(t, Percent, "water", "q.s.", "own", "1")
	p.IntendedFor = ChildrenThree
	r = assessed(t, p, &Variant{}, "body-lotion", law.EU, 20261125, own, sheet(t, "water", "Aqua", "100"))
	x = marginOf(t, r, "Exemplum Acid")
	assert.InDelta(t, 4.7637, x.SED.Max, 1e-4)
	assert.Equal(t, "5 µg/cm² × 0.001 × 15670 cm² × 2.28 / 60 kg × 1.6", x.SED.Text)
}

// Gaps: what is missing, and who has it.
func TestGapsInWords(t *testing.T) {
	codesOfGaps := func(r *Result) map[string]int {
		n := map[string]int{}
		for _, g := range r.Gaps {
			n[g.Code]++
		}
		return n
	}
	r := job(t, "body-lotion", "1", sheet(t, "m", "Cocamidopropyl Betaine", "100"), nil)
	n := codesOfGaps(r)
	assert.Equal(t, 0, n["child-exposure"])
	assert.Equal(t, 0, n["no-skin-area"])
	require.Len(t, gapsBy(r, "absorption-default"), 1)
	assert.Contains(t, gapsBy(r, "absorption-default")[0].Subject, "Cocamidopropyl Betaine")
	assert.Equal(t, "dermal absorption measured on human skin", gapsBy(r, "absorption-default")[0].Missing)

	p := formula(t, Percent, "water", "q.s.", "m", "1")
	p.IntendedFor = ChildrenThree
	r = assessed(t, p, &Variant{}, "body-lotion", law.EU, 20261125, sheet(t, "m", "Glycerin", "100"), sheet(t, "water", "Aqua", "100"))
	assert.Equal(t, 1, codesOfGaps(r)["child-exposure"])

	// a trace without a value is a gap too
	r = job(t, "body-lotion", "1", impure(t, sheet(t, "m", "Glycerin", "100"), "Exemplum Trace", "0.1"), nil)
	var subjects []string
	for _, g := range gapsBy(r, "no-pod") {
		subjects = append(subjects, g.Subject)
	}
	assert.Contains(t, subjects, "Exemplum Trace")

	// what went to the assessor in confidence, only where all of it did
	secret := func(held bool) []Gap {
		a, b := scentSheet("fo-a"), scentSheet("fo-b")
		a.Composition.HeldByAssessor, b.Composition.HeldByAssessor = true, held
		r := assessed(t, formula(t, Percent, "base", "q.s.", "fo-a", "0.1", "fo-b", "0.1"), &Variant{}, "body-lotion", law.EU, 20261125, squalane(t), a, b)
		return append(gapsBy(r, "held-by-assessor"), gapsBy(r, "not-disclosed")...)
	}
	require.Len(t, secret(true), 1)
	assert.Equal(t, "held-by-assessor", secret(true)[0].Code)
	assert.Equal(t, "the assessor", secret(true)[0].Ask)
	require.Len(t, secret(false), 1)
	assert.Equal(t, "not-disclosed", secret(false)[0].Code)
	part := supplied(sheet(t, "m", "Glycerin", "40"), "Alder Supplies (invented)", "")
	part.Composition.Complete = false
	r = job(t, "body-lotion", "1", part, nil)
	require.Len(t, gapsBy(r, "undeclared"), 1)
	assert.Equal(t, "Alder Supplies (invented)", gapsBy(r, "undeclared")[0].Ask)
	part.Composition.HeldByAssessor = true
	r = job(t, "body-lotion", "1", part, nil)
	assert.Empty(t, gapsBy(r, "undeclared"))
	require.Len(t, gapsBy(r, "held-by-assessor"), 1)

	g := gapList{in: &Input{Session: testSession(law.Builtin()), Sheets: map[string]*ingredients.Sheet{"a": supplied(scentSheet("a"), "Alder", ""), "b": scentSheet("b")}}}
	assert.Equal(t, "Alder, the supplier of b, the supplier of c", g.suppliersOf([]Contribution{{Ingredient: "a"}, {Ingredient: "b"}, {Ingredient: "a"}, {Ingredient: "c"}}))
	_, held := g.heldByAssessor(nil)
	assert.False(t, held)
	assert.Equal(t, []string{"1 row", "0 rows", "2 rows"}, []string{countOf(1, "row"), countOf(0, "row"), countOf(2, "row")})
	assert.Equal(t, "a; b (partly)", rowNames([]MemoryFigure{{Row: "a", Seen: "memory"}, {Row: "b", Seen: "partly"}}))
	groups := byTable([]MemoryFigure{{Table: "x", Row: "1"}, {Table: "x", Row: "2"}, {Table: "y", Row: "1"}})
	require.Len(t, groups, 2)
	assert.Len(t, groups[0], 2)
}

// Standards that share a number are told apart by the words of the name.
func TestPreparationNamed(t *testing.T) {
	both := []string{"Exemplum oil (expressed)", "Exemplum absolute"}
	assert.Equal(t, both[:1], preparationNamed(law.Builtin(), both, "Exemplum Flower Oil"))
	assert.Equal(t, both[1:], preparationNamed(law.Builtin(), both, "Exemplum Absolute"))
	assert.Equal(t, both, preparationNamed(law.Builtin(), both, "Exemplum Flower"))
	assert.Equal(t, both[:1], preparationNamed(law.Builtin(), both[:1], "Exemplum Absolute"))
	assert.Equal(t, []string{"Exemplum oils"}, preparationNamed(law.Builtin(), []string{"Exemplum oils", "Exemplum absolute"}, "Exemplum Oil"))
	assert.Empty(t, preparationNamed(law.Builtin(), nil, "Exemplum"))
}

func TestStandardsInWords(t *testing.T) {
	run := &limitRun{in: &Input{Session: testSession(law.Builtin()), Product: &Product{ID: "test", Pos: ingredients.Pos{Line: 1}}}}
	row := &law.FragranceStandard{Row: law.Row{Key: "k", File: "ifra-standards.csv", Source: "Standard", Seen: "seen"}}
	k := Contribution{Ingredient: "fo", UsePct: num(t, "2"), Given: "50", Pct: rangeOf(t, "1"), LinePos: ingredients.Pos{Line: 7}}
	base := StandardCheck{Standard: "X", Substances: []string{"A", "B"}, Content: rangeOf(t, "1"), Row: row, Reason: "more than 0.3 % in category 5A", Verdict: StandardExceeded, Contributions: []Contribution{k},
		LimitPct: ptr(num(t, "0.3")), Ratio: ptr(num(t, "1").Quo(num(t, "0.3")))}
	f := run.standardFinding(base)
	assert.Equal(t, []string{"stop standard-over"}, codes([]ingredients.Finding{f}))
	assert.Equal(t, "it is not in line with the Standard on X: 1 % of the product is disclosed, above 0.3 % in category {category}", said(f).Message)
	assert.Equal(t, "reduce what brings it in to 30 % of its amount, or show the assessor a certificate that covers it", said(f).Fix) // 0.3 / 1
	assert.Equal(t, "A + B", f.Subject)
	assert.Equal(t, 7, f.Pos.Line)
	assert.Equal(t, "", said(f).Ask)
	assert.Equal(t, "fragrance Standards are self-regulation that the assessor relies on; limits set by law are checked separately; Standard (ifra-standards.csv, row k)", said(f).Why)
	assert.Len(t, f.Sum, 1)

	open := base
	open.Verdict = StandardOpen
	f = run.standardFinding(open)
	assert.Equal(t, []string{"ask standard-over"}, codes([]ingredients.Finding{f}))
	assert.Equal(t, "it may not be in line with the Standard on X: 1 % of the product is disclosed, and the range reaches above 0.3 % in category {category}", said(f).Message)
	assert.Equal(t, "the assessor", said(f).Ask)
	soft := base
	soft.soft, soft.Contributions = true, nil
	f = run.standardFinding(soft)
	assert.Equal(t, ingredients.Ask, f.Severity)
	assert.Equal(t, 1, f.Pos.Line)

	ban := base
	ban.Verdict, ban.LimitPct, ban.Ratio = StandardProhibited, nil, nil
	ban.Row = &law.FragranceStandard{Row: law.Row{Key: "k", File: "ifra-standards.csv", Source: "Standard", Seen: "memory"}}
	f = run.standardFinding(ban)
	assert.Equal(t, []string{"stop standard-prohibited"}, codes([]ingredients.Finding{f}))
	assert.Equal(t, "choose a fragrance without it, or show the assessor a certificate that covers it", said(f).Fix)
	assert.Contains(t, said(f).Why, "; not yet checked against its source")

	sum := base
	sum.Row, sum.LimitPct, sum.Ratio, sum.Reason, sum.WorstIn = nil, nil, ptr(num(t, "1.6")), "use ÷ limit adds up to 1.6, more than 1", "moss"
	f = run.standardFinding(sum)
	assert.Equal(t, []string{"stop phototoxic-sum"}, codes([]ingredients.Finding{f}))
	assert.Equal(t, "together they are not in line with the Standards on phototoxic oils: use ÷ limit adds up to 1.6 in portion moss, which is more than 1", said(f).Message)
	assert.Equal(t, "reduce them together to 62.5 % of their amounts, or show the assessor a certificate that covers them", said(f).Fix) // 100 / 1.6

	none := base
	none.Content, none.Ratio, none.LimitPct = ingredients.Range{}, nil, nil
	assert.Equal(t, "reduce what brings it in to {share} of its amount, or show the assessor a certificate that covers it", said(run.standardFinding(none)).Fix)

	run.in.Type = &law.ProductType{FragranceCategory: "5A"}
	blank := base
	blank.Verdict = StandardNoFigure
	kept := base
	kept.Verdict = StandardKept
	fs := run.standardFindings([]StandardCheck{blank, kept, base})
	assert.Equal(t, []string{"stop standard-over", "note standard-no-figure"}, codes(fs))
	assert.Equal(t, []string{"X"}, said(fs[1]).Items)
	assert.Equal(t, []string{"stop standard-over"}, codes(run.standardFindings([]StandardCheck{kept, base})))
}

// The highest content in the whole or a portion; the whole where none has more. And
// findings: the gravest first, then by place, code and words, none twice.
func TestResults(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2003, "Linalool", "1")
	v := &Variant{Portions: []Portion{{Name: "one", SharePct: num(t, "30"), Fill: []Fill{fill("scent", "fo")}}, {Name: "two", SharePct: num(t, "70"), Fill: []Fill{fill("scent", "fo")}}}}
	p := formula(t, Percent, "base", "q.s.", ":scent", "1")
	r := assessed(t, p, v, "body-butter", law.GB, 20261125, squalane(t), fo)
	_, where := r.Worst(r.Whole().Find("Linalool"))
	assert.Equal(t, "", where)
	v.Portions[1].Fill = nil
	r = assessed(t, p, v, "body-butter", law.GB, 20261125, squalane(t), fo)
	worst, where := r.Worst(r.Whole().Find("Linalool"))
	assert.Equal(t, "one 0.01", where+" "+worst.Max.Exact())

	at := func(s ingredients.Severity, line int, code, message string) ingredients.Finding {
		return ingredients.Finding{Severity: s, Pos: ingredients.Pos{File: "f", Line: line}, Code: code, Values: with().Name("m", message)}
	}
	in := []ingredients.Finding{at(ingredients.Note, 1, "a", "m"), at(ingredients.Stop, 9, "b", "m"), at(ingredients.Stop, 9, "a", "n"), at(ingredients.Ask, 3, "a", "m"),
		at(ingredients.Stop, 9, "a", "m"), at(ingredients.Stop, 2, "z", "m"), at(ingredients.Stop, 9, "a", "m"), at(ingredients.Stop, 9, "b", "m")}
	var got []string
	for _, f := range Unique(in) {
		got = append(got, f.Severity.String()+" "+itoa(f.Pos.Line)+f.Code+f.Values[0].Text)
	}
	assert.Equal(t, []string{"stop 2zm", "stop 9am", "stop 9an", "stop 9bm", "ask 3am", "note 1am"}, got)
	assert.Equal(t, "note", in[0].Severity.String(), "the list given stays in its order")
}

// Who is asked about a lye that may be too much: those whose range leaves most open.
func TestWidestFats(t *testing.T) {
	use := func(id, low, high string) *FatUse {
		return &FatUse{Ingredient: id, TakesKOH: ingredients.Range{Min: num(t, low), Max: num(t, high)}}
	}
	assert.Equal(t, []string{"b"}, (&Reaction{Fats: []*FatUse{use("a", "1", "2"), use("b", "1", "3"), use("c", "1", "2")}}).widest())
	assert.Equal(t, []string{"a", "b"}, (&Reaction{Fats: []*FatUse{use("a", "1", "2"), use("b", "2", "3"), use("a", "4", "5")}}).widest())
	row := func(key, seen string) *law.Fat { return &law.Fat{Row: law.Row{Key: key, Seen: seen}} }
	r := &Reaction{Fats: []*FatUse{{Rows: []*law.Fat{row("a", "memory"), row("b", "seen")}}, {Rows: []*law.Fat{row("b", "seen")}}, {Own: true, Rows: []*law.Fat{row("c", "memory")}}, {Own: true}}}
	var sources []string
	for _, x := range r.sources() {
		sources = append(sources, words.Term(x.Text, x.List, words.Terminal))
	}
	assert.Equal(t, []string{"saponification.csv row a (not yet checked against its source)", "saponification.csv row b", "your own values under saponify"}, sources)
	assert.True(t, r.FromMemory())
	r.Fats = r.Fats[1:]
	assert.False(t, r.FromMemory(), "the maker's own value replaces the table's")
	for name, want := range map[string]bool{"Exemplum Seed Oil": true, "Exemplum Butter": true, "Beeswax": true, "Stearic Acid": true, "Cera Alba": true, "Lard": true, "Tallow": true, "Adeps Suillus": true,
		"Caprylic Triglyceride": true, "Tocopherol": false, "Kaolin": false} {
		assert.Equal(t, want, law.Builtin().Words(law.WordsSoapFat).In(name), name)
	}
	asked := func(inci string, change func(*ingredients.Sheet)) int {
		odd := sheet(t, "odd", inci, "100")
		change(odd)
		p := soapProduct(t, "NaOH", "olive", "1000", "odd", "50", "naoh", "110", "water", "300")
		r := assessed(t, p, &Variant{}, "bar-soap", law.GB, 20261125, append(soapSheets(t, "olive", "Olea Europaea Fruit Oil"), odd)...)
		return len(findingsOf(r, "fat-unknown"))
	}
	as := func(*ingredients.Sheet) {}
	for name, want := range map[string]int{"Exemplum Seed Oil": 1, "Exemplum Butter": 1, "Exemplum Cera": 1, "Exemplum Wax": 1, "Exemplum Oil Powder": 0, "Kaolin": 0} {
		assert.Equal(t, want, asked(name, as), name)
	}
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { s.Functions = []string{"perfuming"} }))
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { certified(t, s, "9", "1") }))
	assert.Equal(t, 0, asked("Exemplum Seed Oil", func(s *ingredients.Sheet) { s.LabelAs = ingredients.LabelParfum }))

	// only wax: what it takes may be nothing, so that only the middle has an excess. By
	// hand: 100 g beeswax (89 to 103, middle 96) take 9.6 g KOH; 4.8 g leave half of it
	p := soapProduct(t, "KOH", "wax", "100", "koh", "4.8", "water", "95.2")
	r2 := assessed(t, p, &Variant{}, "bar-soap", law.GB, 20261125, soapSheets(t, "wax", "Cera Alba")...)
	assert.Equal(t, [3]string{"50", "50", "50"}, exactRange(r2.Reactions[0].ExcessFatPct))
	assert.Equal(t, "0", r2.Reactions[0].TakesKOH.Min.Exact())
}
