package exposure_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// TestMarginByHand: cocamidopropyl betaine at 0.9 % in body lotion.
//
//	SED = 123.2 × 0.9 % × 50 % = 0.5544 mg/kg bw/d
//	MoS = 250 × 50 % / 0.5544 = 225.47
//	highest = 0.9 × 225.47 / 100 = 2.0292 %
//
// Figures: body lotion SCCS/1647/22 Table 3A; NOAEL 250, 90 days, HERA 2005
// (from memory); defaults of 50 %.
func TestMarginByHand(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "0.9", formulatest.Sheet(t, "betaine", "Cocamidopropyl Betaine", "100"), nil)
	x := calctest.Margin(t, r, "Cocamidopropyl Betaine")
	assert.InDelta(t, 0.5544, x.SED.Max, 1e-9)
	assert.InDelta(t, 225.47, x.MoS, 0.005)
	assert.Equal(t, exposure.MarginReached, x.Verdict)
	assert.InDelta(t, 2.0292, *x.HighestPct, 0.0001)
	assert.Equal(t, "SED = 123.2 × 0.9 % × 50 % = 0.5544 mg/kg bw/d; MoS = 250 × 50 % / 0.5544 = 225", x.Arithmetic())
	assert.Equal(t, exposure.AbsorptionDefault, x.Absorption.Kind)
	assert.Equal(t, "rat, oral gavage, 90 days, forestomach irritation", x.PoD.Study)
	assert.Equal(t, "memory", x.PoD.Seen)
	assert.Equal(t, 100.0, x.Target.Value)
	// the 28-day value of 500 is listed, not used: / 3 it would be lower, but a
	// longer study is at hand
	require.Len(t, x.Others, 1)
	assert.Equal(t, 500.0, x.Others[0].Value)
	assert.Equal(t, 3.0, x.Others[0].Divisor())
	assert.Contains(t, fmt.Sprint(x.Memory), "Cocamidopropyl betaine (90-day)")
}

// TestLOAELAndDuration: isoeugenol 0.01 % in body lotion, LOAEL 75 / 3;
// linalool 0.1 %, 28 days, NOAEL 117 / 3.
//
//	isoeugenol: 75 / 3 × 50 % = 12.5; SED 123.2 × 0.01 % × 50 % = 0.00616; MoS 2029.2
//	linalool:   117 / 3 × 50 % = 19.5; SED 0.0616; MoS 316.56
func TestLOAELAndDuration(t *testing.T) {
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "0.01",
		formulatest.Sheet(t, "m", "Isoeugenol", "100"), nil), "Isoeugenol")
	assert.Equal(t, 3.0, x.PoD.LOAELFactor.Value)
	assert.Nil(t, x.PoD.DurationFactor)
	assert.InDelta(t, 12.5, x.PoDSys, 1e-9)
	assert.InDelta(t, 2029.2, x.MoS, 0.1)

	x = calctest.Margin(t, calctest.Job(t, "body-lotion", "0.1", formulatest.Sheet(t, "m", "Linalool", "100"),
		nil), "Linalool")
	assert.Nil(t, x.PoD.LOAELFactor)
	assert.Equal(t, 3.0, x.PoD.DurationFactor.Value)
	assert.InDelta(t, 316.56, x.MoS, 0.01)
	assert.Contains(t, x.Arithmetic(), "MoS = 117 / 3 × 50 % / 0.0616")
}

// TestDermalStudyAndNamedTarget: phenoxyethanol 1 % in body lotion. The study is
// dermal, so its dose counts as internal by dermal absorption, 80 %; the opinion
// accepts a margin of 25 (SCCS/1575/16, published summary).
//
//	SED = 123.2 × 1 % × 80 % = 0.9856; MoS = 357 × 80 % / 0.9856 = 289.77
//	aggregate: 269 × 1 % × 80 % = 2.152; 285.6 / 2.152 = 132.71
func TestDermalStudyAndNamedTarget(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "1", formulatest.Sheet(t, "m", "Phenoxyethanol", "100"), nil)
	x := calctest.Margin(t, r, "Phenoxyethanol")
	assert.Equal(t, "dermal", x.PoD.Route)
	assert.InDelta(t, 289.77, x.MoS, 0.01)
	assert.Equal(t, 25.0, x.Target.Value)
	assert.Contains(t, x.Target.Cite(), "SCCS/1575/16")

	require.Len(t, r.Aggregates, 1)
	a := r.Aggregates[0]
	assert.Equal(t, "preservative", a.List)
	assert.Zero(t, a.OwnAdded, "the total counts body lotion already")
	assert.InDelta(t, 2.152, a.SED, 1e-9)
	assert.InDelta(t, 132.71, a.MoS, 0.01)
	assert.InDelta(t, 132.71/25, *a.HighestPct, 0.001)
}

