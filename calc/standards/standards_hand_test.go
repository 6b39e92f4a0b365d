package standards_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/standards"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// Citral in 5A, 0.15 %: at the figure it is kept, for a range as for a figure; the
// reasons name figure and category.
func TestStandardAtItsFigure(t *testing.T) {
	at := func(citral string) standards.StandardCheck {
		fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Citral", citral)
		return standardOf(t, calctest.Case{Product: "body-lotion"}.Of(t, fo, "1"), "Citral")
	}
	assert.Equal(t, standards.StandardKept, at("15").Verdict)
	assert.Equal(t, standards.StandardKept, at("10-15").Verdict)
	c := at("15-16")
	assert.Equal(t, standards.StandardOpen, c.Verdict)
	assert.Equal(t, "its range reaches above 0.15 %", c.Reason)
	c = at("16")
	assert.Equal(t, standards.StandardExceeded, c.Verdict)
	assert.Equal(t, "more than 0.15 % in category 5A", c.Reason)
}

// Standards without a percentage say what they are instead; the table's order is
// kept; treemoss and oakmoss name both.
func TestStandardsWithoutAPercentage(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Menthol", "1", "Limonene",
		"1", "Geraniol", "1", "Citral", "1", "Evernia Prunastri Extract", "1", "Evernia Furfuracea Extract", "1")
	r := calctest.Case{Product: "body-lotion"}.Of(t, fo, "1")
	c := standardOf(t, r, "Menthol")
	assert.Equal(t, standards.StandardNotApplicable, c.Verdict)
	assert.Equal(t, "no IFRA Standard known to me", c.Reason) // ifra-standards.csv, Menthol
	c = standardOf(t, r, "Limonene")
	assert.Equal(t, standards.StandardSpecification, c.Verdict)
	assert.Equal(t, "no percentage, but a specification of the raw material: peroxide value at or below 20 mmol/L; oils rich in limonene count too", c.Reason)
	c = standardOf(t, r, "Geraniol")
	assert.Equal(t, "the table has no row for category 5A", c.Reason)
	assert.NotNil(t, c.Row)
	assert.ElementsMatch(t, []string{"Evernia Prunastri Extract", "Evernia Furfuracea Extract"},
		standardOf(t, r, "Treemoss extract (Evernia furfuracea)").Substances)

	place := map[string]int{}
	for i, row := range law.Standards(table.Builtin()) {
		if _, known := place[row.Substance]; !known {
			place[row.Substance] = i
		}
	}
	assert.True(t, slices.IsSortedFunc(r.Standards,
		func(a, b standards.StandardCheck) int { return place[a.Standard] - place[b.Standard] }))

	assert.Equal(t, []string{"Lime oil, crude"},
		standards.PreparationNamed(table.Builtin(), []string{"Lime oil, crude", "Lime absolute"}, "Lime Oil Crude"))
	assert.Equal(t, []string{"Lime absolute"},
		standards.PreparationNamed(table.Builtin(), []string{"Lime absolute"}, "Lime Oil"))
}

func citrus(t testing.TB, id, name string) *ingredients.Sheet {
	inci, cas := "Citrus Limon Peel Oil", "8008-56-8"
	if id == "bergamot" {
		inci, cas = "Citrus Aurantium Bergamia Fruit Oil", "8007-75-8"
	}
	s := formulatest.Coded(formulatest.Material(t, id, "fragrance", inci, "100"), cas)
	s.Name = name
	return s
}

