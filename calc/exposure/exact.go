package exposure

import (
	"math"

	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
)

// exactDose is the SED of a dose that was computed already, mg/kg bw/d.
func (m *Marginer) exactDose(content exact.Num, d *Dose, a *Absorption) exact.Num {
	e := m.exp
	skin := e.MgPerKg.Num().Pct(content).Pct(a.Pct.Num())
	if d.ByArea {
		skin = a.UgCm2.Num().Mul(e.AreaCm2.Num()).Mul(e.PerDay.Num()).Quo(e.BodyWeightKg.Num()).
			Quo(exact.Int(mgToUg)).Mul(e.ChildFactor.Num())
	}
	return skin.Add(m.inh.exact.Pct(content))
}

// exactSys is the internal point of departure, mg/kg bw/d, by an absorption in %.
func (p *PoD) exactSys(absorbedPct exact.Num) exact.Num {
	return formula.ExactFigure(p.Value).Quo(p.LOAELFactor.Num()).Quo(p.DurationFactor.Num()).Pct(absorbedPct)
}

// decideMargin compares a margin with its target, by exact fractions where it is
// near; it returns the margin that was compared.
func decideMargin(mos, target float64, exact func() exact.Num) (float64, MarginVerdict) {
	if formula.IsNear(mos, target) {
		n := exact()
		if n.Less(formula.ExactFigure(target)) {
			return min(n.Float(), math.Nextafter(target, 0)), MarginBelow
		}
		return n.Float(), MarginReached // the nearest float is not below one that stands for no more
	}
	if mos < target {
		return mos, MarginBelow
	}
	return mos, MarginReached
}
