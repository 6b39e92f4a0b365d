package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula/formulatest"
)

// TestTargetOfASheet: a sheet states another target with its reason, as opinions do
// where the point of departure comes from people or from measured blood levels
// (SCCS/1575/16: 25 for phenoxyethanol). By hand, 5 % in a body lotion, NOAEL 200:
//
//	SED = 123.2 × 5 % × 50 % = 3.08; MoS = 200 × 50 % / 3.08 = 32.47
//
// It is below 100 and above 25.
func TestTargetOfASheet(t *testing.T) {
	plain := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, plain, "NOAEL", "200", "", "")
	r := calctest.Job(t, "body-lotion", "5", plain, nil)
	assert.InDelta(t, 32.47, calctest.Margin(t, r, "Exemplum Acid").MoS, 0.005)
	assert.Len(t, calctest.Findings(r, "mos-below-target"), 1)

	own := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	v := formulatest.Tox(t, own, "NOAEL", "200", "", "")
	n := formulatest.Num(t, "25")
	v.Target, v.TargetReason = &n, "kinetics compared with people"
	r = calctest.Job(t, "body-lotion", "5", own, nil)
	x := calctest.Margin(t, r, "Exemplum Acid")
	assert.InDelta(t, 32.47, x.MoS, 0.005)
	assert.Equal(t, 25.0, x.Target.Value)
	assert.Contains(t, x.Target.Cite(), "kinetics compared with people")
	assert.Empty(t, calctest.Findings(r, "mos-below-target"))
	// 7 % has 100 / 4.312 = 23.19
	r = calctest.Job(t, "body-lotion", "7", own, nil)
	assert.Len(t, calctest.Findings(r, "mos-below-target"), 1)
}

// TestMineralsAreNotHalfAbsorbed: pigments and clays are particles that do not pass
// intact skin (SCCS/1516/13 on titanium dioxide, SCCS/1489/12 on zinc oxide); half of
// the dose is no guess for them, and nothing is computed from it.
func TestMineralsAreNotHalfAbsorbed(t *testing.T) {
	for _, name := range []string{"Titanium Dioxide", "Kaolin", "Mica", "CI 77491", "Silica"} {
		r := calctest.Job(t, "body-lotion", "20", formulatest.Sheet(t, "m", name, "100"), nil)
		x := calctest.Margin(t, r, name)
		assert.Zero(t, x.SED.Max, name)
		assert.Equal(t, exposure.NoMarginNotAbsorbed, x.None, name)
		assert.Empty(t, calctest.Findings(r, "mos-below-target"), name)
	}
}
