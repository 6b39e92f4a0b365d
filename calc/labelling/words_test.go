package labelling

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func TestPlainWords(t *testing.T) {
	assert.Equal(t, "avoid contact with eyes", plainWords("  Avoid contact, with: EYES!"))
	assert.Equal(t, "az 09 é", plainWords("AZ{09}é"))
	assert.Equal(t, "a z 0 9", plainWords("`a`z/0:9~\x7f"))
	assert.Equal(t, "", plainWords(" - "))
	assert.Equal(t, "1 place", places(1))
	assert.Equal(t, "2 places", places(2))
	assert.Equal(t, "0 places", places(0))
	assert.Equal(t, "b", joinRemarks("", "b"))
	assert.Equal(t, "a; b", joinRemarks("a", "b"))
}

// The list that names the most is printed, if the others say nothing beyond it.
func TestCommonList(t *testing.T) {
	list := func(names ...string) *calc.Result {
		l := &listing.List{}
		for _, n := range names {
			e := listing.ListEntry{Name: n}
			if n == "Linalool" || n == "Limonene" {
				e.Kind = listing.EntryAllergen
			}
			l.Entries = append(l.Entries, e)
		}
		return &calc.Result{List: l}
	}
	for _, c := range []struct {
		results []*calc.Result
		want    string
		fits    bool
	}{
		{[]*calc.Result{list("Aqua", "Parfum")}, "Aqua, Parfum", true},
		{[]*calc.Result{list("Aqua", "Parfum"), list("Aqua", "Parfum", "Linalool")}, "Aqua, Parfum, Linalool", true},
		{[]*calc.Result{list("Aqua", "Parfum", "Linalool"), list("Aqua", "Parfum")}, "Aqua, Parfum, Linalool", true},
		{[]*calc.Result{list("Aqua", "Parfum", "Linalool"), list("Aqua", "Parfum", "Limonene")},
			"Aqua, Parfum, Linalool", false},
		{[]*calc.Result{list("Aqua", "Parfum"), list("Parfum", "Aqua", "Linalool")}, "Parfum, Aqua, Linalool", false},
	} {
		best, fits := commonList(c.results)
		assert.Equal(t, c.want, best.Line())
		assert.Equal(t, c.fits, fits, c.want)
	}
	assert.Equal(t, []string{"Aqua", "Parfum"}, withoutAllergens(list("Aqua", "Parfum", "Linalool").List))
}

// What a label says beside its list. Regulation (EC) 1223/2009, article 19.
func TestItemsOfALabel(t *testing.T) {
	l := labelled(t, LabelFacts{}, nil)
	assert.Equal(t, "Tide", itemOf(t, l, ItemName).Text)
	assert.Equal(t, labelNotNeeded, itemOf(t, l, ItemPrecaution).State)
	assert.Empty(t, l.All(ItemDirections))
	assert.Empty(t, l.All(ItemStorage))
	i := itemOf(t, l, ItemIngredients)
	assert.Equal(t, "Aqua", i.Text)
	assert.Equal(t, LabelGiven, i.State)
	assert.Equal(t, "", i.Remark)
	assert.Empty(t, codesOf(l, "label-list"))

	facts := LabelFacts{Directions: LabelWords{Text: "Use a little."}, Storage: LabelWords{Text: "Keep cool."},
		Warnings: []LabelWords{{Text: "Avoid contact with eyes."}, {Text: "For external use."}}}
	l = labelled(t, facts, nil)
	assert.Equal(t, "Use a little.", itemOf(t, l, ItemDirections).Text)
	assert.Equal(t, "Directions", itemOf(t, l, ItemDirections).Lead)
	assert.Equal(t, "Keep cool.", itemOf(t, l, ItemStorage).Text)
	require.Len(t, l.All(ItemPrecaution), 2)
	assert.Equal(t, LabelGiven, l.All(ItemPrecaution)[1].State)
	assert.Equal(t, "For external use.", l.All(ItemPrecaution)[1].Text)

	// a part without a name, and lists that differ
	open := formulatest.Material(t, "blend", "", "Glycerin", "40")
	open.Composition.Complete = false
	var results []*calc.Result
	for _, m := range []rows.Market{rows.EU, rows.GB} {
		results = append(results, calctest.Case{Product: "body-lotion", Market: m}.Of(t, open, "10"))
	}
	l = MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}}, results...)
	assert.Equal(t, LabelMissing, itemOf(t, l, ItemIngredients).State)
	require.Equal(t, []string{"ask label-list-incomplete"}, codesOf(l, "label-list"))
	for _, f := range l.Findings {
		if f.Code == "label-list-incomplete" {
			assert.Contains(t, wordstest.Said(f).Message, "the ingredient list cannot be printed: ")
			assert.Contains(t, wordstest.Said(f).Message, " has no name")
			assert.Equal(t, "test", f.Subject)
			assert.Contains(t, wordstest.Said(f).Why, "label-rules.csv, row L08")
		}
	}
	other := calctest.Case{Product: "body-lotion", Market: rows.GB}.Of(t,
		formulatest.Material(t, "glycerin", "", "Glycerin", "100"), "10")
	l = MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}},
		calctest.Case{Product: "body-lotion", Market: rows.EU}.Of(t), other)
	i = itemOf(t, l, ItemIngredients)
	assert.Equal(t, LabelMissing, i.State)
	assert.Contains(t, i.Remark, "differ in more than the allergens they name: print a label for each market")

	// an order that the papers leave open
	a, b := formulatest.Material(t, "a", "", "Glycerin", "40-60", "Betaine", "40-60"),
		formulatest.Material(t, "b", "", "Xanthan Gum", "100")
	r := calctest.Case{Product: "body-lotion", Market: rows.GB}.Of(t, a, "10", b, "5")
	l = MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}}, r)
	if n := len(r.List.Open); assert.Positive(t, n) {
		assert.Equal(t, "not settled by the papers: "+places(n)+" of the order", itemOf(t, l, ItemIngredients).Remark)
	}
}

