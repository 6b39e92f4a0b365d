package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// Doses per area, by hand: body lotion 7.82 g over 15670 cm² = 0.499043 mg/cm²; 1 %
// of it 4.99043 µg/cm². Of children the same film. Exposure SCCS/1647/22.
func TestLocalDosesInWords(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "50")
	run := func(product string, audience formula.Audience, o *formula.OwnExposure) *calc.Result {
		p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "2")
		p.IntendedFor, p.Exposure = audience, o
		return calctest.Assess(t, p, &formula.Variant{}, product, rows.GB, 20261125, formulatest.Squalane(t), fo)
	}
	r := run("body-lotion", formula.Adults, nil)
	require.Len(t, r.LocalDoses, 1)
	d := r.LocalDoses[0]
	assert.InDelta(t, 0.499043, d.ProductMgCm2.Value, 1e-6)
	assert.InDelta(t, 4.99043, d.UgCm2, 1e-5)
	assert.InDelta(t, 4.99043, d.TypicalUgCm2, 1e-5)
	assert.Equal(t, "0.499 mg/cm² × 1 % × 1000 = 4.99 µg/cm² a day", d.Arithmetic())
	assert.Equal(t, "7820 mg/d over 15670 cm²", d.ProductMgCm2.Note)
	assert.True(t, d.OnLabel)
	assert.Equal(t, "", d.Reason)
	assert.Empty(t, calctest.Findings(r, "no-skin-area"))
	assert.InDelta(t, 4.99043, run("body-lotion", formula.ChildrenThree, nil).LocalDoses[0].UgCm2, 1e-5)
	// from an exposure per body weight: 10 mg/kg × 60 kg = 600 mg over 300 cm² = 2
	r = run("body-lotion", formula.Adults, formulatest.Own(t, "relative", "10", "area", "300"))
	assert.InDelta(t, 2, r.LocalDoses[0].ProductMgCm2.Value, 1e-9)
	assert.Equal(t, "600 mg/d over 300 cm²", r.LocalDoses[0].ProductMgCm2.Note)
	// no area: the first such type of the table
	for _, pt := range law.ProductTypes(table.Builtin()) {
		if e, _ := exposureOf(t, pt.Key, formula.Adults, nil); e.Known() && e.AreaCm2 == nil {
			r = run(pt.Key, formula.Adults, nil)
			require.Len(t, r.LocalDoses, 1)
			assert.Equal(t, "the skin area treated is not known", r.LocalDoses[0].Reason)
			assert.Zero(t, r.LocalDoses[0].UgCm2)
			f := calctest.Finding(t, r, "no-skin-area")
			assert.Equal(t, finding.Ask, f.Severity)
			assert.Equal(t, []string{"Linalool"}, wordstest.Said(f).Items)
			require.Len(t, calctest.Gaps(r, "no-skin-area"), 1)
			assert.Empty(t, calctest.Findings(calctest.Assess(t,
				formulatest.WithFormula(t, formula.Percent, "base", "100"), &formula.Variant{}, pt.Key, rows.GB, 20261125,
				formulatest.Squalane(t)), "no-skin-area"), "nothing to compute")
			break
		}
	}
	r = run("nail-oil", formula.Adults, nil)
	assert.Equal(t, "the exposure to the product is not known", r.LocalDoses[0].Reason)
	assert.Empty(t, calctest.Findings(r, "no-skin-area"), "asked for with the exposure")
}
