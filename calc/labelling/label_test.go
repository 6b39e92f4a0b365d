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
	"gallipot/calc/listing"
	"gallipot/ingredients/exact"
	"gallipot/testdata/published"
)

// labelled makes the label of a body lotion of water for some markets.
func labelled(t testing.TB, facts LabelFacts, change func(*formula.Product), markets ...rows.Market) *Label {
	t.Helper()
	if len(markets) == 0 {
		markets = []rows.Market{rows.GB}
	}
	var results []*calc.Result
	for _, m := range markets {
		results = append(results, calctest.Case{Product: "body-lotion", Market: m, Change: change}.Of(t))
	}
	if facts.Name.Text == "" {
		facts.Name.Text = "Tide"
	}
	return MakeLabel(&facts, results...)
}

func itemOf(t testing.TB, l *Label, kind LabelItemKind) LabelItem {
	t.Helper()
	items := l.All(kind)
	require.Len(t, items, 1, "%s", kind)
	return items[0]
}

// codesOf lists the codes of a label's findings, without those about what no
// test is after.
func codesOf(l *Label, about string) []string {
	var out []string
	for _, f := range l.Findings {
		if strings.Contains(f.Code, about) {
			out = append(out, f.Severity.String()+" "+f.Code)
		}
	}
	return out
}

func net(t testing.TB, g, ml string) func(*formula.Product) {
	return func(p *formula.Product) {
		if g != "" {
			n := mustParse(t, g)
			p.Net.G = &n
		}
		if ml != "" {
			n := mustParse(t, ml)
			p.Net.ML = &n
		}
	}
}

func mustParse(t testing.TB, s string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(s)
	require.NoError(t, err)
	return n
}

// TestFigureHeights puts the published quantities onto labels. Expected values:
// testdata/published/label_heights.csv, source per row.
func TestFigureHeights(t *testing.T) {
	rows := published.Rows(t, "label_heights.csv")
	require.Len(t, rows, 11)
	require.Nil(t, labelled(t, LabelFacts{}, net(t, "0.5", "")).FigureMM, "below 5 g no quantity is needed")
	for _, c := range rows {
		for _, change := range []func(*formula.Product){net(t, c["quantity"], ""), net(t, "", c["quantity"])} {
			l := labelled(t, LabelFacts{}, change)
			require.NotNil(t, l.FigureMM, c["id"])
			assert.Equal(t, c["height_mm"], l.FigureMM.Exact(), "%s: %s", c["id"], c["quantity"])
		}
	}
}

// TestQuantity: the wording after rules Q04 to Q06, the exemptions of rule L21
// (Regulation (EC) 1223/2009 Art. 19(1)(b): less than five grams or millilitres,
// free samples, single-application packs).
func TestQuantity(t *testing.T) {
	for _, c := range []struct {
		g, ml, want string
		sold        LabelSale
		state       labelState
	}{
		{"120", "", "120 g", soldInPacks, LabelGiven},
		{"", "100", "100 ml", soldInPacks, LabelGiven},
		{"999.9", "", "999.9 g", soldInPacks, LabelGiven},
		{"1000", "", "1 kg", soldInPacks, LabelGiven},
		{"", "1500", "1.5 l", soldInPacks, LabelGiven},
		{"95", "100", "100 ml, 95 g", soldInPacks, LabelGiven},
		{"5", "", "5 g", soldInPacks, LabelGiven},
		{"4.99", "", "", soldInPacks, labelNotNeeded},
		{"", "4.9", "", soldInPacks, labelNotNeeded},
		{"10", "", "", FreeSample, labelNotNeeded},
		{"10", "", "", SingleApplication, labelNotNeeded},
		{"", "", "[quantity]", soldInPacks, LabelMissing},
	} {
		l := labelled(t, LabelFacts{SoldAs: c.sold}, net(t, c.g, c.ml))
		i := itemOf(t, l, ItemQuantity)
		assert.Equal(t, c.want, i.Text, "%+v", c)
		assert.Equal(t, c.state, i.State, "%+v", c)
		if c.state == LabelMissing {
			assert.Equal(t, []string{"ask label-no-quantity"}, codesOf(l, "quantity"))
		}
	}
}

// TestEstimatedSign: at least 3 mm (SI 2006/659 reg. 2), and only where the
// maker wants it.
func TestEstimatedSign(t *testing.T) {
	assert.Nil(t, labelled(t, LabelFacts{}, net(t, "120", "")).EMarkMM)
	l := labelled(t, LabelFacts{EMark: true}, net(t, "120", ""))
	require.NotNil(t, l.EMarkMM)
	assert.Equal(t, "3", l.EMarkMM.Exact())
}

