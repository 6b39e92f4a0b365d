package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/ingredients"
)

// exactly100 is a substance whose margin by the formulas is 100 to the last
// digit: where a figure of the fraction were wrong it would not be.
func exactly100(t *testing.T, name string, x *exposure.Margin) {
	t.Helper()
	assert.Equal(t, exposure.MarginReached, x.Verdict, name)
	assert.Equal(t, 100.0, x.MoS, name)
}

// Margins that are exactly their target, by hand:
//
//	LOAEL: 300 / 3 × 50 % = 50; SED 2 × 50 % × 50 % = 0.5
//	28 days: the same with the factor for the length of the study
//	per area: 25 µg/cm² × 0.001 × 500 cm² × 2 / 50 kg = 0.5; 100 × 50 % = 50
//	inhaled: face mist 24.14 × 1 % × 50 % + 0.0015015 × 1 % = 0.120715015 (see
//	TestInhalationByHand); 24.143003 × 50 % = 12.0715015
func TestMarginsExactlyAtTheTarget(t *testing.T) {
	exemplum := func(kind, pod, study string) *ingredients.Sheet {
		m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
		formulatest.Tox(t, m, kind, pod, "", "").Study = study
		return m
	}
	exactly100(t, "LOAEL", calctest.Margin(t,
		calctest.Job(t, "body-lotion", "50", exemplum("LOAEL", "300", ""), formulatest.Own(t, "relative", "2")),
		"Exemplum Acid"))
	exactly100(t, "28 days", calctest.Margin(t,
		calctest.Job(t, "body-lotion", "50", exemplum("NOAEL", "300", "rat, oral, 28 days"),
			formulatest.Own(t, "relative", "2")), "Exemplum Acid"))
	m := exemplum("NOAEL", "100", "")
	area := formulatest.Num(t, "25")
	m.Toxicology[0].DermalUgCm2 = &area
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "50", m,
		formulatest.Own(t, "g", "1", "area", "500", "times", "2", "weight", "50")), "Exemplum Acid")
	assert.True(t, x.SED.ByArea)
	exactly100(t, "per area", x)
	exactly100(t, "inhaled", calctest.Margin(t,
		calctest.Job(t, "face-mist", "1", exemplum("NOAEL", "24.143003", ""), nil), "Exemplum Acid"))
}

// For a child's skin the adult's dose per area is taken times the factor of its
// skin surface, 2.3 for the youngest (SCCNFP/0557/02):
//
//	6 µg/cm² × 0.001 × 565 cm² × 2.14 / 60 kg × 2.3 = 0.278093; 55.6186 × 50 % = 27.8093
func TestMarginPerAreaOfAChild(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	v := formulatest.Tox(t, m, "NOAEL", "55.6186", "", "")
	six := formulatest.Num(t, "6")
	v.DermalUgCm2 = &six
	x := calctest.Margin(t, calctest.Case{Product: "face-cream", Audience: formula.UnderThree}.Of(t, m, "1"),
		"Exemplum Acid")
	assert.True(t, x.SED.ByArea)
	assert.InDelta(t, 0.278093, x.SED.Max, 1e-12)
	exactly100(t, "child", x)
}

// All cosmetics together, 269 mg/kg bw/d, with the own product in place of the
// body lotion, 123.20, and a margin of exactly 100. The sheet's figures stand in
// for the table's:
//
//	own 31:   (145.8 + 31) × 1 % × 50 % = 0.884; 176.8 × 50 % = 88.4
//	own 0.5:  146.3 × 1 % × 50 % = 0.7315; 146.3 × 50 % = 73.15
//	under 3, own 0.3: (145.8 × 2.3 + 0.3) × 1 % × 50 % = 1.6782; 335.64 × 50 % = 167.82
func TestAggregateExactlyAtTheTarget(t *testing.T) {
	for _, c := range []struct {
		audience formula.Audience
		own, pod string
		added    float64
	}{{formula.Adults, "31", "176.8", 31}, {formula.Adults, "0.5", "146.3", 0.5},
		{formula.UnderThree, "0.3", "335.64", 0.3}} {
		m := formulatest.Sheet(t, "m", "Phenoxyethanol", "100")
		formulatest.Tox(t, m, "NOAEL", c.pod, "50", "").Replaces = true
		r := calctest.Case{Product: "body-lotion", Audience: c.audience,
			Change: func(p *formula.Product) { p.Exposure = formulatest.Own(t, "relative", c.own) }}.Of(t, m, "1")
		a := r.Aggregates[0]
		assert.Equal(t, c.added, a.OwnAdded)
		assert.Equal(t, exposure.MarginReached, a.Verdict, c.own)
		assert.Equal(t, 100.0, a.MoS, c.own)
	}
}
