package exposure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
)

// TestInhalationByHand works the two-box model with the defaults: 1000 L for
// 2 min, 10 000 L for 10 min, 13 L/min, 75 % kept.
//
//	pump (face mist, 1.54 g a day): airborne 1540 × 0.2 = 308 mg
//	  near 308 / 1000 × 13 × 2 = 8.008; room 308 / 10000 × 13 × 10 = 4.004
//	  (8.008 + 4.004) × 0.75 × 0.01 / 60 = 0.0015015 mg/kg bw/d of product
//	propellant (deodorant aerosol, 0.69 g a day): airborne 690 mg
//	  near 17.94; room 8.97; 26.91 × 0.75 × 0.2 / 60 = 0.067275
//	powder (face powder, one use of 0.0449 / 0.449 = 0.1 g a day), upper bound 1
//	  for both shares: near 100 / 1000 × 13 × 2 = 2.6; room 100 / 10000 × 13 × 10 =
//	  1.3; 3.9 × 0.75 / 60 = 0.04875
//
// Source of the model: SCCS/1647/22, 3-3.4.1.3 and 3-3.4.2.3 (layout from memory).
func TestInhalationByHand(t *testing.T) {
	for _, c := range []struct {
		kind, form      string
		near, far, want float64
	}{
		{"face-mist", "pump spray", 8.008, 4.004, 0.0015015},
		{"deodorant-aerosol", "propellant spray", 17.94, 8.97, 0.067275},
		{"face-powder", "loose powder", 2.6, 1.3, 0.04875},
	} {
		in := formulatest.OfType(t, c.kind, formula.Adults, nil)
		e, _ := ExposureOf(in)
		h := InhalationOf(in, e)
		require.True(t, h.Known(), c.kind)
		assert.Equal(t, c.form, h.Form)
		assert.InDelta(t, c.near, h.NearMg, 1e-9, c.kind)
		assert.InDelta(t, c.far, h.FarMg, 1e-9, c.kind)
		assert.InDelta(t, c.want, h.MgPerKg, 1e-12, c.kind)
		assert.Len(t, h.Parameters, 12)
		for _, p := range h.Parameters {
			assert.NotEmpty(t, p.Cite(), p.Symbol)
			assert.NotEmpty(t, p.Unit, p.Symbol)
		}
		assert.Contains(t, h.Arithmetic, "E_inh")
	}
}

func TestInhalationOnlyWhereItSpraysOrDusts(t *testing.T) {
	for kind, applies := range map[string]bool{"face-cream": false, "pressed-powder": false,
		"tooth-powder": false, "baby-powder": true, "hair-spray-aerosol": true} {
		in := formulatest.OfType(t, kind, formula.Adults, nil)
		e, _ := ExposureOf(in)
		h := InhalationOf(in, e)
		assert.Equal(t, applies, h.Applies, kind)
		assert.Equal(t, applies, h.Reason == "", kind)
	}
	// a spray without any amount says so
	in := formulatest.OfType(t, "mouth-spray", formula.Adults, nil)
	e, _ := ExposureOf(in)
	h := InhalationOf(in, e)
	assert.True(t, h.Applies)
	assert.False(t, h.Known())
	assert.Contains(t, h.Reason, "not known")
}

// TestInhalationForChildren divides by a child's own weight: 1.92 / 2.4 = 0.8 g a
// use of baby powder; the row has more than one use a day, so 1.92 g stays.
//
//	near 1920 / 1000 × 26 = 49.92; room 24.96; 74.88 × 0.75 / 5 = 11.232
func TestInhalationForChildren(t *testing.T) {
	in := formulatest.OfType(t, "baby-powder", formula.UnderThree, nil)
	e, _ := ExposureOf(in)
	assert.InDelta(t, 11.232, InhalationOf(in, e).MgPerKg, 1e-9)
}

// TestInhalationFromRelativeExposure: where only the exposure per body weight is
// given, 5 mg/kg × 60 kg = 300 mg a day stands in for the amount:
//
//	airborne 60; near 1.56; room 0.78; 2.34 × 0.75 × 0.01 / 60 = 0.0002925
func TestInhalationFromRelativeExposure(t *testing.T) {
	in := formulatest.OfType(t, "face-mist", formula.Adults, formulatest.Own(t, "relative", "5"))
	e, _ := ExposureOf(in)
	assert.InDelta(t, 0.0002925, InhalationOf(in, e).MgPerKg, 1e-12)
}

// Inhalation by the form of the product, and a mass from the exposure per body weight:
// 10 mg/kg × 60 kg = 600 mg.
func TestInhaledForms(t *testing.T) {
	for flags, want := range map[string]string{"aerosol": "propellant spray",
		"propellant-spray": "propellant spray", "spray": "pump spray", "pump-spray": "pump spray",
		"inhalable": "loose powder", "loose-powder": "", "": ""} {
		form, _ := inhaledForm(&trade.ProductType{Forms: []string{"cream", flags}})
		assert.Equal(t, want, form, flags)
	}
	h := InhalationOf(&formula.Input{Session: formulatest.Session(table.Builtin()),
		Type: &trade.ProductType{Forms: []string{"loose-powder"}}}, Exposure{})
	assert.Equal(t, "a loose powder that the type table does not take as inhalable in use; the assessor decides", h.Reason)
	h = InhalationOf(&formula.Input{Session: formulatest.Session(table.Builtin()), Type: &trade.ProductType{}}, Exposure{})
	assert.Equal(t, "the product type neither sprays nor dusts", h.Reason)
	assert.False(t, h.Applies)
	assert.InDelta(t, 0.06, (&Inhalation{MgPerKg: 3}).Dose(2), 1e-12) // 3 × 2 %
	assert.InDelta(t, 12, oneBox(6, 10, 4, 5), 1e-12)                 // 6 / 10 × 4 × 5
	in := formulatest.OfType(t, "body-lotion", formula.Adults, formulatest.Own(t, "relative", "10"))
	in.Type = &trade.ProductType{ExposureKey: "body-lotion", Forms: []string{"inhalable"}}
	e, _ := ExposureOf(in)
	h = InhalationOf(in, e)
	require.True(t, h.Applies)
	assert.Equal(t, "A", h.Parameters[0].Symbol)
	assert.InDelta(t, 600, h.Parameters[0].Value, 1e-9)
	assert.Equal(t, "from the exposure per body weight: what is used may be more than what stays", h.Parameters[0].Note)
	assert.Contains(t, h.Notes, "no published shares for powders: everything is taken as airborne and respirable, an upper bound")
	in.Type.Forms = []string{"spray"}
	h = InhalationOf(in, e)
	assert.NotContains(t, h.Notes,
		"no published shares for powders: everything is taken as airborne and respirable, an upper bound")
	assert.Contains(t, h.Notes, "effects on the lungs themselves are not covered by a dose to the body")
	assert.Nil(t, dailyAmountMg(&Exposure{}))
}

// TestSprayAsFraction: what a spray puts into the lungs is the same as a fraction and as a float.
func TestSprayAsFraction(t *testing.T) {
	in := formulatest.OfType(t, "deodorant-aerosol", formula.Adults, nil)
	e, _ := ExposureOf(in)
	h := InhalationOf(in, e)
	require.True(t, h.Known())
	assert.InEpsilon(t, h.MgPerKg, h.ExactMgPerKg().Float(), 1e-12)
}