// TestUnitOfTheKind: solid goods by weight, liquids by volume (label-rules.csv,
// Q08).
func TestUnitOfTheKind(t *testing.T) {
	of := func(kind, g, ml string) []string {
		r := calctest.Case{Product: kind, Market: rows.GB, Change: net(t, g, ml)}.Of(t)
		return codesOf(MakeLabel(&LabelFacts{Name: LabelWords{Text: "Tide"}}, r), "quantity")
	}
	assert.Equal(t, []string{"note label-quantity-unit"}, of("bar-soap", "", "100"))
	assert.Equal(t, []string{"note label-quantity-unit"}, of("toner", "100", ""))
	assert.Empty(t, of("bar-soap", "100", ""))
	assert.Empty(t, of("toner", "", "100"))
	assert.Empty(t, of("body-lotion", "100", ""), "creams may go by either")
	assert.Empty(t, of("body-lotion", "", "100"))
}

// TestDurability: the date up to 30 months, the period after opening above
// (Regulation (EC) 1223/2009 Art. 19(1)(c)).
func TestDurability(t *testing.T) {
	reason := LabelWords{Text: "a pack that keeps air out"}
	for _, c := range []struct {
		name     string
		facts    LabelFacts
		date     string
		months   int
		findings []string
	}{
		{"nothing", LabelFacts{}, "", 0, []string{"ask label-no-durability"}},
		{"thirty months are a date", LabelFacts{BestBeforeMonths: 30}, "[MM/YYYY]", 0, nil},
		{"thirty-one months need a period", LabelFacts{BestBeforeMonths: 31}, "", 0, []string{"ask label-no-durability"}},
		{"thirty-one months and a period", LabelFacts{BestBeforeMonths: 31, PAOMonths: 12}, "", 12, nil},
		{"thirty-one months and a reason", LabelFacts{BestBeforeMonths: 31, NoPAO: reason}, "", 0, nil},
		{"a reason without a durability", LabelFacts{NoPAO: reason}, "", 0, []string{"ask label-no-durability"}},
		{"a period alone", LabelFacts{PAOMonths: 6}, "", 6, []string{"ask label-durability-basis"}},
		{"both, where the date is enough", LabelFacts{BestBeforeMonths: 12, PAOMonths: 6}, "[MM/YYYY]", 6,
			[]string{"note label-both-dates"}},
		{"a date", LabelFacts{BestBeforeMonths: 12, Made: 20261115}, "10/2027", 0, nil},
	} {
		l := labelled(t, c.facts, nil)
		assert.Equal(t, c.date, l.BestBefore, c.name)
		assert.Equal(t, c.months, l.PAOMonths, c.name)
		assert.Equal(t, c.findings, append(append(codesOf(l, "durability"), codesOf(l, "both")...),
			codesOf(l, "pao")...), c.name)
	}
}

// TestBestBefore: worked by hand. The month must end within the time stated.
func TestBestBefore(t *testing.T) {
	for _, c := range []struct {
		made   exact.Date
		months int
		want   string
	}{
		{20261101, 12, "10/2027"}, // twelve months end on 1 November
		{20261129, 12, "10/2027"},
		{20261130, 12, "11/2027"}, // they end with the month itself
		{20260131, 1, "02/2026"},  // February has no 31st: its end is the month's
		{20260128, 1, "02/2026"},
		{20260127, 1, "01/2026"},
		{20231231, 2, "02/2024"}, // a leap year
		{20240129, 1, "02/2024"},
		{20240128, 1, "01/2024"},
		{20261231, 12, "12/2027"},
		{20261230, 12, "11/2027"},
		{20260630, 30, "11/2028"}, // December 2028 has 31 days
		{20260531, 6, "11/2026"},
	} {
		assert.Equal(t, c.want, bestBefore(c.made, c.months), "%s + %d", c.made, c.months)
	}
}

func address(country string, lines ...string) LabelPerson {
	return LabelPerson{Name: "Skerry", Address: lines, Country: country}
}

