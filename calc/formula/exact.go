package formula

import (
	"cmp"
	"math"
	"math/big"
	"strconv"

	"gallipot/ingredients/exact"
)

// Exposure and margins are binary fractions: their figures carry two or three
// significant digits, and there are many of them. Only where one comes so near to
// the bound it is compared with that its last digits would decide is it worked
// out again as an exact fraction.

// nearBound is how near a figure has to come to a bound, as a share of it, to be
// decided exactly; the error of the binary fractions is a thousandth of that or
// less.
const nearBound = 1e-9

func IsNear(figure, bound float64) bool { return math.Abs(figure-bound) <= nearBound*math.Abs(bound) }

// ExactFigure returns the decimal behind a figure that was read from a table or a
// sheet: with its 15 digits or fewer it is the shortest one that gives the float.
func ExactFigure(f float64) exact.Num {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(f, 'g', -1, 64))
	if !ok {
		panic("calc: no finite figure")
	}
	return exact.FromRat(r)
}

// Num returns the figure as an exact fraction.
func (s *Stated) Num() exact.Num {
	if s == nil {
		return exact.Int(1) // a factor that is not there
	}
	if s.exact != nil {
		return *s.exact
	}
	return ExactFigure(s.Value)
}

// Become gives a computed figure its value; a fraction stays exact.
func (s *Stated) Become(n exact.Num) {
	s.Value, s.exact = n.Float(), &n
}

// CompareNear compares two figures, by exact fractions where they are near.
func CompareNear(a, b float64, exact func() int) int {
	if IsNear(a, b) {
		return exact()
	}
	return cmp.Compare(a, b)
}
