package exposure

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/ingredients/exact"
)

// A highest content is cut, never raised: just below each figure of three digits
// it must not print as that figure.
func TestFigureDownIsNeverAbove(t *testing.T) {
	for _, power := range []string{"e-9", "e-5", "e-3", "e-2", "e-1", "e0"} {
		for k := 100; k < 1000; k++ {
			whole := formula.ParseFigure(strconv.Itoa(k) + power)
			assert.LessOrEqual(t, formula.ParseFigure(formula.FigureDown(whole)), whole)
			below := math.Nextafter(whole, 0)
			assert.Less(t, formula.ParseFigure(formula.FigureDown(below)), whole, "%d%s", k, power)
			assert.Greater(t, formula.ParseFigure(formula.FigureDown(below)), 0.98*whole, "at most one of a hundred is cut off")
		}
	}
	assert.Equal(t, "0", formula.FigureDown(-1))
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
		assert.Equal(t, c.want, formula.FigureBeside(c.figure, c.bound))
	}
	third := 1.0 / 3
	assert.GreaterOrEqual(t, formula.ParseFigure(formula.FigureBeside(third, third)), third,
		"what is at its bound is not printed below it")
	small := 1e-5 / 3
	assert.Equal(t, "0.0000033333333333333333", formula.FigureBeside(small, small)[:24], "no exponent")
	assert.GreaterOrEqual(t, formula.ParseFigure(marginText(100.0/3, 100.0/3)), 100.0/3)
	assert.Equal(t, "225", marginText(225.47, 100)) // three digits where they do
	assert.Equal(t, "99.96", marginText(99.96, 100))
	assert.Equal(t, "+Inf", formula.FigureText(math.Inf(1)))
}

// Near a bound the fraction decides, elsewhere it is not asked.
func TestNearFiguresAreDecidedExactly(t *testing.T) {
	never := func() exact.Num { t.Fatal("not near"); return exact.Num{} }
	mos, verdict := decideMargin(150, 100, never)
	assert.Equal(t, 150.0, mos)
	assert.Equal(t, MarginReached, verdict)
	_, verdict = decideMargin(99.9, 100, never)
	assert.Equal(t, MarginBelow, verdict)

	// 100 − 10⁻¹⁷ is 100 as a float: the margin must be printed and sorted below it
	just := func(power string) func() exact.Num {
		return func() exact.Num { return exact.Int(100).Add(formulatest.Num(t, power)) }
	}
	under := func() exact.Num { return exact.Int(100).Sub(exact.Frac(1, 1e17)) }
	mos, verdict = decideMargin(100, 100, under)
	assert.Equal(t, MarginBelow, verdict)
	assert.Less(t, mos, 100.0)
	mos, verdict = decideMargin(0.5, 0.5, func() exact.Num { return exact.Frac(1, 2).Sub(exact.Frac(1, 1e17)) })
	assert.Equal(t, MarginBelow, verdict)
	assert.Less(t, mos, 0.5)
	mos, verdict = decideMargin(100, 100, just("0.0000000001"))
	assert.Equal(t, MarginReached, verdict)
	assert.Equal(t, 100.0000000001, mos)
	_, verdict = decideMargin(99.99999999999, 100, just("0"))
	assert.Equal(t, MarginReached, verdict, "the float was below by its own error")

	one, three := 0.1, 0.3
	assert.Equal(t, 0, formula.CompareNear(one+2*one, three, func() int { return 0 })) // 0.30000000000000004
	assert.Equal(t, -1, formula.CompareNear(1, 2, func() int { t.Fatal("not near"); return 0 }))
	assert.True(t, formula.IsNear(1e6*(1+1e-10), 1e6))
	assert.True(t, formula.IsNear(1e-6*(1+1e-10), 1e-6))
	assert.False(t, formula.IsNear(1e-6*(1+1e-8), 1e-6))
	assert.False(t, formula.IsNear(150, 100))
}
