package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/finding"
)

// Aggregate exposure as the report shows it. 269 mg/kg bw/d from all cosmetics,
// SCCS/1647/22; phenoxyethanol NOAEL 357 mg/kg bw/d and 80 % through the skin,
// 285.6 inside; benzyl alcohol 400 and 50 %.
func TestAggregateArithmetic(t *testing.T) {
	aggregate := func(product, pct, inci string, audience formula.Audience) (*calc.Result, exposure.Aggregate) {
		p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "m", pct)
		p.IntendedFor = audience
		r := calctest.Assess(t, p, &formula.Variant{}, product, rows.EU, 20261125,
			formulatest.Sheet(t, "m", inci, "100"), formulatest.Sheet(t, "water", "Aqua", "100"))
		require.Len(t, r.Aggregates, 1)
		return r, r.Aggregates[0]
	}
	_, a := aggregate("body-lotion", "1", "Phenoxyethanol", formula.Adults)
	assert.Equal(t, "SED = 269 × 1 % × 80 % = 2.152 mg/kg bw/d; MoS = 285.6 / 2.152 = 133", a.Arithmetic)
	assert.Equal(t, "", a.Reason)
	assert.InDelta(t, 5.3086, *a.HighestPct,
		0.0001) // 132.71 / 25, the target that the opinion names
	_, a = aggregate("body-lotion", "1", "Phenoxyethanol", formula.ChildrenThree) // 269 × 1.6 × 0.8 % = 3.4432
	assert.Equal(t, "SED = 269 × 1.6 × 1 % × 80 % = 3.443 mg/kg bw/d; MoS = 285.6 / 3.443 = 82.9", a.Arithmetic)
	_, a = aggregate("body-lotion", "1", "Phenoxyethanol", formula.UnderThree) // 269 × 2.3 × 0.8 % = 4.9496
	assert.InDelta(t, 4.9496, a.SED, 1e-9)
	require.NotNil(t, a.ChildFactor)
	assert.Equal(t, 2.3, a.ChildFactor.Value)
	r, a := aggregate("aftershave-balm", "2", "Benzyl Alcohol", formula.Adults)
	// 1 g a day / 60 kg = 16.667; 285.667 × 1 % = 2.85667; 200 / 2.85667 = 70.01
	assert.Equal(t, "SED = (269 + 16.67 of this product) × 2 % × 50 % = 2.857 mg/kg bw/d; MoS = 200 / 2.857 = 70", a.Arithmetic)
	f := calctest.Findings(r, "aggregate-below-target")[0]
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Equal(t, "from all cosmetics together, each with as much as this product, the margin of safety is 70, below the target of 100", wordstest.Said(f).Message)

	// nothing gets in: no dose, no margin, and it is said why
	m := formulatest.Sheet(t, "m", "Benzyl Alcohol", "100")
	formulatest.Tox(t, m, "NOAEL", "400", "0", "").Replaces = true
	r = calctest.Job(t, "body-lotion", "1", m, nil)
	require.Len(t, r.Aggregates, 1)
	assert.Equal(t, exposure.MarginNone, r.Aggregates[0].Verdict)
	assert.Contains(t, r.Aggregates[0].Arithmetic, "SED = 269 × 1 % × 0 % = 0 mg/kg bw/d; no MoS: ")
	assert.NotEmpty(t, r.Aggregates[0].Reason)
}
