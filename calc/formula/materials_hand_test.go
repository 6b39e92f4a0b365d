package formula

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// What is said of sheets whose compositions do not add up, by hand.
func TestCompositionsInWords(t *testing.T) {
	dict := ingredients.NewDictionary()
	one := func(s *ingredients.Sheet) finding.Finding {
		m := Prepare(supplied(s, "Alder Supplies (invented)", "A-7"), dict)
		require.Len(t, m.Findings, 1)
		return m.Findings[0]
	}
	f := one(sheet(t, "m", "A", "60-70", "B", "50", "C", "0-1"))
	assert.Equal(t, []string{"stop impossible-composition"}, codes([]finding.Finding{f}))
	assert.Equal(t, "the constituents cannot add up to 100 %: the lowest contents already make 60 + 50 + 0 = 110 %", wordstest.Said(f).Message)
	assert.Equal(t, "correct the contents against the supplier's document; a range in ppm needs its unit",
		wordstest.Said(f).Fix)
	f = one(sheet(t, "m", "A", "60-70", "B", "10"))
	assert.Equal(t, "the constituents cannot add up to 100 %: the highest contents make only 70 + 10 = 80 %",
		wordstest.Said(f).Message)
	assert.Equal(t, "add the missing constituent, write q.s. for the one that takes the rest, or set complete: false", wordstest.Said(f).Fix)
	f = one(sheet(t, "m", "A", "70", "Aqua", "q.s.", "B", "40"))
	assert.Equal(t, "the constituents cannot add up to 100 %: the lowest contents already make 70 + 40 = 110 %",
		wordstest.Said(f).Message)

	part := sheet(t, "m", "A", "40")
	part.Composition.Complete = false
	f = one(part)
	assert.Equal(t, []string{"ask undeclared-remainder"}, codes([]finding.Finding{f}))
	assert.Equal(t, "part of it is undisclosed, so it could not be checked against any limit", wordstest.Said(f).Message)
	assert.Equal(t, "ask Alder Supplies (invented) for the full composition of m (code A-7)", wordstest.Said(f).Fix)
	m := Prepare(part, dict)
	require.Len(t, m.Parts, 2)
	assert.Equal(t, []string{"undeclared part of m", "60", "not supplied"},
		[]string{m.Parts[1].INCI, m.Parts[1].Pct.Typ.Exact(), m.Parts[1].Given})
	assert.True(t, m.Parts[1].Undeclared)
	part.Composition.HeldByAssessor = true
	f = one(part)
	assert.Equal(t, []string{"note undeclared-remainder"}, codes([]finding.Finding{f}))
	assert.Equal(t, "part of its composition is known only to the assessor, who holds it in confidence",
		wordstest.Said(f).Message)
	assert.Equal(t, "let the assessor check limits and allergens of the part that is not disclosed here",
		wordstest.Said(f).Fix)

	// all of it declared after all: no part is left
	full := sheet(t, "m", "A", "100")
	full.Composition.Complete = false
	assert.Len(t, Prepare(full, dict).Parts, 1)
	none := sheet(t, "m", "A", "100", "B", "0")
	assert.Len(t, Prepare(none, dict).Parts, 2, "a constituent of 0 % stays")

	scent := scentSheet("fo")
	m = Prepare(scent, dict)
	require.Len(t, m.Parts, 1)
	assert.Empty(t, m.Findings)
	assert.Equal(t, []string{"Parfum", "100", "not disclosed"},
		[]string{m.Parts[0].INCI, m.Parts[0].Pct.Typ.Exact(), m.Parts[0].Given})
	assert.False(t, m.Parts[0].Undeclared)
	scent.LabelAs = ingredients.LabelAroma
	assert.Equal(t, "Aroma", Prepare(scent, dict).Parts[0].INCI)

	// declared contents: exactly 100 % can be, and lowest contents count
	fs := declarationFindings(declared(t, scentSheet("fo"), ingredients.List2023, "A", "60-90", "B", "40-80"), dict)
	assert.Empty(t, fs)
	fs = declarationFindings(declared(t, scentSheet("fo"), ingredients.List2023, "A", "60", "B", "40.5"), dict)
	require.Len(t, fs, 1)
	assert.Equal(t, "the declared allergens add up to 100.5 % of it, which is more than the whole",
		wordstest.Said(fs[0]).Message)
	twice := declared(t, scentSheet("fo"), ingredients.List2023, "A", "1", "B", "1", "a", "2")
	twice.Allergens.Declared[0].Pos.Line = 4
	fs = declarationFindings(twice, dict)
	require.Len(t, fs, 1)
	assert.Equal(t, "a is declared twice, first on line 4, and both are added", wordstest.Said(fs[0]).Message)
}

