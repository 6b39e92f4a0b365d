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
	"gallipot/calc/standards"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// scented is a product with one scent, whose certificate allows 2.35 % in 5A.
func scented(t testing.TB, product, pct string, change func(*ingredients.Sheet)) *calc.Result {
	t.Helper()
	fo := formulatest.Supplied(formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023),
		"Alder Supplies (invented)", "A-7")
	formulatest.Certified(t, fo, "5A", "2.35")
	if change != nil {
		change(fo)
	}
	return calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", pct),
		&formula.Variant{}, product, rows.GB, 20261125, formulatest.Squalane(t), fo)
}

// A certificate is kept at its figure and broken above it.
func TestCertificateFigure(t *testing.T) {
	r := scented(t, "body-butter", "2.35", nil)
	assert.Equal(t, standards.FragranceKept, r.Fragrances[0].Status)
	assert.Equal(t, "1", r.Fragrances[0].Ratio.Exact())
	assert.Empty(t, calctest.Findings(r, "fragrance-over"))
	assert.Empty(t, calctest.Findings(r, "fragrance-sum"))
	assert.Equal(t, 51, r.Fragrances[0].Amendment)

	r = scented(t, "body-butter", "2.350004", nil)
	assert.Equal(t, standards.FragranceExceeded, r.Fragrances[0].Status)
	f := calctest.Finding(t, r, "fragrance-over")
	assert.Equal(t, finding.Stop, f.Severity)
	assert.Equal(t, "2.35 % of the product; its certificate allows 2.35 % in category 5A", wordstest.Said(f).Message)
	assert.Equal(t, "reduce fo to 2.35 % or less (now 2.35 %)", wordstest.Said(f).Fix)
	assert.Equal(t, "", wordstest.Said(f).Ask)
	assert.Empty(t, calctest.Findings(r, "fragrance-sum"), "one scent is no sum")
}

func TestCertificateAnswers(t *testing.T) {
	for _, c := range []struct {
		product, code, message, fix string
		severity                    finding.Severity
		status                      standards.FragranceStatus
		change                      func(*ingredients.Sheet)
	}{
		{"body-butter", "fragrance-not-permitted", "its certificate does not permit category 5A (body butter)",
			"choose another fragrance for this type of product", finding.Stop, standards.FragranceNotPermitted,
			func(s *ingredients.Sheet) { s.FragranceLimits.Limits[0].NotPermitted = true }},
		{"body-butter", "fragrance-not-permitted", "its certificate does not permit category 5A (body butter)",
			"choose another fragrance for this type of product", finding.Stop, standards.FragranceNotPermitted,
			func(s *ingredients.Sheet) { s.FragranceLimits.Limits[0].MaxPct = exact.Num{} }},
		{"body-butter", "", "", "", finding.Stop, standards.FragranceNoLimit,
			func(s *ingredients.Sheet) {
				s.FragranceLimits.Limits[0].NoLimit, s.FragranceLimits.Limits[0].MaxPct = true, exact.Num{}
			}},
		{"body-butter", "category-not-covered",
			"its certificate has no line for category 5A (body butter), so no limit is known",
			"ask Alder Supplies (invented) for the certificate line of category 5A", finding.Ask, standards.FragranceNotCovered,
			func(s *ingredients.Sheet) { s.FragranceLimits.Limits[0].Category = "9" }},
		{"body-butter", "no-certificate",
			"no fragrance conformity certificate is on file, so the most allowed in category 5A is unknown",
			"ask Alder Supplies (invented) for the fragrance conformity certificate of fo (code A-7)", finding.Ask,
			standards.FragranceNoPaper,
			func(s *ingredients.Sheet) { s.FragranceLimits = nil }},
		{"body-butter", "old-amendment",
			"its certificate is to amendment 50; the newest known is 51, and limits and categories may have changed",
			"ask Alder Supplies (invented) for a certificate to amendment 51", finding.Ask, standards.FragranceKept,
			func(s *ingredients.Sheet) { s.FragranceLimits.Amendment = 50 }},
		{"lip-balm", "swallowed-fragrance",
			"it may be swallowed with this product (category 1), so it must be suitable as a flavouring as well as within its limit",
			"keep the supplier's statement of food-grade suitability with the sheet", finding.Note, standards.FragranceKept,
			func(s *ingredients.Sheet) { s.FragranceLimits.Limits[0].Category = "1" }},
		{"toothpaste", "swallowed-fragrance",
			"it may be swallowed with this product (category 6), so it must be suitable as a flavouring as well as within its limit",
			"keep the supplier's statement of food-grade suitability with the sheet", finding.Note, standards.FragranceKept,
			func(s *ingredients.Sheet) { s.FragranceLimits.Limits[0].Category = "6" }},
	} {
		r := scented(t, c.product, "1", c.change)
		require.Len(t, r.Fragrances, 1)
		assert.Equal(t, c.status, r.Fragrances[0].Status)
		var raised []string
		for _, code := range []string{"fragrance-over", "fragrance-not-permitted", "category-not-covered",
			"no-certificate", "old-amendment", "swallowed-fragrance"} {
			for range calctest.Findings(r, code) {
				raised = append(raised, code)
			}
		}
		if c.code == "" {
			assert.Empty(t, raised)
			continue
		}
		assert.Equal(t, []string{c.code}, raised)
		f := calctest.Finding(t, r, c.code)
		assert.Equal(t, c.message, wordstest.Said(f).Message)
		assert.Equal(t, c.fix, wordstest.Said(f).Fix)
		assert.Equal(t, c.severity, f.Severity)
		want := ""
		if c.severity == finding.Ask {
			want = "Alder Supplies (invented)"
		}
		assert.Equal(t, want, wordstest.Said(f).Ask)
	}
}