// TestPersons: the person sits in the market; a box is refused in Great Britain;
// the one for the EU serves Northern Ireland (label-rules.csv, L10, L11).
func TestPersons(t *testing.T) {
	gb, ie := address("GB", "Shore Road 1", "ZZ99 0ZZ"), address("IE", "Pier 1")
	ni := address("GB", "Shore Road 1", "BT99 1AA")
	for _, c := range []struct {
		name     string
		market   rows.Market
		persons  map[rows.Market]LabelPerson
		text     string
		findings []string
	}{
		{"in the market", rows.GB, map[rows.Market]LabelPerson{rows.GB: gb}, "Skerry, Shore Road 1, ZZ99 0ZZ", nil},
		{"in the EU", rows.EU, map[rows.Market]LabelPerson{rows.EU: ie}, "Skerry, Pier 1, Ireland", nil},
		{"none", rows.EU, map[rows.Market]LabelPerson{rows.GB: gb}, "[responsible person for EU, with address]",
			[]string{"ask label-no-responsible-person"}},
		{"elsewhere", rows.EU, map[rows.Market]LabelPerson{rows.EU: gb},
			"Skerry, Shore Road 1, ZZ99 0ZZ, United Kingdom", []string{"stop label-person-elsewhere"}},
		{"elsewhere for GB", rows.GB, map[rows.Market]LabelPerson{rows.GB: ie}, "Skerry, Pier 1, Ireland",
			[]string{"stop label-person-elsewhere"}},
		{"the EU's for NI", rows.NI, map[rows.Market]LabelPerson{rows.EU: ie}, "Skerry, Pier 1, Ireland", nil},
		{"in NI for NI", rows.NI, map[rows.Market]LabelPerson{rows.NI: ni},
			"Skerry, Shore Road 1, BT99 1AA, United Kingdom", nil},
		{"in GB for NI", rows.NI, map[rows.Market]LabelPerson{rows.NI: gb},
			"Skerry, Shore Road 1, ZZ99 0ZZ, United Kingdom", []string{"stop label-person-elsewhere"}},
		{"no country", rows.GB, map[rows.Market]LabelPerson{rows.GB: address("", "Shore Road 1")},
			"Skerry, Shore Road 1", []string{"ask label-person-country"}},
		{"a box", rows.GB, map[rows.Market]LabelPerson{rows.GB: address("GB", "P.O. Box 7", "ZZ99 0ZZ")},
			"Skerry, P.O. Box 7, ZZ99 0ZZ", []string{"stop label-po-box"}},
		{"a post office box", rows.GB, map[rows.Market]LabelPerson{rows.GB: address("GB", "Post Office Box 7")},
			"Skerry, Post Office Box 7", []string{"stop label-po-box"}},
		{"a boxwood lane", rows.GB, map[rows.Market]LabelPerson{rows.GB: address("GB", "1 Boxwood Lane")},
			"Skerry, 1 Boxwood Lane", nil},
		{"a box in the EU", rows.EU, map[rows.Market]LabelPerson{rows.EU: address("IE", "PO Box 7")},
			"Skerry, PO Box 7, Ireland", nil},
		{"no figure", rows.GB, map[rows.Market]LabelPerson{rows.GB: address("GB", "Shore Road")},
			"Skerry, Shore Road", []string{"ask label-address-short"}},
		{"the EU's for GB, for a time", rows.GB, map[rows.Market]LabelPerson{rows.EU: ie},
			"Skerry, Pier 1, Ireland", []string{"ask label-grace"}},
	} {
		l := labelled(t, LabelFacts{Persons: c.persons}, nil, c.market)
		assert.Equal(t, c.text, itemOf(t, l, ItemPerson).Text, c.name)
		var got []string
		for _, about := range []string{"person", "address", "box", "grace"} {
			got = append(got, codesOf(l, about)...)
		}
		assert.Equal(t, c.findings, got, c.name)
	}
}

// TestGraceEnds: seven years from 1 January 2021 (GB guidance of May 2023), so
// to the end of 2027.
func TestGraceEnds(t *testing.T) {
	on := func(day int) []string {
		r := calctest.Case{Product: "body-lotion", Market: rows.GB, Day: day}.Of(t)
		f := &LabelFacts{Name: LabelWords{Text: "Tide"},
			Persons: map[rows.Market]LabelPerson{rows.EU: address("IE", "Pier 1")}}
		return append(codesOf(MakeLabel(f, r), "grace"), codesOf(MakeLabel(f, r), "person")...)
	}
	assert.Equal(t, []string{"ask label-grace"}, on(20271231))
	assert.Equal(t, []string{"ask label-no-responsible-person"}, on(20280101))
}

// TestOrigin: goods from outside the market bear their origin (label-rules.csv,
// L16).
func TestOrigin(t *testing.T) {
	of := func(made string, markets ...rows.Market) string {
		i := itemOf(t, labelled(t, LabelFacts{MadeIn: LabelWords{Text: made}}, nil, markets...), ItemOrigin)
		return i.Text
	}
	assert.Empty(t, of("GB", rows.GB))
	assert.Equal(t, "Made in the United Kingdom", of("GB", rows.EU))
	assert.Equal(t, "Made in Ireland", of("IE", rows.GB))
	assert.Empty(t, of("IE", rows.EU))
	assert.Empty(t, of("IE", rows.NI))
	assert.Equal(t, "Made in the United Kingdom", of("GB", rows.NI), "doubtful, so printed")
	assert.Equal(t, "Made in the United Kingdom", of("GB", rows.GB, rows.EU), "one pack for both")
	assert.Equal(t, "Made in Japan", of("JP", rows.GB))
	assert.Equal(t, "Made in XX", of("XX", rows.GB), "a code that the table does not know is foreign")
	assert.Equal(t, []string{"ask label-no-origin"}, codesOf(labelled(t, LabelFacts{}, nil), "origin"))
}