// Substances under one CAS number are joined, nano forms apart; what has no number or
// is undeclared is left alone.
func TestJoinedNumbers(t *testing.T) {
	s := func(inci, cas, pct string) *Substance {
		return &Substance{INCI: inci, CAS: cas, MergeKey: SubstanceKey(inci, false), Pct: rangeOf(t, pct),
			Total: rangeOf(t, pct), Contributions: []Contribution{{Ingredient: inci}}}
	}
	comp := func(ss ...*Substance) *Composition { return &Composition{Substances: ss} }
	assert.Equal(t, []string{"64-17-5", "64-17-5 (nano)", "", ""},
		[]string{numberKey(&Substance{CAS: "64-17-5"}), numberKey(&Substance{CAS: "64-17-5", Nano: true}),
			numberKey(&Substance{}), numberKey(&Substance{CAS: "64-17-5", Undeclared: true})})
	single := []*Composition{comp(s("A", "64-17-5", "1"), s("B", "67-56-1", "2"), s("C", "", "3"), s("D", "", "4"))}
	assert.Same(t, single[0], JoinNumbers(single)[0])
	pair := []*Composition{comp(s("A", "64-17-5", "1"), s("B", "67-56-1", "2"), s("E", "64-17-5", "0.5")),
		comp(s("E", "64-17-5", "0.5"))}
	got := JoinNumbers(pair)
	require.Len(t, got, 2)
	require.Len(t, got[0].Substances, 2)
	a := got[0].Substances[0]
	assert.Equal(t, []string{"A", "1.5", "1.5"}, []string{a.INCI, a.Pct.Typ.Exact(), a.Total.Max.Exact()})
	assert.Len(t, a.Contributions, 2)
	assert.Same(t, a, got[0].Named("a"))
	assert.Equal(t, "A", got[1].Substances[0].INCI, "under the first name of the whole in a portion too")
	assert.Equal(t, "1", pair[0].Substances[0].Pct.Typ.Exact(), "what was joined stays as it was")
}

func TestFiguresBesideBounds(t *testing.T) {
	assert.Equal(t, "1000", FigureText(999.96))
	assert.Equal(t, "1", FigureText(0.99999))
	assert.Equal(t, "-12.35", FigureText(-12.345001))
	assert.Equal(t, "99.99", FigureBeside(99.99, 100))
	assert.Equal(t, "99.996", FigureBeside(99.996, 100), "with four digits it would stand at the bound")
	assert.Equal(t, "100", FigureBeside(100, 100))
	assert.Equal(t, "100.1", FigureBeside(100.1, 100))
	assert.Equal(t, "0", FigureDown(0))
	assert.Equal(t, "0", FigureDown(-1))
	assert.Equal(t, "123", FigureDown(123.9))
	assert.Equal(t, "99.9", FigureDown(99.99))
	assert.Equal(t, "0.3", FigureDown(0.3))
	assert.Equal(t, "0.00123", FigureDown(0.0012399))
	assert.Equal(t, 0.0, ParseFigure("none"))
	assert.Equal(t, 2.5, ParseFigure("2.5"))
}