// Where a finding of a certificate points: at the line of the category, else at the
// certificate, else at the sheet.
func TestPlaceOfACertificate(t *testing.T) {
	at := func(change func(*ingredients.Sheet)) int {
		return scented(t, "body-butter", "3", func(s *ingredients.Sheet) {
			s.Pos.Line, s.FragranceLimits.Pos.Line, s.FragranceLimits.Limits[0].Pos.Line = 1, 5, 7
			change(s)
		}).Fragrances[0].Pos.Line
	}
	assert.Equal(t, 7, at(func(*ingredients.Sheet) {}))
	assert.Equal(t, 5, at(func(s *ingredients.Sheet) { s.FragranceLimits.Limits[0].Category = "9" }))
	assert.Equal(t, 1, at(func(s *ingredients.Sheet) { s.FragranceLimits = nil }))
}

// Two scents, by hand: 1.2 of 2.35 % and 1 of 2 % are 0.51064 + 0.5 = 1.01064 of what
// is allowed; lowered to 100 / 1.01064 = 98.95 %, printed downward.
func TestSumOfFragrances(t *testing.T) {
	run := func(a, b string, v *formula.Variant, extra ...string) *calc.Result {
		fo := func(id, limit string) *ingredients.Sheet {
			return formulatest.Certified(t, formulatest.Declared(t, formulatest.ScentSheet(id), ingredients.List2023),
				"5A", limit)
		}
		lines := []string{"base", "q.s.", "fo-a", a, "fo-b", b}
		if v != nil {
			lines = []string{"base", "q.s.", ":scent", "2"}
		} else {
			v = &formula.Variant{}
		}
		return calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, lines...), v, "body-butter", rows.GB,
			20261125, formulatest.Squalane(t), fo("fo-a", "2.35"), fo("fo-b", "2"))
	}
	r := run("1.2", "1", nil)
	f := calctest.Finding(t, r, "fragrance-sum")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "several fragrances together use 1.011 of what their certificates allow in the product, which is more than 1", wordstest.Said(f).Message)
	assert.Equal(t, "reduce them to 98.9 % of their amounts, or let the assessor add up by substance from the compositions", wordstest.Said(f).Fix)
	require.Len(t, f.Sum, 2)
	assert.Equal(t, "fo-a: at most 1.2 % ÷ 2.35 % = 0.5106", wordstest.Term(f.Sum[0]))
	assert.Equal(t, "fo-b: at most 1 % ÷ 2 % = 0.5", wordstest.Term(f.Sum[1]))
	// exactly 1 is kept: 1.175 / 2.35 + 1 / 2
	assert.Empty(t, calctest.Findings(run("1.175", "1", nil), "fragrance-sum"))

	// Portions: 2 % of a blend of one to one in "both", 2 % of one scent in "one". Of the
	// whole, 40 % "both" and 60 % "one".
	v := &formula.Variant{Portions: []formula.Portion{
		{Name: "one", SharePct: formulatest.Num(t, "60"), Fill: []formula.Fill{formulatest.Fill("scent", "fo-b")}},
		{Name: "both", SharePct: formulatest.Num(t, "40"),
			Fill: []formula.Fill{formulatest.Fill("scent", "fo-a", "50", "fo-b", "50")}},
	}}
	r = run("", "", v)
	var got []string
	for _, s := range r.FragranceSums {
		got = append(got, s.Portion+" "+s.Ratio.Fixed(4)+" "+formula.Itoa(s.Count))
	}
	// one: 2/2; the whole: 0.4/2.35 + 1.6/2 = 0.9702; both: 1/2.35 + 1/2 = 0.9255
	assert.Equal(t, []string{"one 1.0000 1", " 0.9702 2", "both 0.9255 2"}, got)
	uses := map[string]string{}
	for _, u := range r.Fragrances {
		uses[u.Ingredient] = u.UsePct.Exact() + " " + u.Portion
	}
	assert.Equal(t, map[string]string{"fo-a": "1 both", "fo-b": "2 one"}, uses)

	// Of equal sums the whole comes first, then the portions in their order.
	v.Portions[1].Fill = v.Portions[0].Fill
	r = run("", "", v)
	got = nil
	for _, s := range r.FragranceSums {
		got = append(got, s.Portion)
	}
	assert.Equal(t, []string{"", "one", "both"}, got)
	assert.Equal(t, "", r.Fragrances[0].Portion, "no portion holds more than the whole")
}

