package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Which of several rows speaks for a substance.
func TestWhichRowAllowsLess(t *testing.T) {
	row := &annex.Limit{}
	check := func(kind checkKind, limit, highest string) LimitCheck {
		c := LimitCheck{Row: row, Substances: []string{"X"}, Verdict: LimitExceeded, Shape: checkShape{Kind: kind}}
		if limit != "" {
			c.LimitPct = formulatest.Ptr(formulatest.Num(t, limit))
		}
		if highest != "" {
			c.HighestPct = formulatest.Ptr(formulatest.Num(t, highest))
		}
		return c
	}
	together, prohibited, none := check(checkTogether, "", ""), check(CheckProhibited, "", ""), check(checkNone, "", "")
	half, one, nothing := check(CheckFigure, "0.5", "0.4"), check(CheckFigure, "1", "1"), check(CheckFigure, "0.5", "")
	order := []LimitCheck{together, prohibited, nothing, half, one, none}
	for i, a := range order {
		for j, b := range order {
			assert.Equal(t, i < j, allowsLess(a, b), "%d before %d", i, j)
		}
	}
	var got []string
	other := half
	other.Substances = []string{"Y"}
	passed := half
	passed.Verdict = LimitKept
	for _, c := range tightest([]LimitCheck{one, other, passed, half, one}, LimitExceeded, false) {
		got = append(got, c.Substances[0]+" "+c.HighestPct.Exact())
	}
	assert.Equal(t, []string{"X 0.4", "Y 0.4"}, got)

	both := check(CheckFigure, "1", "1")
	both.Substances = []string{"B", "A"}
	assert.Equal(t, "A|B", subjectKey(&both))
	assert.Equal(t, []string{"B", "A"}, both.Substances, "left in their order")
	both.Row = &annex.Limit{Own: true}
	assert.Equal(t, "own|A|B", subjectKey(&both))
	assert.Equal(t, "B + A", subjectOf(both))
	together.Row = &annex.Limit{SumGroup: "g"}
	assert.Equal(t, "together|g", subjectKey(&together))

	assert.True(t, worthAsking(&half))
	assert.True(t, worthAsking(&prohibited))
	assert.False(t, worthAsking(&none))
	none.Row = &annex.Limit{LabelText: "avoid the eyes", Annex: "III"}
	assert.True(t, worthAsking(&none))
	none.Row = &annex.Limit{LabelText: "avoid the eyes", Annex: "IV"}
	assert.False(t, worthAsking(&none))
	residue := check(checkResidue, "0.5", "")
	assert.True(t, worthAsking(&residue))
	residue.Row = &annex.Limit{Spec: []string{"purity_pct>=99"}}
	assert.False(t, worthAsking(&residue))
}

// A finding points at the line that brings most, the first of equals, and at the sheet
// where no line is known.
func TestPlaceOfALimit(t *testing.T) {
	at := func(pairs ...any) exact.Pos {
		var c LimitCheck
		for i := 0; i < len(pairs); i += 2 {
			k := formula.Contribution{Pct: formulatest.Range(t, pairs[i].(string)), SourcePos: exact.Pos{File: "s", Line: 99}}
			if line := pairs[i+1].(int); line > 0 {
				k.LinePos = exact.Pos{File: "p", Line: line}
			}
			c.Contributions = append(c.Contributions, k)
		}
		return PosOf(c)
	}
	assert.Equal(t, 2, at("0.1-0.2", 1, "0.1-0.3", 2, "0.2", 3).Line)
	assert.Equal(t, 1, at("0.3", 1, "0.1-0.3", 2).Line)
	assert.Equal(t, 1, at("0", 1, "0", 2).Line)
	assert.Equal(t, "s", at("0.3", 0).File)
	assert.True(t, at().IsZero())
}

