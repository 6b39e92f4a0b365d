package limits

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func clause(except bool, terms ...string) condition.Clause {
	c := condition.Clause{Except: except}
	for _, text := range terms {
		kind, value, _ := strings.Cut(text, ":")
		c.Terms = append(c.Terms, condition.Term{Kind: kind, Value: value})
	}
	return c
}

func TestConditionsInWords(t *testing.T) {
	for _, c := range []struct {
		want    string
		clauses []condition.Clause
	}{
		{"in any product", nil},
		{"in any product", []condition.Clause{clause(false, "all")}},
		{"in rinse-off products", []condition.Clause{clause(false, "rinse-off")}},
		{"in products other than oral products", []condition.Clause{clause(true, "product:oral")}},
		{"in products other than those for the lips", []condition.Clause{clause(true, "area:lip")}},
		{"in leave-on products, except oral products and sprays", []condition.Clause{clause(false, "leave-on"), clause(true, "product:oral", "spray")}},
		{"as a preservative in rinse-off products", []condition.Clause{clause(false, "function:preservative"), clause(false, "rinse-off")}},
		{"as the nano form in sprays", []condition.Clause{clause(false, "nano"), clause(false, "spray")}},
		{"in shampoos or body lotions that are sprays for the hands", []condition.Clause{clause(false, "product:shampoo", "product:body-lotion"), clause(false, "spray"), clause(false, "area:hand")}},
		{"in products that users can breathe in", []condition.Clause{clause(false, "inhalable")}},
		{"in hair dyes for professional use", []condition.Clause{clause(false, "product:hair-dye"), clause(false, "professional")}},
		{"in hair dyes that are also shampoos", []condition.Clause{clause(false, "product:hair-dye"), clause(false, "product:shampoo")}},
		{"in products for children under 3 or children", []condition.Clause{clause(false, "population:under-3", "population:children")}},
		{"in products against sun", []condition.Clause{clause(false, "claim:sun-protection")}},
	} {
		assert.Equal(t, c.want, conditionWords(condition.Condition{Clauses: c.clauses}))
	}
	assert.Equal(t, "not for oral products", clauseWords(clause(true, "product:oral")))
	assert.Equal(t, "for sprays, loose powders or nail products", clauseWords(clause(false, "spray", "loose-powder", "product:nail")))
	assert.Equal(t, "those for the lips", those("products for the lips"))
	assert.Equal(t, "sprays", those("sprays"))
	assert.Equal(t, []string{"", "a", "a or b", "a, b or c"}, []string{joinOr(nil), joinOr([]string{"a"}), joinOr([]string{"a", "b"}), joinOr([]string{"a", "b", "c"})})
	for text, want := range map[string]string{"product:bath-salts": "bath salts", "product:soap-bar": "soap bars", "form:stick": "stick", "claim:new": "new", "area:elbow": "products for elbow", "unknown": "unknown"} {
		kind, value, _ := strings.Cut(text, ":")
		assert.Equal(t, want, termWords(condition.Term{Kind: kind, Value: value}), text)
	}
	over := condition.Term{Kind: "released-formaldehyde>", Over: formulatest.Num(t, "0.001")}
	assert.Equal(t, "more than 0.001 % released formaldehyde", termWords(over))
	assert.Equal(t, "in products that release more than 0.001 % formaldehyde", conditionWords(condition.Condition{Clauses: []condition.Clause{{Terms: []condition.Term{over}}}}))
	assert.Equal(t, "material with 0.1 % butadiene or more", termWords(condition.Term{Kind: "butadiene>=", Over: formulatest.Num(t, "0.1")}))
}

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
		return finding.NewFinding(s, code, exact.Pos{}, formula.With().Num("limit", formulatest.Num(t, "1"), "%", finding.AsIs)).On("X").By(finding.TheSupplier)
	}
	day := exact.Date(20270101)
	got := comingFinding(f("over-limit", finding.Stop), day)
	assert.Equal(t, []string{"ask coming-limit"}, formulatest.Codes([]finding.Finding{got}))
	assert.Equal(t, "over-limit", got.Inner.Code)
	assert.Equal(t, "the maker", wordstest.Said(got).Ask)
	assert.Equal(t, "X", got.Subject)
	at, ok := got.Values.Get("day")
	assert.True(t, ok)
	assert.Equal(t, day, at.Date)
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
	assert.Equal(t, []stopKey{{"over-limit", "X"}}, stopKeys([]finding.Finding{f("over-limit", finding.Stop), f("x", finding.Ask), f("y", finding.Note)}))
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
		return LimitCheck{Row: &annex.Limit{Row: rows.Row{Key: key}}, Substances: []string{"A"}, LimitPct: formulatest.Ptr(formulatest.Num(t, limit)), HighestPct: formulatest.Ptr(formulatest.Num(t, limit)), Content: formulatest.Range(t, "5"), Verdict: verdict, Missing: missing}
	}
	keys := func(verdict LimitVerdict, checks ...LimitCheck) []string {
		var out []string
		for _, c := range tightest(checks, verdict, false) {
			out = append(out, c.Row.Key)
		}
		return out
	}
	undecided := []LimitCheck{check("1", "2", LimitUndecided, "age"), check("2", "3", LimitUndecided, "function"), check("3", "1", LimitUndecided, "age"), check("4", "1", LimitKept)}
	assert.Equal(t, []string{"3", "2"}, keys(LimitUndecided, undecided...))
	assert.Equal(t, []string{"6"}, keys(LimitExceeded, check("5", "2", LimitExceeded), check("6", "1", LimitExceeded)))
}