// TestOnePackForTwoMarkets shows both persons, each with its market.
func TestOnePackForTwoMarkets(t *testing.T) {
	persons := map[rows.Market]LabelPerson{rows.GB: address("GB", "Shore Road 1"), rows.EU: address("IE", "Pier 1")}
	l := labelled(t, LabelFacts{Persons: persons}, nil, rows.GB, rows.EU)
	var lines []string
	for _, i := range l.All(ItemPerson) {
		lines = append(lines, i.Line())
	}
	assert.Equal(t, []string{"GB: Skerry, Shore Road 1, United Kingdom", "EU: Skerry, Pier 1, Ireland"}, lines)
	persons[rows.NI] = persons[rows.EU]
	l = labelled(t, LabelFacts{Persons: persons}, nil, rows.EU, rows.NI)
	one := itemOf(t, l, ItemPerson)
	assert.Equal(t, "Skerry, Pier 1, Ireland", one.Line(), "one person for both needs no market before it")
}

// TestOneListForTwoMarkets: the list of a pack for several markets names every
// allergen that any of them asks for.
func TestOneListForTwoMarkets(t *testing.T) {
	list := func(names ...string) *calc.Result {
		l := &listing.List{}
		for _, n := range names {
			kind := listing.EntryIngredient
			if strings.HasPrefix(n, "+") {
				kind = listing.EntryAllergen
			}
			l.Entries = append(l.Entries, listing.ListEntry{Name: strings.TrimPrefix(n, "+"), Kind: kind})
		}
		return &calc.Result{List: l}
	}
	best, ok := commonList([]*calc.Result{list("Aqua", "Parfum", "+Linalool"),
		list("Aqua", "Parfum", "+Linalool", "+Pinene")})
	assert.True(t, ok)
	assert.Equal(t, "Aqua, Parfum, Linalool, Pinene", best.Line())
	_, ok = commonList([]*calc.Result{list("Aqua", "+Citral"), list("Aqua", "+Linalool", "+Pinene")})
	assert.False(t, ok, "a name that the longer list lacks")
	_, ok = commonList([]*calc.Result{list("Aqua", "Glycerin"), list("Glycerin", "Aqua")})
	assert.False(t, ok, "another order")
}

// TestPrecautionsEachOnce: a warning that holds the statutory words is not said
// twice.
func TestPrecautionsEachOnce(t *testing.T) {
	salicylic := func(warnings ...LabelWords) []string {
		r := calctest.Case{Product: "body-lotion", Market: rows.GB}.Of(t,
			formulatest.Material(t, "acid", "preservative", "Salicylic Acid", "100"), "0.4")
		var lines []string
		for _, i := range MakeLabel(&LabelFacts{Warnings: warnings}, r).All(ItemPrecaution) {
			lines = append(lines, i.Text)
		}
		return lines
	}
	// wording: Regulation (EC) 1223/2009 Annex V entry 3
	words := "Not to be used for children under 3 years of age"
	alone := salicylic()
	require.Len(t, alone, 1)
	assert.Contains(t, alone[0], words)
	assert.Equal(t, []string{"Keep away from the eyes. NOT to be used for children under 3 years of age!"},
		salicylic(LabelWords{Text: "Keep away from the eyes. NOT to be used for children under 3 years of age!"}))
	assert.Len(t, salicylic(LabelWords{Text: "Keep away from the eyes."}), 2)
}

// TestFunctionFromTheName: the law asks for the function unless it is clear.
func TestFunctionFromTheName(t *testing.T) {
	assert.Equal(t, labelNotNeeded,
		itemOf(t, labelled(t, LabelFacts{Name: LabelWords{Text: "Tide Lotion"}}, nil), ItemFunction).State)
	l := labelled(t, LabelFacts{}, nil)
	assert.Equal(t, LabelMissing, itemOf(t, l, ItemFunction).State)
	assert.Equal(t, []string{"ask label-no-function"}, codesOf(l, "function"))
	assert.Equal(t, "body lotion",
		itemOf(t, labelled(t, LabelFacts{Function: LabelWords{Text: "body lotion"}}, nil), ItemFunction).Text)
}

// TestEveryItemHasItsRule: save for the name, no item stands without a rule.
func TestEveryItemHasItsRule(t *testing.T) {
	l := labelled(t, LabelFacts{Directions: LabelWords{Text: "Rub in."}, Storage: LabelWords{Text: "Keep cool."},
		Batch: "T1"}, net(t, "100", ""))
	for _, i := range l.Items {
		if i.Kind != ItemName {
			assert.NotEmpty(t, i.Rules, "%s", i.Kind)
		}
	}
	batch := itemOf(t, l, ItemBatch)
	assert.Equal(t, "Batch: T1", batch.Line())
}