// Bergamot 0.15 / 0.4 = 0.375 and lemon 1.3 / 2 = 0.65: 1.025, so 100 / 1.025 =
// 97.56 % of their amounts, printed downward (worked example 2 of the reference
// paper on fragrance documents).
func TestPhototoxicSumByHand(t *testing.T) {
	beard := calctest.Case{Product: "beard-oil"}
	bergamot, lemon := citrus(t, "bergamot", "Bergamot oil, expressed"), citrus(t, "lemon", "Lemon oil, cold pressed")
	r := beard.Of(t, bergamot, "0.15", lemon, "1.3")
	f := calctest.Finding(t, r, "phototoxic-sum")
	assert.Equal(t, "together they are not in line with the Standards on phototoxic oils: use ÷ limit adds up to 1.025 in the product, which is more than 1", wordstest.Said(f).Message)
	assert.Equal(t, "reduce them together to 97.5 % of their amounts, or show the assessor a certificate that covers them", wordstest.Said(f).Fix)
	assert.Equal(t, []string{"0.15 % of Bergamot oil, expressed × 100 % in it = 0.15 %",
		"1.3 % of Lemon oil, cold pressed × 100 % in it = 1.3 %"}, formulatest.Terms(f))
	assert.Equal(t, "Citrus Aurantium Bergamia Fruit Oil + Citrus Limon Peel Oil", f.Subject)
	assert.Equal(t, 11, f.Pos.Line)
	sum := standardOf(t, beard.Of(t, bergamot, "0.14", lemon, "1.23456"), "phototoxic oils together")
	assert.Equal(t, standards.StandardKept, sum.Verdict)
	assert.Equal(t, "use ÷ limit adds up to 0.9673, not more than 1", sum.Reason) // 0.35 + 0.61728
	sum = standardOf(t, beard.Of(t, bergamot, "0.15", lemon, "1.31111"), "phototoxic oils together")
	assert.Equal(t, "use ÷ limit adds up to 1.031, more than 1", sum.Reason) // 0.375 + 0.655555

	// what one sheet leaves open is for the assessor
	silent := citrus(t, "bergamot", "Bergamot oil")
	for sheet, told := range map[*ingredients.Sheet]bool{silent: true, bergamot: false} {
		_, expressed := calctest.Finding(t, beard.Of(t, sheet, "0.5"), "standard-over").Values.Get("expressed")
		assert.Equal(t, told, expressed, sheet.Name)
	}
	r = beard.Of(t, silent, "0.15", lemon, "1.3")
	assert.Equal(t, finding.Ask, calctest.Finding(t, r, "phototoxic-sum").Severity)
	assert.Contains(t, standardOf(t, r, "Bergamot oil, expressed").Reason,
		"taken as expressed, since the sheet does not say; ")
	r = beard.Of(t, bergamot, "0.15", citrus(t, "lemon", "Lemon oil"), "1.3")
	assert.Equal(t, finding.Ask, calctest.Finding(t, r, "phototoxic-sum").Severity)

	// an oil free of furocoumarins does not count, nor does another Standard
	has := func(r *calc.Result) bool {
		return slices.ContainsFunc(r.Standards,
			func(c standards.StandardCheck) bool { return c.Standard == "phototoxic oils together" })
	}
	assert.True(t, has(beard.Of(t, bergamot, "0.15", lemon, "0.1")))
	assert.False(t, has(beard.Of(t, bergamot, "0.3", citrus(t, "lemon", "Lemon oil, distilled"), "5")))
	assert.False(t, has(beard.Of(t, bergamot, "0.3",
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Citral", "10"), "1")))
	assert.False(t, has(beard.Of(t, bergamot, "0.3")))

	// rinsed off, it is not about light
	c := standardOf(t, calctest.Case{Product: "shower-gel"}.Of(t, bergamot, "3"), "Bergamot oil, expressed")
	assert.Equal(t, standards.StandardNoRestriction, c.Verdict)
	assert.Equal(t, "no ceiling in category 9", c.Reason)
}

// The portion with the oils governs, wherever it stands among them: of the whole
// 0.5125, of the day oil 1.025.
func TestPhototoxicSumOfPortions(t *testing.T) {
	day := formula.Portion{Name: "day", SharePct: formulatest.Num(t, "50"),
		Fill: []formula.Fill{formulatest.Fill("one", "bergamot"), formulatest.Fill("two", "lemon")}}
	night := formula.Portion{Name: "night", SharePct: formulatest.Num(t, "50"),
		Fill: []formula.Fill{formulatest.Fill("one", "base"), formulatest.Fill("two", "base")}}
	for _, portions := range [][]formula.Portion{{day, night}, {night, day}} {
		p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":one", "0.15", ":two", "1.3")
		p.IntendedFor = formula.Adults
		r := calctest.Assess(t, p, &formula.Variant{Portions: portions}, "beard-oil", rows.EU, today, formulatest.Squalane(t),
			citrus(t, "bergamot", "Bergamot oil, expressed"), citrus(t, "lemon", "Lemon oil, cold pressed"))
		sum := standardOf(t, r, "phototoxic oils together")
		assert.Equal(t, "1.025", sum.Ratio.Exact())
		assert.Equal(t, "day", sum.WorstIn)
		c := standardOf(t, r, "Bergamot oil, expressed")
		assert.Equal(t, "day", c.WorstIn)
		require.Len(t, c.Contributions, 1)
		assert.Equal(t, "0.15", c.Contributions[0].Pct.Max.Exact())
	}

	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "bergamot", "0.15", "lemon", "1.3")
	p.IntendedFor = formula.Adults
	v := &formula.Variant{Portions: []formula.Portion{{Name: "a", SharePct: formulatest.Num(t, "50")},
		{Name: "b", SharePct: formulatest.Num(t, "50")}}}
	r := calctest.Assess(t, p, v, "beard-oil", rows.EU, today, formulatest.Squalane(t),
		citrus(t, "bergamot", "Bergamot oil, expressed"), citrus(t, "lemon", "Lemon oil, cold pressed"))
	assert.Equal(t, "", standardOf(t, r, "phototoxic oils together").WorstIn, "all portions are as the whole")
}