// TestBelowTarget: tocopherol 1 % in body lotion, NOAEL 9 from people, who are held
// to a margin of 10: the factor between species falls away (SCCS/1647/22).
//
//	SED = 123.2 × 1 % × 50 % = 0.616; MoS = 4.5 / 0.616 = 7.305
//	highest content for 10: 1 × 0.7305 = 0.7305 %
//
// 0.246 % has 29.7, which is no alarm.
func TestBelowTarget(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "1", formulatest.Sheet(t, "vitamin", "Tocopherol", "100"), nil)
	x := calctest.Margin(t, r, "Tocopherol")
	assert.InDelta(t, 7.305, x.MoS, 0.001)
	assert.Equal(t, exposure.MarginBelow, x.Verdict)
	fs := calctest.Findings(r, "mos-below-target")
	require.Len(t, fs, 1)
	assert.Equal(t, finding.Ask, fs[0].Severity)
	assert.Equal(t, "the assessor", wordstest.Said(fs[0]).Ask)
	assert.Contains(t, wordstest.Said(fs[0]).Message, "7.31")
	assert.Contains(t, wordstest.Said(fs[0]).Fix, "at most 0.73 % of it")
	assert.NotContains(t, wordstest.Said(fs[0]).Why,
		"between species may not apply") // the target is that for people already
	assert.Equal(t, 11, fs[0].Pos.Line, "the line that brings it")
	assert.NotEmpty(t, fs[0].Sum)
	// the content in the fix reaches the target, a little more does not
	assert.Empty(t, calctest.Findings(calctest.Job(t, "body-lotion", "0.7305",
		formulatest.Sheet(t, "vitamin", "Tocopherol", "100"), nil), "mos-below-target"))
	assert.Len(t, calctest.Findings(calctest.Job(t, "body-lotion", "0.731",
		formulatest.Sheet(t, "vitamin", "Tocopherol", "100"), nil), "mos-below-target"), 1)
	assert.Empty(t, calctest.Findings(calctest.Job(t, "body-lotion", "0.246",
		formulatest.Sheet(t, "vitamin", "Tocopherol", "100"), nil), "mos-below-target"))
}

// TestRangesAndPortions: the highest content in the worst portion governs, the
// typical one is shown.
func TestRangesAndPortions(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", ":oil", "10")
	p.IntendedFor = formula.Adults
	v := &formula.Variant{Portions: []formula.Portion{
		{Name: "upper", SharePct: formulatest.Num(t, "50"), Fill: []formula.Fill{formulatest.Fill("oil", "vitamin")}},
		{Name: "lower", SharePct: formulatest.Num(t, "50"), Fill: []formula.Fill{formulatest.Fill("oil", "plain")}},
	}}
	r := calctest.Assess(t, p, v, "shower-gel", rows.EU, 20261125, formulatest.Sheet(t, "water", "Aqua", "100"),
		formulatest.Sheet(t, "vitamin", "Tocopherol", "10-30", "Caprylic/Capric Triglyceride", "q.s."),
		formulatest.Sheet(t, "plain", "Caprylic/Capric Triglyceride", "100"))
	x := calctest.Margin(t, r, "Tocopherol")
	assert.Equal(t, "upper", x.WorstIn)
	assert.Equal(t, "3", x.Content.Max.Exact())
	assert.Equal(t, "2", x.Content.Typ.Exact())
	assert.Equal(t, "1.5", x.Whole.Max.Exact())
	// SED 2.79 × 3 % × 50 % = 0.04185, typical 0.0279; MoS 4.5 / 0.04185 = 107.53, typical 161.29
	assert.InDelta(t, 0.0279, x.SED.Typical, 1e-9)
	assert.InDelta(t, 107.53, x.MoS, 0.01)
	assert.InDelta(t, 161.29, x.MoSTypical, 0.01)
}

