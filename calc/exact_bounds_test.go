package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Margins that are exactly their target, which binary fractions put a last digit
// below it. Shower gel, 2.79 mg/kg bw/d (SCCS/1647/22 Table 3A), absorption
// through skin and gut 50 % each, so that the halves cancel:
//
//	MoS = PoD / (2.79 × C)
//	2.79 × 1.5 % × 100 = 4.185      2.79 × 1.1 % × 100 = 3.069
//
// Found by TestWholeCalculation.
func TestMarginExactlyAtItsTarget(t *testing.T) {
	for _, c := range []struct {
		pct, pod string
		want     exposure.MarginVerdict
	}{
		{"1.5", "4.185", exposure.MarginReached}, {"1.1", "3.069", exposure.MarginReached},
		{"1.5", "4.18500000001", exposure.MarginReached}, {"1.5", "4.18499999999", exposure.MarginBelow},
		{"1.1", "3.06899999999", exposure.MarginBelow},
	} {
		m := formulatest.Sheet(t, "own", "Invented Substance", "100")
		formulatest.Tox(t, m, "NOAEL", c.pod, "", "")
		r := job(t, "shower-gel", c.pct, m, nil)
		x := marginOf(t, r, "Invented Substance")
		assert.Equal(t, c.want, x.Verdict, "%s %% with %s", c.pct, c.pod)
		assert.Equal(t, c.want == exposure.MarginBelow, x.MoS < 100,
			"the margin shown stands on the side of its verdict: %v", x.MoS)
		assert.InDelta(t, 100, x.MoS, 1e-6)
		assert.Len(t, foundBy(r, "mos-below-target"), map[exposure.MarginVerdict]int{exposure.MarginBelow: 1}[c.want])
	}
}

// The dose exactly at the threshold of concern: class III, 2.3 µg/kg bw/d of
// which 50 % is taken up, 1.15; with an exposure of 2.3 mg/kg bw/d and 50 %
// absorption the content is 0.1 %. The same at 1.61 mg/kg bw/d × 1/7 %, which a
// formula in grams can give.
func TestDoseExactlyAtTheThresholdOfConcern(t *testing.T) {
	for _, c := range []struct {
		exposure string
		pct      exact.Num
		want     exposure.ScreeningVerdict
	}{
		{"2.3", formulatest.Num(t, "0.1"), exposure.ScreenBelow},
		{"2.3", formulatest.Num(t, "0.10000000001"), exposure.ScreenAbove},
		{"1.61", exact.Frac(1, 7), exposure.ScreenBelow}, {"0.69", exact.Frac(1, 3), exposure.ScreenBelow},
		{"6.9", exact.Frac(1, 30), exposure.ScreenBelow},
		{"0.69", exact.Frac(10_000_000_001, 30_000_000_000), exposure.ScreenAbove},
	} {
		m := formulatest.Sheet(t, "own", "Invented Substance", "100")
		m.Toxicology = []ingredients.Toxicology{{INCI: "Invented Substance", CramerClass: "III", Source: "study report"}}
		p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "own", "1")
		p.Formula.Phases[0].Lines[1].Amount = c.pct
		e := formulatest.Num(t, c.exposure)
		p.IntendedFor, p.Exposure = formula.Adults, &formula.OwnExposure{RelativeMgKgD: &e, Source: "measured"}
		x := marginOf(t, assessed(t, p, &formula.Variant{}, "shower-gel", "EU", 20261125, m,
			formulatest.Sheet(t, "water", "Aqua", "100")), "Invented Substance")
		require.NotNil(t, x.TTC)
		assert.Equal(t, c.want, x.TTC.Verdict, "%s mg/kg bw/d × %s %%", c.exposure, c.pct.Exact())
		assert.Equal(t, c.want == exposure.ScreenAbove,
			x.TTC.Internal < x.TTC.DoseUg || c.want == exposure.ScreenAbove && x.TTC.Internal <= x.TTC.DoseUg)
	}
}

// A preservative in all cosmetics, 269 mg/kg bw/d (SCCS/1647/22 3-3.4.3, shower
// gel being one of them), with a value on the sheet that replaces the table's:
// absorption 50 % each, PoD = 269 × C × target of 100.
func TestAggregateExactlyAtItsTarget(t *testing.T) {
	for _, c := range []struct {
		pct, pod string
		want     exposure.MarginVerdict
	}{
		{"0.1", "26.9", exposure.MarginReached}, {"0.3", "80.7", exposure.MarginReached},
		{"0.45", "121.05", exposure.MarginReached}, {"0.3", "80.6999999999", exposure.MarginBelow},
	} {
		m := formulatest.Material(t, "own", "preservative", "Sorbic Acid", "100")
		formulatest.Tox(t, m, "NOAEL", c.pod, "50", "50").Replaces = true
		r := job(t, "shower-gel", c.pct, m, nil)
		require.Len(t, r.Aggregates, 1)
		assert.Equal(t, c.want, r.Aggregates[0].Verdict, "%s %% with %s: %v", c.pct, c.pod, r.Aggregates[0].MoS)
	}
}

// Of two values that are one after the factor for the effect level, the lower
// internal dose is used, whichever way the last digits fall: LOAEL 90 over 3 and
// NOAEL 30 of 28 days, which counts as 10.
func TestEqualValuesTakeTheShortStudy(t *testing.T) {
	for _, swap := range []bool{false, true} {
		m := formulatest.Sheet(t, "own", "Invented Substance", "100")
		formulatest.Tox(t, m, "LOAEL", "90", "", "").Study = "rat, 90 days"
		formulatest.Tox(t, m, "NOAEL", "30", "", "").Study = "rat, 28 days"
		if swap {
			m.Toxicology[0], m.Toxicology[1] = m.Toxicology[1], m.Toxicology[0]
		}
		x := marginOf(t, job(t, "shower-gel", "1", m, nil), "Invented Substance")
		assert.Equal(t, "NOAEL", x.PoD.Type)
		assert.InDelta(t, 5, x.PoDSys, 1e-12)
	}
}
