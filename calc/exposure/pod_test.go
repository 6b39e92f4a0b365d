package exposure

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
)

// The types of values by their first letters; what is not known is no dose without
// effect.
func TestKindsOfValues(t *testing.T) {
	for kind, types := range map[podKind][]string{podEffect: {"NOAEL", "noel", "BMDL10", "No effect level"},
		podLowest: {"LOAEL", "LOEL"},
		podIntake: {"ADI", "TDI", "TWI", "PTWI", "UL", "ARfD", "RfD", "DNEL", "tolerable intake",
			"acceptable intake"}, podTumour: {"T25", "TD50"}, podUnknown: {"LD50", ""}} {
		for _, name := range types {
			assert.Equal(t, kind, kindOf(table.Builtin(), name), name)
		}
	}
}

// Studies of a sheet, their length and route, in words.
func TestStudiesOfASheet(t *testing.T) {
	for _, c := range []struct {
		study string
		days  float64
		ok    bool
	}{
		{"28 days", 28, true}, {"28-day", 28, true}, {"4 weeks", 28, true}, {"13 week", 91, true},
		{"14 days, then 90 days", 90, true}, {"90 days after 14 days", 90, true},
		{"two generations", 0, false}, {"reproduction, 28 days", 0, false}, {"gestation, 14 days", 0, false},
		{"teratology 10 days", 0, false}, {"development 10 days", 0, false}, {"", 0, false},
		{"99999999999999999999 days", 0, false},
	} {
		days, ok := studyDays(table.Builtin(), c.study)
		assert.Equal(t, c.days, days, c.study)
		assert.Equal(t, c.ok, ok, c.study)
	}
	for word, want := range map[string]podKind{"NOAEL": podEffect, " noel": podEffect, "BMDL10": podEffect,
		"LOAEL": podLowest, "LOEL": podLowest, "ADI": podIntake, "TDI": podIntake,
		"ARfD": podIntake, "T25": podTumour, "TD50": podTumour, "": podUnknown, "about 5": podUnknown} {
		assert.Equal(t, want, kindOf(table.Builtin(), word), word)
	}
	assert.Equal(t, []int{0, 1}, []int{boolRank(false), boolRank(true)})
}

// The absorption of the study that an assessor's figure stands for is the lowest of those
// known, in whatever order the rows come.
func TestAbsorptionOfAnAssessorsFigure(t *testing.T) {
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	m := &Marginer{In: in}
	low, high := &safety.Tox{OralPct: &rows.Figure{Value: 20}}, &safety.Tox{OralPct: &rows.Figure{Value: 40}}
	j := &formula.Judged{PoD: formulatest.Ptr(formulatest.Num(t, "100"))}
	for _, list := range [][]*safety.Tox{{low, high}, {high, low}, {low}} {
		k := &knowledge{published: &published{Rows: list, Uses: map[*safety.Tox]safety.ToxUse{}}, judged: j}
		p := m.ofJudged(j, nil, k, &Absorption{})
		assert.Equal(t, []float64{20, 20}, []float64{p.Systemic.Value, p.Sys})
		// a value that it replaces had less
		p = m.ofJudged(j, []PoD{{Route: "oral", Systemic: formula.Stated{Value: 10}}}, k, &Absorption{})
		assert.Equal(t, 10.0, p.Systemic.Value)
		p = m.ofJudged(j, []PoD{{Route: "dermal", Systemic: formula.Stated{Value: 10}}}, k, &Absorption{})
		assert.Equal(t, "dermal", p.Route)
	}
}

// What a row tells of its study: a factor of 3 for one of at most 28 days
// (duration-factor-28d), none for longer ones, for those of reproduction and for people;
// a study of single doses is none to start from.
func TestTypedStudies(t *testing.T) {
	m := &Marginer{In: formulatest.OfType(t, "body-lotion", formula.Adults, nil)}
	for _, c := range []struct {
		study  safety.Study
		factor float64
		single bool
		route  string
	}{
		{safety.Study{Route: "oral", Days: 28}, m.fact("duration-factor-28d").Value, false, "oral"},
		{safety.Study{Days: 29}, 1, false, "oral"},
		{safety.Study{Days: 1}, m.fact("duration-factor-28d").Value, false, "oral"},
		{safety.Study{Days: 0}, 1, false, "oral"},
		{safety.Study{Route: "dermal", Days: 90}, 1, false, "dermal"},
		{safety.Study{Kind: "reproduction", Days: 20}, 1, false, "oral"},
		{safety.Study{Kind: "screening", Days: 28}, 1, false, "oral"},
		{safety.Study{Species: "human", Days: 14}, 1, false, "oral"},
		{safety.Study{Kind: "acute", Days: 1}, 1, true, "oral"},
	} {
		p := PoD{Type: "NOAEL", Value: 300, Route: "oral"}
		m.typed(&p, &c.study)
		assert.Equal(t, []any{c.factor, c.single, c.route}, []any{p.DurationFactor.Or(1), p.Single, p.Route}, c.study)
		if c.factor > 1 {
			assert.Contains(t, p.DurationFactor.Note, "study of ")
		}
		p.finish(m, formula.Stated{Value: 50}, "", &Absorption{Pct: formula.Stated{Value: 50}})
		assert.Equal(t, c.single, p.Unusable != "")
		assert.Equal(t, 150/c.factor, p.Sys)
	}
	p := PoD{Route: "oral"}
	m.typed(&p, nil)
	assert.Equal(t, PoD{Route: "oral"}, p)
}