// TestReasonsForNoMargin: every reason stands beside the substance, and nothing
// is divided.
func TestReasonsForNoMargin(t *testing.T) {
	named := func(inci string) *ingredients.Sheet { return formulatest.Sheet(t, "m", inci, "100") }
	with := func(podType, pod, study string) *ingredients.Sheet {
		m := named("Exemplum Acid")
		formulatest.Tox(t, m, podType, pod, "", "").Study = study
		return m
	}
	unknownShare := formulatest.Sheet(t, "m", "Glycerin", "60")
	unknownShare.Composition.Complete = false
	scent := formulatest.ScentSheet("m")
	glycidol := named("Glycidol") // found by its number: the table names it with its esters
	glycidol.Composition.Constituents[0].CAS = "556-52-5"
	for name, c := range map[string]struct {
		sheet  *ingredients.Sheet
		inci   string
		kind   string
		reason exposure.NoMargin
		text   string
	}{
		"water": {named("Sea Salt"), "Aqua", "body-lotion", exposure.NoMarginNotNeeded, "water itself"},
		"no value": {named("Exemplum Acid"), "Exemplum Acid", "body-lotion", exposure.NoMarginNoPoD,
			"no point of departure"},
		"not absorbed": {named("Xanthan Gum"), "Xanthan Gum", "body-lotion", exposure.NoMarginNotAbsorbed,
			"absorption 0"},
		"TWI": {named("Cadmium"), "Cadmium", "body-lotion", exposure.NoMarginUnusable,
			"TWI is a safe intake"},
		"T25": {glycidol, "Glycidol", "body-lotion", exposure.NoMarginNoThreshold, "genotoxic"},
		"genotoxic": {named("Aflatoxin B1"), "Aflatoxin B1", "body-lotion",
			exposure.NoMarginNoThreshold, "genotoxic"},
		"no threshold": {named("Lead"), "Lead", "body-lotion", exposure.NoMarginNoThreshold, "no threshold"},
		"ADI on sheet": {with("ADI", "5", ""), "Exemplum Acid", "body-lotion", exposure.NoMarginUnusable,
			"ADI is a safe intake"},
		"LD50": {with("LD50", "2000", ""), "Exemplum Acid", "body-lotion",
			exposure.NoMarginUnusable, `"LD50" is not known`},
		"inhalation": {with("NOAEL", "20", "rat, inhalation, 90 days"), "Exemplum Acid", "body-lotion",
			exposure.NoMarginUnusable, "inhalation study"},
		"undeclared": {unknownShare, "undeclared part of m", "body-lotion", exposure.NoMarginUndeclared,
			"nobody has said"},
		"scent": {scent, "Parfum", "body-lotion", exposure.NoMarginNotDisclosed, "not disclosed"},
		"no exposure": {named("Glycerin"), "Glycerin", "nail-oil", exposure.NoMarginNoExposure,
			"exposure to the product"},
		"titanium, on the skin": {named("Titanium Dioxide"), "Titanium Dioxide", "body-lotion",
			exposure.NoMarginNotAbsorbed, "absorption 0"},
		"titanium, swallowed": {named("Titanium Dioxide"), "Titanium Dioxide", "lipstick",
			exposure.NoMarginNoThreshold, "genotoxicity when swallowed"},
	} {
		x := calctest.Margin(t, calctest.Job(t, c.kind, "1", c.sheet, nil), c.inci)
		assert.Equal(t, exposure.MarginNone, x.Verdict, name)
		assert.Equal(t, c.reason, x.None, name)
		assert.Contains(t, x.Reason, c.text, name)
		assert.Contains(t, x.Arithmetic(), "no MoS: ", name)
		assert.Zero(t, x.MoS, name)
		assert.Nil(t, x.HighestPct, name)
	}
}

// TestAbsoluteAbsorption: 2 µg/cm² a use, face cream, 565 cm², 2.14 uses a day:
//
//	SED = 2 × 0.001 × 565 × 2.14 / 60 = 0.040303 mg/kg bw/d; MoS = 100 × 50 % / 0.040303 = 1240.6
func TestAbsoluteAbsorption(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	v := formulatest.Tox(t, m, "NOAEL", "100", "", "")
	two := formulatest.Num(t, "2")
	v.DermalUgCm2 = &two
	x := calctest.Margin(t, calctest.Job(t, "face-cream", "1", m, nil), "Exemplum Acid")
	assert.True(t, x.SED.ByArea)
	assert.InDelta(t, 0.040303, x.SED.Max, 1e-6)
	assert.InDelta(t, 1240.6, x.MoS, 0.1)
	assert.Nil(t, x.HighestPct, "the content is not in it")
	assert.Contains(t, x.Arithmetic(), "2 µg/cm² × 0.001 × 565 cm² × 2.14 / 60 kg")

	// where the area is not known the default per cent stands, the cautious side
	x = calctest.Margin(t, calctest.Job(t, "face-wash", "1", m, nil), "Exemplum Acid")
	assert.False(t, x.SED.ByArea)
	assert.Equal(t, 50.0, x.Absorption.Pct.Value)
	assert.Contains(t, x.Absorption.Why, "not known")

	// a stated per cent figure that gives more is used: 24.14 × 1 % × 60 % = 0.14484
	sixty := formulatest.Num(t, "60")
	v.DermalAbsorptionPct = &sixty
	x = calctest.Margin(t, calctest.Job(t, "face-cream", "1", m, nil), "Exemplum Acid")
	assert.InDelta(t, 0.14484, x.SED.Max, 1e-9)
}