// An essential oil without a certificate is no scent by itself; one used as fragrance
// is, and so is anything that has a certificate.
func TestWhatCountsAsFragrance(t *testing.T) {
	count := func(change func(*ingredients.Sheet)) int {
		s := formulatest.Sheet(t, "oil", "Lavandula Angustifolia Oil", "100")
		change(s)
		return len(calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "oil", "1"),
			&formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), s).Fragrances)
	}
	assert.Equal(t, 0, count(func(*ingredients.Sheet) {}))
	assert.Equal(t, 1, count(func(s *ingredients.Sheet) { s.Functions = []string{"perfuming"} }))
	assert.Equal(t, 1, count(func(s *ingredients.Sheet) { formulatest.Certified(t, s, "5A", "1") }))
	assert.Equal(t, 1, count(func(s *ingredients.Sheet) { s.LabelAs = ingredients.LabelParfum }))
}

// Two lines of one scent, 1.23456 and 1.2 %, are 2.43456 % together; what a stop says
// rests on the certificate, with what is known of it.
func TestCertificateSumAndSource(t *testing.T) {
	over := func(change func(*ingredients.Sheet), lines ...string) finding.Finding {
		fo := formulatest.Supplied(formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023),
			"Alder Supplies (invented)", "A-7")
		formulatest.Certified(t, fo, "5A", "2.35")
		fo.FragranceLimits.Limits[0].Pos.File = "ingredients/fo.yaml"
		if change != nil {
			change(fo)
		}
		return calctest.Finding(t, calctest.Assess(t,
			formulatest.WithFormula(t, formula.Percent, append([]string{"base", "q.s."}, lines...)...),
			&formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo), "fragrance-over")
	}
	f := over(nil, "fo", "1.23456", "fo", "1.2")
	assert.Equal(t, []string{"1.235 % of fo", "1.2 % of fo, together 2.435 %"}, formulatest.Terms(f))
	assert.Equal(t, "fragrance conformity certificate of Alder Supplies (invented), amendment 51, as entered in ingredients/fo.yaml", wordstest.Said(f).Why)
	f = over(func(s *ingredients.Sheet) { s.FragranceLimits.Amendment, s.FragranceLimits.Dated = 0, 20250301 },
		"fo", "2.4")
	assert.Equal(t, []string{"2.4 % of fo"}, formulatest.Terms(f))
	assert.Equal(t, "fragrance conformity certificate of Alder Supplies (invented), dated 2025-03-01, as entered in ingredients/fo.yaml", wordstest.Said(f).Why)

	// an old amendment is a matter of the certificate, not of its line
	r := scented(t, "body-butter", "1", func(s *ingredients.Sheet) {
		s.FragranceLimits.Amendment, s.FragranceLimits.Pos.Line, s.FragranceLimits.Limits[0].Pos.Line = 50, 5, 7
	})
	assert.Equal(t, 5, calctest.Finding(t, r, "old-amendment").Pos.Line)
}

// Both portions fail the screen: one finding, for the worse. 1.23456 / 2 + 1 / 2.
func TestOneFindingForAllSums(t *testing.T) {
	a, b := formulatest.Certified(t,
		formulatest.Declared(t, formulatest.ScentSheet("fo-a"), ingredients.List2023), "5A", "2"),
		formulatest.Certified(t, formulatest.Declared(t, formulatest.ScentSheet("fo-b"), ingredients.List2023), "5A", "2")
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo-a", "1.23456", "fo-b", "1")
	v := &formula.Variant{Portions: []formula.Portion{{Name: "one", SharePct: formulatest.Num(t, "50")},
		{Name: "two", SharePct: formulatest.Num(t, "50")}}}
	f := calctest.Finding(t, calctest.Assess(t, p, v, "body-butter", rows.GB, 20261125, formulatest.Squalane(t),
		a, b), "fragrance-sum")
	assert.Contains(t, wordstest.Said(f).Message, "use 1.117 of what")
	assert.Equal(t, "fo-a: at most 1.235 % ÷ 2 % = 0.6173", wordstest.Term(f.Sum[0]))
}
