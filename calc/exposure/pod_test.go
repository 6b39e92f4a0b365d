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

// An amount that does not come to the printed figure is told where the two are more than
// rounding apart, either way, by hand: 7.82 g of 60 kg make 130.3 mg/kg bw/d, 2 % around it is
// 127.8 to 132.9.
func TestPrintedBesideTheAmount(t *testing.T) {
	notes := func(printed float64, grams, weight *formula.Stated) int {
		b := exposureBuilder{e: Exposure{ExposureG: grams, BodyWeightKg: weight, MgPerKg: &formula.Stated{Value: printed}}}
		b.printedBeside()
		return len(b.e.Notes)
	}
	grams, weight := &formula.Stated{Value: 7.82}, &formula.Stated{Value: 60}
	for printed, want := range map[float64]int{123.2: 1, 127: 1, 128: 0, 130.3: 0, 132: 0, 133.5: 1, 140: 1} {
		assert.Equal(t, want, notes(printed, grams, weight), printed)
	}
	assert.Zero(t, notes(123.2, nil, weight))
	assert.Zero(t, notes(123.2, grams, nil))
}

// What a margin starts from and nobody read is named: each kind of figure once, and what has
// no table is the maker's own.
func TestUnreadFiguresOfAMargin(t *testing.T) {
	unread := func(key string) formula.Stated { return formula.Stated{Table: "t.csv", Row: key, Seen: "memory"} }
	read := formula.Stated{Table: "t.csv", Row: "read", Seen: "seen"}
	loael, days, target := unread("loael"), unread("days"), unread("target")
	x := &start{absorption: Absorption{Pct: unread("skin")}, target: target,
		pod: &PoD{Table: "t.csv", Row: "pod", Seen: "partly", Systemic: unread("oral"), LOAELFactor: &loael,
			DurationFactor: &days}}
	names := func(swallowed bool) (out []string) {
		for _, f := range x.unread(swallowed) {
			out = append(out, f.What+" "+f.Row)
		}
		return out
	}
	assert.Equal(t, []string{"dermal absorption skin", "point of departure pod", "absorption in the study oral",
		"factor for the effect level loael", "factor for the length of the study days", "target target"}, names(false))
	assert.Equal(t, "oral absorption skin", names(true)[0])
	x.pod.Table, x.absorption.Pct, x.target = "", read, read
	loael.Table, days.Seen = "", "seen"
	assert.Equal(t, []string{"absorption in the study oral"}, names(false))
	x.pod = nil
	assert.Empty(t, names(false))

	// the values of a substance by what they come to for their targets: 100 of 100 before 30 of 25
	m := &Marginer{In: formulatest.OfType(t, "body-lotion", formula.Adults, nil)}
	var s start
	human := formula.Stated{Value: 25}
	s.choose([]PoD{{Type: "a", Unusable: "no", Threshold: true}, {Type: "b", Sys: 7, Threshold: true, Target: &human},
		{Type: "c", Sys: 9, Threshold: true}})
	assert.Equal(t, []any{"b", 7.0, 25.0, 2}, []any{s.pod.Type, s.sys, s.target.Value, len(s.others)})
	s = start{}
	s.choose([]PoD{{Type: "a", Sys: 7, Threshold: true}, {Type: "b", Threshold: false}})
	assert.Nil(t, s.pod, "no dose without effect is assumed")
	assert.Equal(t, []float64{25, 100}, []float64{m.targetOf(&PoD{Target: &human}), m.targetOf(&PoD{})})
}
