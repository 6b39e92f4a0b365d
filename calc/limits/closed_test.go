package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// Materials of invented substances against the closed lists: what is on no list is
// named, carriers beside it are not.
func TestClosedListsByHand(t *testing.T) {
	c := calctest.Case{Product: "face-cream"}
	list := func(code string, s *ingredients.Sheet) []finding.Finding {
		return calctest.Findings(c.Of(t, s, "1"), code)
	}
	one := func(code string, s *ingredients.Sheet) finding.Finding {
		t.Helper()
		fs := list(code, s)
		require.Len(t, fs, 1)
		return fs[0]
	}
	f := one("not-listed-preservative",
		formulatest.Material(t, "x", "preservative", "Exemplum Extract", "50", "Glycerin", "50"))
	assert.Equal(t, finding.Stop, f.Severity)
	assert.Equal(t, "it is used as a preservative, but nothing in it is on the list of permitted preservatives (annex V): Exemplum Extract", wordstest.Said(f).Message)
	f = one("not-listed-preservative", formulatest.Material(t, "x", "preservative", "Glycerin", "100"))
	assert.Equal(t, "it is used as a preservative, but nothing in it is on the list of permitted preservatives (annex V): Glycerin", wordstest.Said(f).Message)
	f = one("not-listed-preservative",
		formulatest.Material(t, "x", "preservative;mild preservative", "Exemplum Extract", "100"))
	assert.Equal(t, finding.Stop, f.Severity, "the first function is what it is there for, also where it is said twice")
	f = one("not-listed-preservative",
		formulatest.Material(t, "x", "preservative;mild preservative", "Phenoxyethanol", "70", "Exemplum Extract", "30"))
	assert.Equal(t, "Exemplum Extract in it is not on the list of permitted preservatives (annex V): is it meant to preserve?", wordstest.Said(f).Message)
	f = one("not-listed-preservative", formulatest.Material(t, "x", "preservative", "CI 15985", "100"))
	assert.Contains(t, wordstest.Said(f).Message, ": CI 15985", "a colour may be listed, and not to preserve")

	f = one("not-listed-colourant", formulatest.Material(t, "x", "colour", "Exemplum Extract", "100"))
	assert.Contains(t, wordstest.Said(f).Message, "it is used as a colourant")
	f = one("not-listed-colourant", formulatest.Material(t, "x", "colour", "CI 99999", "100"))
	assert.Equal(t, "it is not on the list of permitted colourants", wordstest.Said(f).Message, "said of the number, once")

	scent := formulatest.ScentSheet("x")
	scent.Functions = []string{"fragrance", "preservative"}
	assert.Empty(t, list("not-listed-preservative", scent), "what a scent holds is not disclosed")
	hidden := formulatest.Material(t, "x", "preservative")
	hidden.Composition.Complete = false
	assert.Empty(t, list("not-listed-preservative", hidden), "nothing is known of it")
}

// Benzyl salicylate has limits from 2027 and none for lip products: the rows are
// named with their uses. As a trace it is a note; a rule of the maker's own is no
// line of the law.
func TestNoLineByHand(t *testing.T) {
	lip := calctest.Case{Product: "lip-balm", Day: 20270101}
	f := calctest.Finding(t, lip.Of(t,
		formulatest.Declared(t, formulatest.ScentSheet("aroma"), ingredients.List2023, "Benzyl Salicylate", "1"),
		"0.5"), "no-line")
	assert.Contains(t, wordstest.Said(f).Why, "rows in force on 2027-01-01: III-")
	assert.Contains(t, wordstest.Said(f).Why, " (in ")
	assert.Contains(t, wordstest.Said(f).Why, "; III-")
	assert.Equal(t, []string{"0.5 % of aroma × 1 % in it = 0.005 %"}, formulatest.Terms(f))
	f = calctest.Finding(t, lip.Of(t,
		formulatest.Impure(t, formulatest.Pure(t, "emollient", "Glycerin"), "Benzyl Salicylate", "0.1"), "5"), "no-line")
	assert.Equal(t, finding.Note, f.Severity)

	in := calctest.Case{Product: "shower-gel"}.Of(t, formulatest.Pure(t, "emollient", "Squalane"), "6").Input
	own := *in
	own.Session = formula.NewSession(table.Builtin().WithLimits(ownRules(t, "house-1,own,house,EU+GB,Squalane,,,leave-on,5")))
	assert.Empty(t, calctest.Findings(calc.Assess(&own), "no-line"))
}

// Class entries let entries, whole annexes and substances out, one by one.
func TestClassEntriesLetOut(t *testing.T) {
	run := handRun(t)
	row := &annex.Limit{Annex: "II", Entry: "46", Class: annex.ClassNames, Exempt: []string{"V/16", "IV"},
		ExemptNames: []string{"barium sulfate"}}
	use := func(inci, which, entry string) *limits.LimitUse {
		u := &limits.LimitUse{S: &formula.Substance{INCI: inci}}
		if which != "" {
			u.Matches = []limits.RowMatch{{Row: &annex.Limit{Annex: which, Entry: entry}}}
		}
		return u
	}
	assert.True(t, run.Lets(use("Barium Sulfate", "", ""), row))
	assert.True(t, run.Lets(use("Barium Lake", "IV", "9"), row))
	assert.True(t, run.Lets(use("Barium Exemplate", "V", "16"), row))
	assert.False(t, run.Lets(use("Barium Exemplate", "III", "9"), row))
	assert.False(t, run.Lets(use("Barium Exemplate", "", ""), row))
	silent := &annex.Limit{Annex: "II", Entry: "46", Class: annex.ClassNames}
	assert.False(t, run.Lets(use("Barium Lake", "IV", "9"), silent))

	// a name with two elements is asked about once, with where it comes from
	r := calctest.Case{Product: "face-cream"}.Of(t,
		formulatest.Material(t, "x", "bulking", "Lead Barium Exemplate", "100"), "1")
	f := calctest.Finding(t, r, "class-member")
	assert.Equal(t, []string{"1 % of x × 100 % in it = 1 %"}, formulatest.Terms(f))
}