func TestFindingsOfALaterDay(t *testing.T) {
	f := func(code string, s finding.Severity) finding.Finding {
		return finding.NewFinding(s, code, exact.Pos{},
			formula.With().Num("limit", formulatest.Num(t, "1"), "%", finding.AsIs)).On("X").By(finding.TheSupplier)
	}
	day := exact.Date(20270101)
	got := comingFinding(f("over-limit", finding.Stop), day)
	assert.Equal(t, []string{"ask coming-limit"}, formulatest.Codes([]finding.Finding{got}))
	assert.Equal(t, "over-limit", got.Inner.Code)
	assert.Equal(t, "the maker", wordstest.Said(got).Ask)
	assert.Equal(t, "X", got.Subject)
	at, ok := got.Values.Get("day")
	assert.True(t, ok)
	assert.Equal(t, day, at.Date())
	got = comingFinding(f("limit-undecided", finding.Ask), day)
	assert.Equal(t, []string{"note coming-limit"}, formulatest.Codes([]finding.Finding{got}))
	assert.Equal(t, []finding.Party{finding.TheSupplier}, got.Who)
	got = comingFinding(f("label-wording", finding.Stop), day)
	assert.Equal(t, []string{"note coming-label"}, formulatest.Codes([]finding.Finding{got}))

	a, b := f("over-limit", finding.Stop), f("over-limit", finding.Stop)
	b.Values = formula.With().Num("limit", formulatest.Num(t, "2"), "%", finding.AsIs)
	assert.Equal(t, changeKey(a), changeKey(b), "the same on another day")
	b.Subject = "Y"
	assert.NotEqual(t, changeKey(a), changeKey(b))
	assert.NotEqual(t, changeKey(a), changeKey(f("over-limit", finding.Ask)))
	assert.NotEqual(t, changeKey(a), changeKey(f("prohibited", finding.Stop)))
	a, b = f("label-wording", finding.Note), f("label-wording", finding.Ask)
	assert.Equal(t, changeKey(a), changeKey(b))
	b.Values = formula.With().Quote("text", "avoid the eyes")
	assert.NotEqual(t, changeKey(a), changeKey(b))
	assert.Equal(t, []stopKey{{"over-limit", "X"}},
		stopKeys([]finding.Finding{f("over-limit", finding.Stop), f("x", finding.Ask), f("y", finding.Note)}))
}

// Remedies name the materials whose sheets to change, each once.
func TestMaterialsInRemedies(t *testing.T) {
	run := handRun(t)
	run.In.Sheets = map[string]*ingredients.Sheet{"a": {ID: "a", Name: "Alder"}, "b": {ID: "b", Name: "Birch"}}
	var c LimitCheck
	for _, id := range []string{"a", "", "gone", "a", "b"} {
		c.Contributions = append(c.Contributions, formula.Contribution{Ingredient: id})
	}
	list := run.filesOf(c)
	require.Len(t, list, 2)
	assert.Equal(t, []string{"Alder", "Birch"}, []string{list[0].Text, list[1].Text})
	assert.Equal(t, []string{"a", "b"}, []string{list[0].ID, list[1].ID})
}

// One substance that two rows leave open for different facts is asked about for each,
// for the same facts once, in the row that allows least.
func TestTightestOfEachQuestion(t *testing.T) {
	check := func(key, limit string, verdict LimitVerdict, missing ...string) LimitCheck {
		return LimitCheck{Row: &annex.Limit{Row: rows.Row{Key: key}}, Substances: []string{"A"},
			LimitPct:   formulatest.Ptr(formulatest.Num(t, limit)),
			HighestPct: formulatest.Ptr(formulatest.Num(t, limit)), Content: formulatest.Range(t, "5"),
			Verdict: verdict, Missing: missing}
	}
	keys := func(verdict LimitVerdict, checks ...LimitCheck) []string {
		var out []string
		for _, c := range tightest(checks, verdict, false) {
			out = append(out, c.Row.Key)
		}
		return out
	}
	undecided := []LimitCheck{check("1", "2", LimitUndecided, "age"),
		check("2", "3", LimitUndecided, "function"), check("3", "1", LimitUndecided, "age"), check("4", "1", LimitKept)}
	assert.Equal(t, []string{"3", "2"}, keys(LimitUndecided, undecided...))
	assert.Equal(t, []string{"6"}, keys(LimitExceeded, check("5", "2", LimitExceeded), check("6", "1", LimitExceeded)))
}