// A wording that the limit tables ask for, printed once; the maker's own sentence that
// holds it answers. Annex III entry 12, hydrogen peroxide in hair products: gloves and eyes.
func TestWordingIsPrintedOnce(t *testing.T) {
	peroxide := formulatest.Material(t, "peroxide", "oxidising", "Hydrogen Peroxide", "100")
	r := calctest.Case{Product: "hair-mask", Market: rows.EU}.Of(t, peroxide, "3")
	texts := limits.LabelTexts(r.Limits)
	require.NotEmpty(t, texts)
	l := MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}}, r)
	said := l.All(ItemPrecaution)
	require.NotEmpty(t, said)
	for i, x := range said {
		assert.Equal(t, LabelGiven, x.State)
		require.NotNil(t, x.Row)
		if texts[i].Certain {
			assert.Equal(t, "", x.Remark)
		} else {
			assert.Equal(t, "due only if the rule applies: printed as the cautious choice", x.Remark)
		}
	}
	again := MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"},
		Warnings: []LabelWords{{Text: "Please: " + texts[0].Text}}}, r, r)
	assert.Len(t, again.All(ItemPrecaution), len(said))
	assert.Nil(t, again.All(ItemPrecaution)[0].Row)
	assert.Equal(t, calc.Unique(again.Findings), again.Findings, "what both say is asked once")
}

// One month is a durability and a period: the date alone is asked for, with the jar
// where both are stated (L30 to L34).
func TestDurabilityOfOneMonth(t *testing.T) {
	of := func(best, pao int, none string) *Label {
		return labelled(t, LabelFacts{BestBeforeMonths: best, PAOMonths: pao, NoPAO: LabelWords{Text: none}}, nil)
	}
	assert.Equal(t, []string{"note label-both-dates"}, codesOf(of(1, 1, ""), "both-dates"))
	assert.Equal(t, []string{"ask label-durability-basis"}, codesOf(of(0, 1, ""), "durability-basis"))
	assert.Empty(t, codesOf(of(1, 0, ""), "durability"))
	assert.Equal(t, labelNotNeeded, itemOf(t, of(31, 0, "never opened"), ItemPAO).State)
}

// A wording that may be due is printed with that remark: salicylic acid as a
// preservative (V/3), by who might use it. A label for markets whose lists differ names them.
func TestLabelRemarks(t *testing.T) {
	r := calctest.Case{Product: "face-cream"}.Of(t, formulatest.Pure(t, "preservative", "Salicylic Acid"), "0.3")
	l := MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}}, r)
	items := l.All(ItemPrecaution)
	require.Len(t, items, 1)
	assert.Equal(t, "due only if the rule applies: printed as the cautious choice", items[0].Remark)
	glycerin := calctest.Case{Product: "body-lotion", Market: rows.GB}.Of(t,
		formulatest.Material(t, "glycerin", "", "Glycerin", "100"), "10")
	l = MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}},
		calctest.Case{Product: "body-lotion", Market: rows.EU}.Of(t), glycerin)
	assert.Contains(t, itemOf(t, l, ItemIngredients).Remark, "the lists for EU and GB differ")
}

// Days of the months of 2026, and Februaries of later years.
func TestLastDayOfAMonth(t *testing.T) {
	for i, want := range []int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} { // 2026
		assert.Equal(t, want, lastDay(2026*12+i))
	}
	assert.Equal(t, 29, lastDay(2028*12+1))
	assert.Equal(t, 29, lastDay(2032*12+1))
	assert.Equal(t, 28, lastDay(2100*12+1), "no leap year")
}

