package listing_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// An open allergen, by hand: 1 % of a scent with 0.05 to 0.2 % linalool and 0.5 % of
// one with 0.01 to 0.41 % make 0.0005 … 0.002 and 0.00005 … 0.00205, together
// 0.00055 … 0.00405; the second is the wider, by 0.0005. Annex III entry 84.
func TestOpenAllergenByHand(t *testing.T) {
	a := formulatest.Supplied(formulatest.Declared(t, formulatest.ScentSheet("fo-a"), ingredients.List2003,
		"Linalool", "0.05-0.2"), "Alder Supplies (invented)", "")
	b := formulatest.Supplied(formulatest.Declared(t, formulatest.ScentSheet("fo-b"), ingredients.List2003,
		"Linalool", "0.01-0.41"), "Birch Supplies (invented)", "")
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo-a", "1", "fo-b",
		"0.5"), &formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), a, b)
	f := calctest.Finding(t, r, "allergen-open")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "0.00055 to 0.00405 % of the product; the threshold is 0.001 %, so it is on the label as the cautious choice", wordstest.Said(f).Message)
	assert.Equal(t, "Birch Supplies (invented)", wordstest.Said(f).Ask)
	assert.Equal(t, "ask Birch Supplies (invented) for the exact content, or leave the name on the label",
		wordstest.Said(f).Fix)
	assert.Equal(t, "an allergen is named when it is above its threshold; Annex III entry 84 (allergens.csv, row linalool)", wordstest.Said(f).Why)
	require.Len(t, f.Sum, 2)
	assert.Equal(t, "1 % of fo-a × 0.05-0.2 % in it = 0.0005 to 0.002 %", wordstest.Term(f.Sum[0]))
	assert.Equal(t, "0.5 % of fo-b × 0.01-0.41 % in it = 0.00005 to 0.00205 %", wordstest.Term(f.Sum[1]))

	// As wide as one another: the first is asked. 1 % × (0.2 − 0.05) = 0.5 % × (0.31 − 0.01)
	b = formulatest.Supplied(formulatest.Declared(t, formulatest.ScentSheet("fo-b"), ingredients.List2003,
		"Linalool", "0.01-0.31"), "Birch Supplies (invented)", "")
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo-a", "1", "fo-b",
		"0.5"), &formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), a, b)
	assert.Equal(t, "Alder Supplies (invented)", wordstest.Said(calctest.Finding(t, r, "allergen-open")).Ask)

	// In a portion with twice as much: 40 % of the pack with 1 % of 0.05 to 0.2 %, 60 %
	// with none.
	v := &formula.Variant{Portions: []formula.Portion{{Name: "moss", SharePct: formulatest.Num(t, "40"),
		Fill: []formula.Fill{formulatest.Fill("scent", "fo-a")}}, {Name: "plain", SharePct: formulatest.Num(t, "60")}}}
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":scent", "1"), v,
		"body-butter", rows.GB, 20261125, formulatest.Squalane(t), a)
	assert.Contains(t, wordstest.Said(calctest.Finding(t, r, "allergen-open")).Message,
		"0.0005 to 0.002 % of portion moss;")
}

// Two portions that hold the same: the first answers, and the whole where it holds
// as much as they do.
func TestFirstOfEqualPortions(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "1")
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":scent", "1")
	v := &formula.Variant{Portions: []formula.Portion{
		{Name: "one", SharePct: formulatest.Num(t, "30"), Fill: []formula.Fill{formulatest.Fill("scent", "fo")}},
		{Name: "two", SharePct: formulatest.Num(t, "30"), Fill: []formula.Fill{formulatest.Fill("scent", "fo")}},
		{Name: "plain", SharePct: formulatest.Num(t, "40")}}}
	r := calctest.Assess(t, p, v, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo)
	assert.Equal(t, "one", r.Allergens[0].WorstIn)
	v.Portions = v.Portions[:2]
	v.Portions[0].SharePct, v.Portions[1].SharePct = formulatest.Num(t, "50"), formulatest.Num(t, "50")
	r = calctest.Assess(t, p, v, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo)
	assert.Equal(t, "", r.Allergens[0].WorstIn)
}