// TestPoorAbsorption: the lower default of 10 % is named as one, and the margin
// with 50 % stands beside it.
func TestPoorAbsorption(t *testing.T) {
	// polysorbate 20, 30 % in body lotion, NOAEL 2500:
	// SED 123.2 × 30 % × 10 % = 3.696, MoS 1250 / 3.696 = 338.2; with 50 %: 67.64
	r := calctest.Job(t, "body-lotion", "30", formulatest.Sheet(t, "m", "Polysorbate 20", "100"), nil)
	x := calctest.Margin(t, r, "Polysorbate 20")
	assert.Equal(t, exposure.AbsorptionPoor, x.Absorption.Kind)
	assert.InDelta(t, 338.2, x.MoS, 0.1)
	require.NotNil(t, x.OtherAbsorption)
	assert.InDelta(t, 67.64, x.OtherAbsorption.MoS, 0.01)
	assert.Equal(t, exposure.MarginBelow, x.OtherAbsorption.Verdict)
	assert.Len(t, calctest.Findings(r, "absorption-decides"), 1)

	// tartrazine: 534 g/mol and log Pow −10 make a case that is shown, not taken
	x = calctest.Margin(t, calctest.Job(t, "body-lotion", "1", formulatest.Sheet(t, "m", "CI 19140", "100"),
		nil), "CI 19140")
	assert.Equal(t, 50.0, x.Absorption.Pct.Value)
	assert.Contains(t, x.Absorption.PoorCase, "534.36")
	assert.Equal(t, 10.0, x.OtherAbsorption.AbsorptionPct)
	assert.InDelta(t, 5, x.OtherAbsorption.MoS/x.MoS, 1e-9)

	// a measured absorption that is not for this chain length falls back to the default
	x = calctest.Margin(t, calctest.Job(t, "hair-oil", "1",
		formulatest.Sheet(t, "m", "Cetrimonium Chloride", "100"), nil), "Cetrimonium Chloride")
	assert.Equal(t, 50.0, x.Absorption.Pct.Value)
	x = calctest.Margin(t, calctest.Job(t, "hair-oil", "1",
		formulatest.Sheet(t, "m", "Behentrimonium Chloride", "100"), nil), "Behentrimonium Chloride")
	assert.Equal(t, 0.16, x.Absorption.Pct.Value)
}

// TestSwallowed: lip salve, 0.90 mg/kg bw/d, all of it swallowed.
//
//	coumarin 0.1 %: SED = 0.9 × 0.1 % × 100 % = 0.0009; MoS = 10 × 50 % / 0.0009 = 5555.6
//	zinc oxide 10 %: oral absorption 20 % is stated and used on both sides:
//	SED = 0.9 × 10 % × 20 % = 0.018; MoS = 0.83 × 20 % / 0.018 = 9.222
func TestSwallowed(t *testing.T) {
	x := calctest.Margin(t, calctest.Job(t, "lip-balm", "0.1", formulatest.Sheet(t, "m", "Coumarin", "100"),
		nil), "Coumarin")
	assert.Equal(t, exposure.AbsorptionSwallowed, x.Absorption.Kind)
	assert.InDelta(t, 0.0009, x.SED.Max, 1e-12)
	assert.InDelta(t, 5555.6, x.MoS, 0.1)
	x = calctest.Margin(t, calctest.Job(t, "lip-balm", "10", formulatest.Sheet(t, "m", "Zinc Oxide", "100"),
		nil), "Zinc Oxide")
	assert.InDelta(t, 9.222, x.MoS, 0.001)
	// a gum that the mouth does not take up
	x = calctest.Margin(t, calctest.Job(t, "lip-balm", "1", formulatest.Sheet(t, "m", "Xanthan Gum", "100"),
		nil), "Xanthan Gum")
	assert.Equal(t, exposure.NoMarginNotAbsorbed, x.None)
}