// An oil of the list of Regulation (EU) 2023/1545 stands under both its names, and
// the label says so; the list of Great Britain has no entry for it. At 1 % it is
// above the threshold of 0.001 %.
func TestLabelOfAnOilWithTwoNames(t *testing.T) {
	oil := formulatest.Declared(t,
		formulatest.Material(t, "lavender", "fragrance", "Lavandula Angustifolia Oil", "100"), ingredients.List2023,
		"Linalool", "30")
	remark := func(m rows.Market) string {
		l := MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}},
			calctest.Case{Product: "body-lotion", Market: m}.Of(t, oil, "1"))
		return itemOf(t, l, ItemIngredients).Remark
	}
	assert.Equal(t, "Lavandula Angustifolia Oil stands under the name of the material and under that of its allergen entry: whether one of the two would do is not settled in the texts read, ask the assessor", remark(rows.EU))
	assert.Empty(t, remark(rows.GB))
}

func TestUseAndDirections(t *testing.T) {
	says := func(productType, directions string) []string {
		r := calctest.Case{Product: productType}.Of(t)
		return codesOf(MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"},
			Directions: LabelWords{Text: directions}}, r), "label-use")
	}
	assert.Equal(t, []string{"ask label-use-contradicts"}, says("body-lotion", "Work into a lather, then rinse off."))
	assert.Equal(t, []string{"ask label-use-contradicts"},
		says("shower-gel", "Massage in until absorbed; leave on overnight."))
	assert.Empty(t, says("body-lotion", "Massage in. Do not rinse off."))
	assert.Empty(t, says("shower-gel", "Lather and rinse well."))
	assert.Empty(t, says("shower-gel", ""))
}

// found is the finding of a label with a code.
func found(t testing.TB, l *Label, code string) finding.Finding {
	t.Helper()
	for _, f := range l.Findings {
		if f.Code == code {
			return f
		}
	}
	require.Fail(t, "no "+code)
	return finding.Finding{}
}

// What the list of a label leaves open is asked about at the place where it can be settled.
func TestListThatIsOpen(t *testing.T) {
	part := formulatest.Sheet(t, "blend", "Glycerin", "40")
	part.Composition.Complete, part.Composition.Pos.File = false, "ingredients/blend.yaml"
	oil, fo := formulatest.Material(t, "lavender", "skin conditioning", "Lavandula Angustifolia Oil", "100"),
		formulatest.ScentSheet("fo")
	fo.Composition = ingredients.Composition{Complete: true, Constituents: formulatest.Sheet(t, "x",
		"Lavandula Angustifolia Oil", "60", "Linalool", "40").Composition.Constituents}
	facts := &LabelFacts{Name: LabelWords{Text: "Tide"}}
	label := func(parts ...any) *Label {
		return MakeLabel(facts, calctest.Case{Product: "body-lotion"}.Of(t, parts...))
	}

	l := label(part, "5")
	f := found(t, l, "label-list-incomplete")
	require.NotNil(t, f.Settle)
	assert.Equal(t, []string{"ingredients/blend.yaml", "composition"}, []string{f.Settle.File, f.Settle.Key})
	assert.Equal(t, LabelMissing, itemOf(t, l, ItemIngredients).State)
	law, ok := f.Values.Get("law")
	require.True(t, ok)
	assert.Len(t, law.List, 1)

	unknown := formulatest.Sheet(t, "x", "Exemplum Borealis Quintessence", "100")
	l = label(unknown, "5")
	assert.Equal(t, "names not settled: Exemplum Borealis Quintessence", itemOf(t, l, ItemIngredients).Remark)
	assert.Equal(t, []string{"ask label-names-open"}, codesOf(l, "names-open"))
	names, _ := found(t, l, "label-names-open").Values.Get("names")
	require.Len(t, names.List, 1)

	// an oil under its own name and inside Parfum too
	l = label(oil, "1", fo, "1")
	assert.Equal(t, []string{"ask oil-two-names"}, codesOf(l, "oil-two"))
	oils, _ := found(t, l, "oil-two-names").Values.Get("oils")
	require.Len(t, oils.List, 1)
	assert.Equal(t, "Lavandula Angustifolia Oil", oils.List[0].Text)
	assert.Empty(t, codesOf(label(oil, "1"), "oil-two-names"))
	assert.Empty(t, codesOf(label(fo, "1"), "oil-two-names"))
	pure := formulatest.Material(t, "linalool", "skin conditioning", "Linalool", "100")
	assert.Empty(t, codesOf(label(pure, "1", fo, "1"), "oil-two-names"), "linalool is no oil of a plant")
	assert.Empty(t, codesOf(label(part, "5"), "label-names-open"))
}

