package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
)

// TestScreening: lactic acid has no point of departure but Cramer class I.
//
//	TTC 46 µg/kg bw/d × 50 % oral absorption = 23
//	shower gel 1 %: SED = 2.79 × 1 % × 50 % = 0.01395 mg = 13.95 µg: below
//	shower gel 2 %: 27.9 µg: above; highest 2 × 23 / 27.9 = 1.6487 %
//
// Source: Yang et al. 2017 (JRC108104), facts.csv row ttc-cramer-1.
func TestScreening(t *testing.T) {
	r := calctest.Job(t, "shower-gel", "1", formulatest.Sheet(t, "m", "Lactic Acid", "100"), nil)
	x := calctest.Margin(t, r, "Lactic Acid")
	require.NotNil(t, x.TTC)
	assert.Equal(t, "I", x.TTC.Class)
	assert.Equal(t, exposure.ScreenBelow, x.TTC.Verdict)
	assert.InDelta(t, 23, x.TTC.Internal, 1e-9)
	assert.InDelta(t, 13.95, x.TTC.DoseUg, 1e-9)
	assert.Empty(t, calctest.Findings(r, "ttc-exceeded"))
	assert.Equal(t, exposure.NoMarginNoPoD, x.None, "a screening is no margin")

	r = calctest.Job(t, "shower-gel", "2", formulatest.Sheet(t, "m", "Lactic Acid", "100"), nil)
	assert.Equal(t, exposure.ScreenAbove, calctest.Margin(t, r, "Lactic Acid").TTC.Verdict)
	fs := calctest.Findings(r, "ttc-exceeded")
	require.Len(t, fs, 1)
	assert.Contains(t, wordstest.Said(fs[0]).Fix, "at most 1.64 %")
}

// TestScreeningByClass: class II is screened as class III, 2.3 µg/kg bw/d; groups
// that the method is closed to are said to be so.
func TestScreeningByClass(t *testing.T) {
	run := func(inci, class string, nano bool) *exposure.Screening {
		m := formulatest.Sheet(t, "m", inci, "100")
		m.Composition.Constituents[0].Nano = nano
		formulatest.Tox(t, m, "", "", "", "").CramerClass = class
		return calctest.Margin(t, calctest.Job(t, "shower-gel", "0.01", m, nil), inci).TTC
	}
	for class, limit := range map[string]float64{"I": 46, "II": 2.3, "III": 2.3} {
		assert.Equal(t, limit, run("Exemplum Acid", class, false).Limit.Value, class)
	}
	for _, inci := range []string{"Exemplum Seed Extract", "Zinc Exemplate", "Exemplum Polymer",
		"Hydrolyzed Exemplum", "N-Nitrosoexemplum", "Exemplosiloxane"} {
		s := run(inci, "III", false)
		assert.Equal(t, exposure.ScreenNotApplicable, s.Verdict, inci)
		assert.NotEmpty(t, s.Reason)
	}
	assert.Equal(t, exposure.ScreenNotApplicable, run("Exemplum Acid", "I", true).Verdict)
	assert.Nil(t, run("Exemplum Acid", "", false), "no class, no screening")
}

// TestLocalDoses: coumarin 0.01 % in face cream, 1.54 g over 565 cm².
//
//	1540 / 565 = 2.7257 mg/cm² × 0.01 % × 1000 = 0.27257 µg/cm² a day
//
// Deodorant stick: 1500 / 200 = 7.5 mg/cm², below the published driver of 9.0:
// 9.0 × 0.01 % × 1000 = 0.9 µg/cm².
func TestLocalDoses(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Coumarin", "1")
	dose := func(kind string, o *formula.OwnExposure) exposure.LocalDose {
		r := calctest.Job(t, kind, "1", fo, o)
		require.Len(t, r.LocalDoses, 1, kind)
		return r.LocalDoses[0]
	}
	d := dose("face-cream", nil)
	assert.Equal(t, "Coumarin", d.LabelName)
	assert.InDelta(t, 0.27257, d.UgCm2, 0.00001)
	assert.True(t, d.OnLabel)
	d = dose("deodorant-stick", nil)
	assert.InDelta(t, 0.9, d.UgCm2, 1e-9)
	assert.Contains(t, d.ProductMgCm2.Note, "driver")
	// own figures: 2 g × 50 % over 100 cm² = 10 mg/cm²
	d = dose("face-wash", formulatest.Own(t, "g", "2", "retention", "50", "area", "100"))
	assert.InDelta(t, 1.0, d.UgCm2, 1e-9)
	// an exposure per body weight: 6 mg/kg × 60 kg over 100 cm² = 3.6 mg/cm²
	d = dose("face-wash", formulatest.Own(t, "relative", "6", "area", "100"))
	assert.InDelta(t, 0.36, d.UgCm2, 1e-9)

	r := calctest.Job(t, "face-wash", "1", fo, nil)
	assert.Zero(t, r.LocalDoses[0].UgCm2)
	assert.Contains(t, r.LocalDoses[0].Reason, "area")
	assert.Len(t, calctest.Findings(r, "no-skin-area"), 1)
	assert.Len(t, calctest.Gaps(r, "no-skin-area"), 1)
}

