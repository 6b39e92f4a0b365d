package calc

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients"
)

// A highest content is cut, never raised: just below each figure of three digits
// it must not print as that figure.
func TestFigureDownIsNeverAbove(t *testing.T) {
	for _, power := range []string{"e-9", "e-5", "e-3", "e-2", "e-1", "e0"} {
		for k := 100; k < 1000; k++ {
			whole := parseFigure(strconv.Itoa(k) + power)
			assert.LessOrEqual(t, parseFigure(figureDown(whole)), whole)
			below := math.Nextafter(whole, 0)
			assert.Less(t, parseFigure(figureDown(below)), whole, "%d%s", k, power)
			assert.Greater(t, parseFigure(figureDown(below)), 0.98*whole, "at most one of a hundred is cut off")
		}
	}
	assert.Equal(t, "0", figureDown(-1))
}

// A figure takes four digits, or as many more as it needs to stand on the same
// side of its bound as before rounding.
func TestFigureBesideItsBound(t *testing.T) {
	for _, c := range []struct {
		figure, bound float64
		want          string
	}{
		{1.23456, 2, "1.235"},
		{99.99996, 100, "99.99996"}, // 100.0, 100.00 and 100.000 would stand on the bound
		{99.996, 100, "99.996"},
		{100.00004, 100, "100.00004"},
		{23.0004, 23, "23.0004"}, // not "23 is above 23"
		{100, 100, "100"},
		{0, 1, "0"},
		{12345, 2, "12340"}, // halfway: to the even digit
	} {
		assert.Equal(t, c.want, figureBeside(c.figure, c.bound))
	}
	third := 1.0 / 3
	assert.GreaterOrEqual(t, parseFigure(figureBeside(third, third)), third, "what is at its bound is not printed below it")
	small := 1e-5 / 3
	assert.Equal(t, "0.0000033333333333333333", figureBeside(small, small)[:24], "no exponent")
	assert.GreaterOrEqual(t, parseFigure(marginText(100.0/3, 100.0/3)), 100.0/3)
	assert.Equal(t, "225", marginText(225.47, 100)) // three digits where they do
	assert.Equal(t, "99.96", marginText(99.96, 100))
	assert.Equal(t, "+Inf", figureText(math.Inf(1)))
}

// Near a bound the fraction decides, elsewhere it is not asked.
func TestNearFiguresAreDecidedExactly(t *testing.T) {
	never := func() ingredients.Num { t.Fatal("not near"); return ingredients.Num{} }
	mos, verdict := decideMargin(150, 100, never)
	assert.Equal(t, 150.0, mos)
	assert.Equal(t, MarginReached, verdict)
	_, verdict = decideMargin(99.9, 100, never)
	assert.Equal(t, MarginBelow, verdict)

	// 100 − 10⁻¹⁷ is 100 as a float: the margin must be printed and sorted below it
	just := func(power string) func() ingredients.Num {
		return func() ingredients.Num { return ingredients.Int(100).Add(num(t, power)) }
	}
	under := func() ingredients.Num { return ingredients.Int(100).Sub(ingredients.Frac(1, 1e17)) }
	mos, verdict = decideMargin(100, 100, under)
	assert.Equal(t, MarginBelow, verdict)
	assert.Less(t, mos, 100.0)
	mos, verdict = decideMargin(0.5, 0.5, func() ingredients.Num { return ingredients.Frac(1, 2).Sub(ingredients.Frac(1, 1e17)) })
	assert.Equal(t, MarginBelow, verdict)
	assert.Less(t, mos, 0.5)
	mos, verdict = decideMargin(100, 100, just("0.0000000001"))
	assert.Equal(t, MarginReached, verdict)
	assert.Equal(t, 100.0000000001, mos)
	_, verdict = decideMargin(99.99999999999, 100, just("0"))
	assert.Equal(t, MarginReached, verdict, "the float was below by its own error")

	one, three := 0.1, 0.3
	assert.Equal(t, 0, compareNear(one+2*one, three, func() int { return 0 })) // 0.30000000000000004
	assert.Equal(t, -1, compareNear(1, 2, func() int { t.Fatal("not near"); return 0 }))
	assert.True(t, isNear(1e6*(1+1e-10), 1e6))
	assert.True(t, isNear(1e-6*(1+1e-10), 1e-6))
	assert.False(t, isNear(1e-6*(1+1e-8), 1e-6))
	assert.False(t, isNear(150, 100))
}

// exactly100 is a substance whose margin by the formulas is 100 to the last
// digit: where a figure of the fraction were wrong it would not be.
func exactly100(t *testing.T, name string, x *Margin) {
	t.Helper()
	assert.Equal(t, MarginReached, x.Verdict, name)
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
		m := sheet(t, "m", "Exemplum Acid", "100")
		tox(t, m, kind, pod, "", "").Study = study
		return m
	}
	exactly100(t, "LOAEL", marginOf(t, job(t, "body-lotion", "50", exemplum("LOAEL", "300", ""), own(t, "relative", "2")), "Exemplum Acid"))
	exactly100(t, "28 days", marginOf(t, job(t, "body-lotion", "50", exemplum("NOAEL", "300", "rat, oral, 28 days"), own(t, "relative", "2")), "Exemplum Acid"))
	m := exemplum("NOAEL", "100", "")
	area := num(t, "25")
	m.Toxicology[0].DermalUgCm2 = &area
	x := marginOf(t, job(t, "body-lotion", "50", m, own(t, "g", "1", "area", "500", "times", "2", "weight", "50")), "Exemplum Acid")
	assert.True(t, x.SED.ByArea)
	exactly100(t, "per area", x)
	exactly100(t, "inhaled", marginOf(t, job(t, "face-mist", "1", exemplum("NOAEL", "24.143003", ""), nil), "Exemplum Acid"))
}

// For a child's skin the adult's dose per area is taken times the factor of its
// skin surface, 2.3 for the youngest (SCCNFP/0557/02):
//
//	6 µg/cm² × 0.001 × 565 cm² × 2.14 / 60 kg × 2.3 = 0.278093; 55.6186 × 50 % = 27.8093
func TestMarginPerAreaOfAChild(t *testing.T) {
	m := sheet(t, "m", "Exemplum Acid", "100")
	v := tox(t, m, "NOAEL", "55.6186", "", "")
	six := num(t, "6")
	v.DermalUgCm2 = &six
	x := marginOf(t, limitCase{product: "face-cream", audience: UnderThree}.of(t, m, "1"), "Exemplum Acid")
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
		audience Audience
		own, pod string
		added    float64
	}{{Adults, "31", "176.8", 31}, {Adults, "0.5", "146.3", 0.5}, {UnderThree, "0.3", "335.64", 0.3}} {
		m := sheet(t, "m", "Phenoxyethanol", "100")
		tox(t, m, "NOAEL", c.pod, "50", "").Replaces = true
		r := limitCase{product: "body-lotion", audience: c.audience, change: func(p *Product) { p.Exposure = own(t, "relative", c.own) }}.of(t, m, "1")
		a := r.Aggregates[0]
		assert.Equal(t, c.added, a.OwnAdded)
		assert.Equal(t, MarginReached, a.Verdict, c.own)
		assert.Equal(t, 100.0, a.MoS, c.own)
	}
}