// A claim of the product may contradict its type as much as the directions do; the first of
// the texts is told, at its own place or at that of the label.
func TestUseThatAClaimContradicts(t *testing.T) {
	at := exact.Pos{File: "products/tide.yaml", Line: 9, Col: 3}
	claimed := func(p *formula.Product) { p.Claims = []formula.Claim{{Text: "Lather, then rinse off", Pos: at}} }
	facts := &LabelFacts{Name: LabelWords{Text: "Tide"}, Pos: exact.Pos{File: "products/tide.yaml", Line: 40}}
	f := found(t, MakeLabel(facts, calctest.Case{Product: "body-lotion", Change: claimed}.Of(t)),
		"label-use-contradicts")
	assert.Equal(t, at, f.Pos)
	says, _ := f.Values.Get("says")
	kind, _ := f.Values.Get("kind")
	assert.Equal(t, []string{"use-rinse-off", "use-leave-on"}, []string{says.Text, kind.Text})
	assert.Empty(t, codesOf(MakeLabel(facts, calctest.Case{Product: "shower-gel", Change: claimed}.Of(t)), "label-use"))
	facts.Warnings = []LabelWords{{Text: "Rinse off at once"}}
	l := MakeLabel(facts, calctest.Case{Product: "body-lotion", Change: claimed}.Of(t))
	assert.Equal(t, []string{"ask label-use-contradicts"}, codesOf(l, "label-use"), "once")
	assert.Equal(t, 40, found(t, l, "label-use-contradicts").Pos.Line, "what has no place of its own")
	// what is remembered for the variants of a product is the same
	in := *calctest.Case{Product: "body-lotion", Change: claimed}.Of(t).Input
	in.Shared = &formula.Shared{}
	b := &labelling{Label: &Label{}, facts: &LabelFacts{}, in: &in, law: in.Law}
	for range 2 {
		b.Findings = nil
		b.useFindings()
		assert.Equal(t, []string{"ask label-use-contradicts"}, codesOf(b.Label, "label-use"))
	}
	// a finding with two rules names the sources of both
	b.Findings = nil
	b.say(finding.NewFinding(finding.Ask, "label-x", at, nil), "I10", "I11")
	law, _ := b.Findings[0].Values.Get("law")
	assert.Len(t, law.List, 2)
}

// A declared allergen that no list has stands at the end of the list of the label, once for
// all markets; an oil in two ways is named once too.
func TestNamesOffTheList(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Exemplum Quintessence", "3")
	oil := formulatest.Material(t, "lavender", "skin conditioning", "Lavandula Angustifolia Oil", "100")
	fo.Composition = ingredients.Composition{Complete: true, Constituents: formulatest.Sheet(t, "x",
		"Lavandula Angustifolia Oil", "60", "Squalane", "40").Composition.Constituents}
	var results []*calc.Result
	for _, m := range []rows.Market{rows.EU, rows.GB} {
		results = append(results, calctest.Case{Product: "body-lotion", Market: m}.Of(t, oil, "1", fo, "1"))
	}
	l := MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}}, results...)
	text := itemOf(t, l, ItemIngredients).Text
	assert.True(t, strings.HasSuffix(text, ", [Exemplum Quintessence]"), text)
	assert.Equal(t, 1, strings.Count(text, "Exemplum Quintessence"))
	oils, _ := found(t, l, "oil-two-names").Values.Get("oils")
	assert.Len(t, oils.List, 1)
	names, _ := found(t, l, "label-names-open").Values.Get("names")
	assert.Len(t, names.List, 1)
	assert.Equal(t, []string{"use-rinse-off", "use-leave-on"}, []string{useTerm(true), useTerm(false)})
	// one open place of the order is one
	open := formulatest.Sheet(t, "blend", "Glycerin", "20-80", "Propanediol", "q.s.")
	remark := itemOf(t, MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}},
		calctest.Case{Product: "body-lotion"}.Of(t, open, "20")), ItemIngredients).Remark
	assert.Contains(t, remark, "not settled by the papers: 1 place of the order")
}

// What stands in the list twice: an oil under its own name and under that of its entry of the
// allergens. What is an ingredient under the one name alone, such as linalool, does not, nor
// what is declared of a scent. Regulation (EU) 2023/1545.
func TestWhatStandsTwice(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Limonene", "10")
	r := calctest.Case{Product: "body-lotion"}.Of(t, formulatest.Pure(t, "emollient", "Lavandula Angustifolia Oil"),
		"1", formulatest.Pure(t, "solvent", "Linalool"), "1", fo, "1")
	require.Contains(t, r.List.Line(), "Limonene")
	assert.Equal(t, []string{"Lavandula Angustifolia Oil"}, twoNames([]*calc.Result{r, r}))
	r = calctest.Case{Product: "body-lotion"}.Of(t, formulatest.Pure(t, "solvent", "Linalool"), "1", fo, "1")
	assert.Empty(t, twoNames([]*calc.Result{r}))
}