// TestAggregates: a product that the total does not count is added to it; UV
// filters stand beside preservatives; a colourant is not taken for a filter.
//
//	benzyl alcohol 1 % in aftershave, one use of 0.658 / 0.658 = 1 g a day, 1000 / 60 = 16.6667:
//	SED = (269 + 16.6667) × 1 % × 50 % = 1.428333; MoS = 400 × 50 % / 1.428333 = 140.023
//	at 2 % the target of 100 is reached by 2 / (285.6667 × 50 %) = 1.4002 %
func TestAggregates(t *testing.T) {
	r := calctest.Job(t, "aftershave-balm", "1", formulatest.Sheet(t, "m", "Benzyl Alcohol", "100"), nil)
	require.Len(t, r.Aggregates, 1)
	a := r.Aggregates[0]
	assert.InDelta(t, 16.6667, a.OwnAdded, 0.0001)
	assert.InDelta(t, 1.428333, a.SED, 0.00001)
	assert.InDelta(t, 140.023, a.MoS, 0.001)
	assert.Empty(t, calctest.Findings(r, "aggregate-below-target"))

	r = calctest.Job(t, "aftershave-balm", "2", formulatest.Sheet(t, "m", "Benzyl Alcohol", "100"), nil)
	fs := calctest.Findings(r, "aggregate-below-target")
	require.Len(t, fs, 1)
	assert.Contains(t, wordstest.Said(fs[0]).Fix, "at most 1.4 %")

	r = calctest.Job(t, "sunscreen", "5", formulatest.Sheet(t, "m", "Zinc Oxide", "100"), nil)
	require.Len(t, r.Aggregates, 1)
	assert.Equal(t, "UV filter", r.Aggregates[0].List)
	assert.Empty(t, calctest.Job(t, "shower-gel", "1", formulatest.Sheet(t, "m", "CI 77891", "100"), nil).Aggregates)
	assert.Empty(t, calctest.Job(t, "shower-gel", "1", formulatest.Sheet(t, "m", "Glycerin", "100"), nil).Aggregates)

	// a lip product counts with the skin's absorption in the total, as the total is made
	r = calctest.Job(t, "lip-balm", "1", formulatest.Sheet(t, "m", "Phenoxyethanol", "100"), nil)
	assert.InDelta(t, 2.152, r.Aggregates[0].SED, 1e-9)

	// children from three years on: 269 × 1.6 = 430.4; × 1 % × 80 % = 3.4432
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "m", "1")
	p.IntendedFor = formula.ChildrenThree
	r = calctest.Assess(t, p, &formula.Variant{}, "body-lotion", "EU", 20261125,
		formulatest.Sheet(t, "m", "Phenoxyethanol", "100"), formulatest.Sheet(t, "water", "Aqua", "100"))
	assert.InDelta(t, 3.4432, r.Aggregates[0].SED, 1e-9)
}

// Doses per area are those of what is in the product.
func TestLocalDosesOfWhatIsThere(t *testing.T) {
	r := calctest.Job(t, "face-cream", "0.01", formulatest.Sheet(t, "m", "Coumarin", "100"), nil)
	require.Len(t, r.LocalDoses, 1)
	assert.Equal(t, "Coumarin", r.LocalDoses[0].LabelName)
}
