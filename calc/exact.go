package calc

import (
	"cmp"
	"math"
	"math/big"
	"strconv"

	"gallipot/ingredients"
)

// Exposure and margins are binary fractions: their figures carry two or three
// significant digits, and there are many of them. Only where one comes so near to
// the bound it is compared with that its last digits would decide is it worked
// out again as an exact fraction.

// nearBound is how near a figure has to come to a bound, as a share of it, to be
// decided exactly; the error of the binary fractions is a thousandth of that or
// less.
const nearBound = 1e-9

func isNear(figure, bound float64) bool { return math.Abs(figure-bound) <= nearBound*math.Abs(bound) }

// exactFigure returns the decimal behind a figure that was read from a table or a
// sheet: with its 15 digits or fewer it is the shortest one that gives the float.
func exactFigure(f float64) ingredients.Num {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(f, 'g', -1, 64))
	if !ok {
		panic("calc: no finite figure")
	}
	return ingredients.FromRat(r)
}

// num returns the figure as an exact fraction.
func (s *Stated) num() ingredients.Num {
	if s == nil {
		return ingredients.Int(1) // a factor that is not there
	}
	if s.exact != nil {
		return *s.exact
	}
	return exactFigure(s.Value)
}

// become gives a computed figure its value; a fraction stays exact.
func (s *Stated) become(n ingredients.Num) {
	s.Value, s.exact = n.Float(), &n
}

// exactDose is the SED of a dose that was computed already, mg/kg bw/d.
func (m *marginer) exactDose(content ingredients.Num, d *Dose, a *Absorption) ingredients.Num {
	e := m.exp
	skin := e.MgPerKg.num().Pct(content).Pct(a.Pct.num())
	if d.ByArea {
		skin = a.UgCm2.num().Mul(e.AreaCm2.num()).Mul(e.PerDay.num()).Quo(e.BodyWeightKg.num()).Quo(ingredients.Int(mgToUg)).Mul(e.ChildFactor.num())
	}
	return skin.Add(m.inh.exact.Pct(content))
}

// exactSys is the internal point of departure, mg/kg bw/d, by an absorption in %.
func (p *PoD) exactSys(absorbedPct ingredients.Num) ingredients.Num {
	return exactFigure(p.Value).Quo(p.LOAELFactor.num()).Quo(p.DurationFactor.num()).Pct(absorbedPct)
}

// decideMargin compares a margin with its target, by exact fractions where it is
// near; it returns the margin that was compared.
func decideMargin(mos, target float64, exact func() ingredients.Num) (float64, MarginVerdict) {
	if isNear(mos, target) {
		n := exact()
		if n.Less(exactFigure(target)) {
			return min(n.Float(), math.Nextafter(target, 0)), MarginBelow
		}
		return n.Float(), MarginReached // the nearest float is not below one that stands for no more
	}
	if mos < target {
		return mos, MarginBelow
	}
	return mos, MarginReached
}

// compareNear compares two figures, by exact fractions where they are near.
func compareNear(a, b float64, exact func() int) int {
	if isNear(a, b) {
		return exact()
	}
	return cmp.Compare(a, b)
}