// Against the longer list 57 of 81 names are not stated (allergens.md: 81 names less
// the 24 of the older list); without any declaration nothing is.
func TestDeclarationsAskedFor(t *testing.T) {
	fo := formulatest.Supplied(formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003,
		"Linalool", "3"), "Alder Supplies (invented)", "A-7")
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1"),
		&formula.Variant{}, "body-butter", rows.EU, 20261125, formulatest.Squalane(t), fo)
	f := calctest.Finding(t, r, "short-declaration")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "its allergens are declared against the 26 names of 2003 (Directive 2003/15/EC), which leaves out 57 of the 81 names on the EU list", wordstest.Said(f).Message)
	assert.Equal(t, "Alder Supplies (invented)", wordstest.Said(f).Ask)
	assert.Equal(t, "ask Alder Supplies (invented) for a declaration of fo (code A-7) against the list of Regulation (EU) 2023/1545", wordstest.Said(f).Fix)
	for _, a := range r.Allergens {
		assert.Equal(t, a.Verdict == listing.Unstated, len(a.Uncovered) > 0, a.LabelName)
	}

	asked := func(function, inci string) bool {
		m := formulatest.Sheet(t, "m", inci, "100")
		if function != "" {
			m.Functions = []string{"emollient", function}
		}
		r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "m", "1"),
			&formula.Variant{}, "body-butter", rows.EU, 20261125, formulatest.Squalane(t), m)
		fs := calctest.Findings(r, "no-declaration")
		for _, f := range fs {
			assert.Equal(t, finding.Ask, f.Severity)
			assert.Equal(t, "no allergen declaration is on file, so its allergens are unknown, which is not the same as none", wordstest.Said(f).Message)
			assert.Equal(t, "ask the supplier of m for the allergen declaration of m against the list of Regulation (EU) 2023/1545", wordstest.Said(f).Fix)
		}
		return len(fs) > 0
	}
	for _, word := range []string{"Fragrance", "perfuming", "SCENT", "flavouring"} {
		assert.True(t, asked(word, "Squalane"), word)
	}
	assert.False(t, asked("antioxidant", "Squalane"))
	assert.True(t, asked("", "Lavandula Angustifolia Oil"), "an entry of the list that is a plant's oil")
	assert.False(t, asked("", "Benzyl Alcohol"), "an entry that is one substance")
	scent := formulatest.ScentSheet("fo")
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1"),
		&formula.Variant{}, "body-butter", rows.EU, 20261125, formulatest.Squalane(t), scent)
	assert.Len(t, calctest.Findings(r, "no-declaration"), 1)
}

// CAS 8028-48-6 stands in two entries of the EU list, the orange's flower and its
// peel: the substance counts in each. Regulation (EU) 2023/1545.
func TestOneNumberOfTwoEntries(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Orange Tree Extract", "10")
	fo.Allergens.Declared[0].CAS = "8028-48-6"
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "0.5"),
		&formula.Variant{}, "body-butter", rows.EU, 20261125, formulatest.Squalane(t), fo)
	f := calctest.Finding(t, r, "allergen-entry")
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "its CAS number 8028-48-6 fits Citrus Aurantium Flower Oil and Citrus Aurantium Peel Oil; it is counted in each that it may be", wordstest.Said(f).Message)
	n := 0
	for _, a := range r.Allergens {
		if !a.Worst.IsZero() {
			n++
			assert.Equal(t, "0.05", a.Worst.Max.Exact()) // 0.5 × 10 %
			assert.Equal(t, "8028-48-6", a.CAS)
		}
	}
	assert.Equal(t, 2, n)
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "0.5"),
		&formula.Variant{}, "body-butter", rows.EU, 20261125, formulatest.Squalane(t),
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "10"))
	assert.Empty(t, calctest.Findings(r, "allergen-entry"))
}

// A declared name that is on no list is asked about, with or without a CAS number. Known names are passed over, also where the
// market's list lacks them.
func TestUnlistedAllergens(t *testing.T) {
	kind := func(name, cas string) []string {
		fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, name, "1")
		fo.Allergens.Declared[0].CAS = cas
		r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1"),
			&formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo)
		return formulatest.Codes(calctest.Findings(r, "unlisted-allergen"))
	}
	assert.Equal(t, []string{"ask unlisted-allergen"}, kind("Exemplum Fragrans", "64-17-5"))
	assert.Equal(t, []string{"ask unlisted-allergen"}, kind("Exemplum Fragrans", ""))
	assert.Empty(t, kind("Menthol", ""), "on the longer list of the EU")
	assert.Empty(t, kind("Linalool", ""))
	// a constituent that is declared nowhere is no declared name
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "100"), &formula.Variant{},
		"body-butter", rows.GB, 20261125, formulatest.Sheet(t, "base", "Exemplum Oleum", "100"))
	assert.Empty(t, calctest.Findings(r, "unlisted-allergen"))
}
