package calc_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/ingredients"
)

func numbered(s *ingredients.Sheet, cas ...string) *ingredients.Sheet {
	for i, c := range cas {
		s.Composition.Constituents[i].CAS = c
	}
	return s
}

func preservative(s *ingredients.Sheet) *ingredients.Sheet {
	s.Functions = []string{"preservative"}
	return s
}

// One substance under two names counts once: benzyl alcohol 0.76 % and the same
// as phenylmethanol 0.675 % are 1.435 %, above the 1.0 % of Annex V/34. Worked
// by hand.
func TestOneSubstanceUnderTwoNames(t *testing.T) {
	for _, second := range []string{"Phenylmethanol", "Benzylalcohol", "Benzyl Alcohol"} {
		p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "one", "0.76", "two", "0.9")
		r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
			formulatest.Sheet(t, "water", "Aqua", "100"),
			preservative(numbered(formulatest.Sheet(t, "one", "Benzyl Alcohol", "100"), "100-51-6")),
			preservative(numbered(formulatest.Sheet(t, "two", second, "75", "Aqua", "25"), "100-51-6", "7732-18-5")))
		var found *limits.LimitCheck
		for i := range r.Limits {
			if r.Limits[i].Row.Entry == "34" && r.Limits[i].Row.Annex == "V" {
				require.Nil(t, found, "one check for one substance")
				found = &r.Limits[i]
			}
		}
		require.NotNil(t, found, second)
		assert.Equal(t, "1.435", found.Content.Max.Exact(), second)
		assert.Equal(t, limits.LimitExceeded, found.Verdict, second)
	}
}

// Two listed names with one CAS number are joined for limits and margins, and
// stay two names in the list: limonene 0.1 % and d-limonene 0.05 % give one
// margin at 0.15 %.
func TestMarginsJoinByNumber(t *testing.T) {
	a := formulatest.Declared(t, formulatest.ScentSheet("fo-a"), ingredients.List2023, "Limonene", "10")
	b := formulatest.Declared(t, formulatest.ScentSheet("fo-b"), ingredients.List2023, "d-Limonene", "5")
	a.Allergens.Declared[0].CAS, b.Allergens.Declared[0].CAS = "5989-27-5", "5989-27-5"
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo-a", "1", "fo-b", "1")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "base", "Squalane", "100"), a, b)
	var contents []string
	for _, m := range r.Margins {
		if m.CAS == "5989-27-5" {
			contents = append(contents, m.Content.Max.Exact())
		}
	}
	assert.Equal(t, []string{"0.15"}, contents)
	assert.Equal(t, "0.15", totals(r)["Limonene"][1])
}

// A label name that is misspelt and has no number is asked about: it would be
// missing on the label.
func TestMisspeltAllergenIsAsked(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "0.5")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "base", "Squalane", "100"),
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalyl Acetete", "32.5"))
	assert.Contains(t, formulatest.Codes(r.Findings), "ask unlisted-allergen")
}