// TestDeclaredAllergensAreComputed: what is declared inside a scent has a margin
// of its own beside the undisclosed scent.
func TestDeclaredAllergensAreComputed(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Coumarin", "2")
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "fo", "1")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125, fo,
		formulatest.Sheet(t, "water", "Aqua", "100"))
	// 0.02 %: SED 123.2 × 0.02 % × 50 % = 0.01232; MoS 5 / 0.01232 = 405.84
	assert.InDelta(t, 405.84, calctest.Margin(t, r, "Coumarin").MoS, 0.01)
	assert.Equal(t, exposure.NoMarginNotDisclosed, calctest.Margin(t, r, "Parfum").None)
}

// TestMarginProperties: SED is proportional to content and exposure, the margin
// falls as the content rises, and the highest content is the same whatever the
// content it was computed from.
func TestMarginProperties(t *testing.T) {
	at := func(pct string, o *formula.OwnExposure) *exposure.Margin {
		return calctest.Margin(t, calctest.Job(t, "body-lotion", pct, formulatest.Sheet(t, "m", "Coumarin", "100"),
			o), "Coumarin")
	}
	one := at("1", nil)
	last := one
	for _, k := range []int{2, 3, 5, 10, 40, 90} {
		x := at(formula.Itoa(k), nil)
		assert.InEpsilon(t, float64(k)*one.SED.Max, x.SED.Max, 1e-12)
		assert.Less(t, x.MoS, last.MoS)
		assert.InEpsilon(t, *one.HighestPct, *x.HighestPct, 1e-12)
		last = x
	}
	for _, k := range []int{1, 2, 7} {
		x := at("1", formulatest.Own(t, "relative", formula.Itoa(k)))
		assert.InEpsilon(t, float64(k)/123.2*one.SED.Max, x.SED.Max, 1e-12)
	}
	// units: 1 mg/kg bw/d of product at 100 % and full absorption is 1 mg/kg bw/d
	assert.InDelta(t, 1.0, exposure.SEDByPercent(1, 100, 100), 1e-12)
	// 1000 µg/cm² over 60 cm² once a day at 60 kg is 1 mg/kg bw/d
	assert.InDelta(t, 1.0, exposure.SEDByArea(1000, 60, 1, 60), 1e-12)
	// more divisors and less absorption never raise a point of departure
	assert.Greater(t, exposure.InternalPoD(100, 1, 50), exposure.InternalPoD(100, 3, 50))
	assert.Greater(t, exposure.InternalPoD(100, 3, 50), exposure.InternalPoD(100, 3, 10))
}

// TestHighestContentCapped: a content above 100 % is not a content.
func TestHighestContentCapped(t *testing.T) {
	x := calctest.Margin(t, calctest.Job(t, "shower-gel", "1", formulatest.Sheet(t, "m", "Glycerin", "100"),
		nil), "Glycerin")
	assert.Equal(t, 100.0, *x.HighestPct)
}

// TestMarginsAreSorted: the smallest margin, measured by its own target, first.
func TestMarginsAreSorted(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "m", "10")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"),
		formulatest.Sheet(t, "m", "Glycerin", "50", "Tocopherol", "20", "Phenoxyethanol", "10", "Exemplum Acid", "20"))
	var names []string
	last := 0.0
	for _, x := range r.Margins {
		names = append(names, x.INCI)
		if x.Verdict != exposure.MarginNone {
			assert.GreaterOrEqual(t, x.MoS/x.Target.Value, last)
			last = x.MoS / x.Target.Value
		}
	}
	assert.Equal(t, []string{"Tocopherol", "Phenoxyethanol", "Glycerin", "Aqua", "Exemplum Acid"}, names)
}

// TestNothingSaysSafe: the program prints inputs and arithmetic; judging stays
// with the assessor.
func TestNothingSaysSafe(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "5",
		formulatest.Sheet(t, "m", "Glycerin", "50", "Tocopherol", "20", "Lactic Acid", "30"), nil)
	var all []string
	for _, x := range r.Margins {
		all = append(all, x.Arithmetic(), x.Reason, string(x.Verdict))
	}
	for _, f := range r.Findings {
		all = append(all, wordstest.Said(f).Message, wordstest.Said(f).Fix)
	}
	for _, g := range r.Gaps() {
		all = append(all, g.Missing, g.Why)
	}
	for _, text := range all {
		assert.NotRegexp(t, `(?i)\b(un)?safe\b`, strings.ReplaceAll(text, "safe intake", ""))
	}
}
