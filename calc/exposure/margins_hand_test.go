package exposure_test

import (
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

// What the smallest margin is depends on the target of each: phenoxyethanol,
// target 25, 285.6 / 0.9856 = 289.8 is 11.6 times its target; a substance with 600
// of 100 comes before it (739.2 × 50 % / 0.616 = 600).
func TestMarginsAreRankedByTheirTargets(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Phenoxyethanol", "50", "Exemplum Acid", "50")
	formulatest.Tox(t, m, "NOAEL", "739.2", "", "").INCI = "Exemplum Acid"
	r := calctest.Job(t, "body-lotion", "2", m, nil)
	require.InDelta(t, 600, calctest.Margin(t, r, "Exemplum Acid").MoS, 1e-9)
	assert.Equal(t, "Exemplum Acid", r.Margins[0].INCI)
	assert.Equal(t, "Phenoxyethanol", r.Margins[1].INCI)
}

// Portions with the same content as the whole: the whole is named.
func TestEqualPortionsAreTheWhole(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "m", "10")
	v := &formula.Variant{Portions: []formula.Portion{{Name: "a", SharePct: formulatest.Num(t, "50")},
		{Name: "b", SharePct: formulatest.Num(t, "50")}}}
	m := formulatest.Traced(t, formulatest.Sheet(t, "m", "Tocopherol", "100"), "Lead", "30 ppm")
	r := calctest.Assess(t, p, v, "shower-gel", rows.EU, 20261125, formulatest.Sheet(t, "water", "Aqua", "100"), m)
	assert.Equal(t, "", calctest.Margin(t, r, "Tocopherol").WorstIn)
	lead := traceOf(t, r, "Lead")
	assert.Equal(t, "", lead.WorstIn)
	assert.Equal(t, "", checkFor(t, lead, "bvl-lead").In)
}

// The portion with the trace comes last here: the one without it does not hide it.
func TestTraceInTheLastPortion(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", ":colour", "10")
	v := &formula.Variant{Portions: []formula.Portion{
		{Name: "clear", SharePct: formulatest.Num(t, "75"), Fill: []formula.Fill{formulatest.Fill("colour", "water")}},
		{Name: "grey", SharePct: formulatest.Num(t, "25"), Fill: []formula.Fill{formulatest.Fill("colour", "clay")}},
	}}
	r := calctest.Assess(t, p, v, "shower-gel", "GB", 20261125, formulatest.Sheet(t, "water", "Aqua", "100"),
		formulatest.Traced(t, formulatest.Sheet(t, "clay", "Kaolin", "100"), "Lead", "30 ppm"))
	c := checkFor(t, traceOf(t, r, "Lead"), "bvl-lead")
	assert.Equal(t, "grey", c.In)
	assert.Equal(t, "3", c.FoundMg.Max.Exact()) // 10 % × 30
}

func TestMarginsWithoutADose(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Glycerin", "100", "Tocopherol", "0")
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Tocopherol")
	assert.Equal(t, exposure.NoMarginNotThere, x.None)
	assert.Equal(t, "its content is 0", x.Reason)

	m = formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "", "0")
	x = calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid")
	assert.Equal(t, exposure.NoMarginNotAbsorbed, x.None)
	assert.Equal(t, "absorption 0 in the study: no internal dose to start from", x.Reason)
	assert.Equal(t, exposure.MarginNone, x.Verdict)
	assert.Zero(t, x.MoS)

	// an internal dose of 1 mg/kg bw/d is one: 2 × 50 % / 0.616 = 1.623
	m = formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "2", "", "")
	assert.InDelta(t, 1.623, calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid").MoS, 0.001)

	assert.Equal(t, "no MoS: the exposure to the product is not known",
		calctest.Margin(t, calctest.Job(t, "nail-oil", "1", m, nil), "Exemplum Acid").Arithmetic())
}

// The other default absorption stands beside a margin only where it decides
// something. A dermal study counts by the same absorption as the dose, so the
// margin does not change with it:
//
//	tartrazine 50 %, own exposure 2: dermal NOAEL 100: 100 × 50 % / 0.5 = 100, with 10 %: 10 / 0.1 = 100
//	face mist, 1 %: 0.1207 + 0.000015015 with 50 %, 0.02414 + 0.000015015 with 10 %
func TestOtherAbsorptionByHand(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "", "")
	assert.Nil(t, calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid").OtherAbsorption)

	m = formulatest.Sheet(t, "m", "CI 19140", "100")
	v := formulatest.Tox(t, m, "NOAEL", "100", "", "")
	v.Study, v.Replaces = "rat, dermal, 90 days", true
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "50", m, formulatest.Own(t, "relative", "2")), "CI 19140")
	assert.Equal(t, 100.0, x.MoS)
	require.NotNil(t, x.OtherAbsorption)
	assert.Equal(t, 100.0, x.OtherAbsorption.MoS)
	assert.Equal(t, exposure.MarginReached, x.OtherAbsorption.Verdict)

	x = calctest.Margin(t, calctest.Job(t, "face-mist", "1", formulatest.Sheet(t, "m", "CI 19140", "100"), nil),
		"CI 19140")
	assert.InEpsilon(t, 0.120715015/0.024155015, x.OtherAbsorption.MoS/x.MoS, 1e-9)

	// polysorbate 20 is taken as poorly absorbed; a dose per area leaves no other
	m = formulatest.Sheet(t, "m", "Polysorbate 20", "100")
	two := formulatest.Num(t, "2")
	formulatest.Tox(t, m, "", "", "", "").DermalUgCm2 = &two
	x = calctest.Margin(t, calctest.Job(t, "face-cream", "1", m, nil), "Polysorbate 20")
	assert.True(t, x.SED.ByArea)
	assert.Equal(t, "taken as poorly absorbed; the assessor confirms the reasons", x.Absorption.Why)
	assert.Nil(t, x.OtherAbsorption)
	x = calctest.Margin(t, calctest.Job(t, "hair-oil", "1",
		formulatest.Sheet(t, "m", "Cetrimonium Chloride", "100"), nil), "Cetrimonium Chloride")
	assert.Contains(t, x.Absorption.Why, "does not hold for this shorter chain", "tox-use.csv, row cetrimonium-chloride")
}

// The arithmetic as a reader adds it up, four digits of each figure; full
// absorption in the study is not written as a factor.
func TestMarginArithmeticWords(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "50", "", "100").Source = ""
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "50", m, formulatest.Own(t, "relative", "2")), "Exemplum Acid")
	assert.Equal(t, "SED = 2 × 50 % × 50 % = 0.5 mg/kg bw/d; MoS = 50 / 0.5 = 100", x.Arithmetic())
	assert.Equal(t, "sheet m", x.PoD.Systemic.Source)
	m.Toxicology[0].Source = "study report"
	x = calctest.Margin(t, calctest.Job(t, "body-lotion", "50", m, nil), "Exemplum Acid")
	assert.Equal(t, "study report", x.PoD.Systemic.Source)

	// 24.14 × 1.23456 % × 50 % = 0.149011…, 0.0015015 × 1.23456 % = 0.0000185; 5 / 0.14903 = 33.55
	x = calctest.Margin(t, calctest.Job(t, "face-mist", "1.23456", formulatest.Sheet(t, "m", "Coumarin", "100"),
		nil), "Coumarin")
	assert.Equal(t, "SED = 24.14 × 1.235 % × 50 % + 0.001502 × 1.235 % inhaled = 0.149 mg/kg bw/d; MoS = 10 × 50 % / 0.149 = 33.6", x.Arithmetic())

	// lactic acid in shower gel at 1 % (see TestScreening): 13.95 µg against 46 × 50 % = 23
	x = calctest.Margin(t, calctest.Job(t, "shower-gel", "1", formulatest.Sheet(t, "m", "Lactic Acid", "100"),
		nil), "Lactic Acid")
	assert.Equal(t, "SED = 2.79 × 1 % × 50 % = 0.01395 mg/kg bw/d; no MoS: no point of departure is known; "+
		"TTC Cramer class I: 46 µg/kg bw/d × 50 % = 23; SED 13.95 ≤ 23", x.Arithmetic())
}

// The threshold is reached exactly: 0.023 mg/kg bw/d = 23 µg: 2 × 2.3 % × 50 %.
func TestScreeningExactlyAtTheThreshold(t *testing.T) {
	at := func(pct string) *exposure.Screening {
		return calctest.Margin(t, calctest.Job(t, "shower-gel", pct,
			formulatest.Sheet(t, "m", "Lactic Acid", "100"), formulatest.Own(t, "relative", "2")), "Lactic Acid").TTC
	}
	assert.Equal(t, exposure.ScreenBelow, at("2.3").Verdict)
	assert.Equal(t, 23.0, at("2.3").DoseUg)
	// 46 mg/kg × 0.1 % × 50 % = 23 µg; in binary fractions it comes out above
	binary := calctest.Margin(t, calctest.Job(t, "shower-gel", "0.1",
		formulatest.Sheet(t, "m", "Lactic Acid", "100"), formulatest.Own(t, "relative", "46")), "Lactic Acid").TTC
	assert.Equal(t, exposure.ScreenBelow, binary.Verdict)
	assert.Equal(t, 23.0, binary.DoseUg)
	above := at("2.3000000000001")
	assert.Equal(t, exposure.ScreenAbove, above.Verdict)
	assert.Contains(t, above.Arithmetic, "SED 23.000000000001 > 23")
}

// A class of the table and the same of a sheet: the table's mark stays.
func TestScreeningClassOfTheTable(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Lactic Acid", "100")
	formulatest.Tox(t, m, "", "", "", "").CramerClass = "I"
	assert.NotEqual(t, formula.SeenGiven,
		calctest.Margin(t, calctest.Job(t, "shower-gel", "1", m, nil), "Lactic Acid").TTC.ClassSeen)
	m.Toxicology[0].CramerClass = "III"
	s := calctest.Margin(t, calctest.Job(t, "shower-gel", "1", m, nil), "Lactic Acid").TTC
	assert.Equal(t, "III", s.Class)
	assert.Equal(t, formula.SeenGiven, s.ClassSeen)

	m = formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	m.Composition.Constituents[0].Nano = true
	formulatest.Tox(t, m, "", "", "", "").CramerClass = "I"
	assert.Contains(t, calctest.Margin(t, calctest.Job(t, "shower-gel", "1", m, nil),
		"Exemplum Acid").Arithmetic(), "; TTC not applicable: nanomaterials")
}

// What has no value, or one that may not be screened, is asked about; what is
// screened or has another reason is not.
func TestSubstancesWithoutAPointOfDeparture(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "20", "Lactic Acid", "20", "Glycerin", "20",
		"Exemplum Polymer", "20", "Xanthan Gum", "20")
	formulatest.Tox(t, m, "", "", "", "").CramerClass = "III"
	m.Toxicology[0].INCI = "Exemplum Polymer"
	r := calctest.Job(t, "shower-gel", "0.5", m, nil)
	f := calctest.Finding(t, r, "no-point-of-departure")
	assert.ElementsMatch(t, []string{"Exemplum Acid", "Exemplum Polymer"}, wordstest.Said(f).Items)
	assert.Equal(t, finding.Ask, f.Severity)
	assert.Empty(t, calctest.Findings(calctest.Job(t, "shower-gel", "1",
		formulatest.Sheet(t, "m", "Glycerin", "100"), nil), "no-point-of-departure"))

	assert.Equal(t, finding.Ask, calctest.Finding(t,
		calctest.Job(t, "shower-gel", "2", formulatest.Sheet(t, "m", "Lactic Acid", "100"), nil), "ttc-exceeded").Severity)
	assert.Equal(t, finding.Ask, calctest.Finding(t,
		calctest.Job(t, "body-lotion", "30", formulatest.Sheet(t, "m", "Polysorbate 20", "100"), nil),
		"absorption-decides").Severity)

	// a value for a substance that is not in the sheet is asked about once, for that
	m = formulatest.Sheet(t, "m", "Glycerin", "100")
	formulatest.Tox(t, m, "ADI", "10", "", "").INCI = "Glycerol Formal"
	r = calctest.Job(t, "body-lotion", "5", m, nil)
	assert.Len(t, calctest.Findings(r, "toxicology-unmatched"), 1)
	assert.Empty(t, calctest.Findings(r, "not-a-pod"))
}

// Two lines bring as much of it: the finding stands at the first.
func TestMarginFindingStandsAtTheFirstOfEqualLines(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "a", "0.5", "b", "0.5")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"), formulatest.Sheet(t, "a", "Tocopherol", "100"),
		formulatest.Sheet(t, "b", "Tocopherol", "100"))
	assert.Equal(t, 11, calctest.Finding(t, r, "mos-below-target").Pos.Line)
}

// Oral absorption of what is swallowed: the highest of what table and sheets
// state, save where a sheet replaces the table. Zinc oxide has 20 % in the table.
func TestSwallowedAbsorptionOfSheets(t *testing.T) {
	at := func(oral string, replaces bool) exposure.Absorption {
		m := formulatest.Sheet(t, "m", "Zinc Oxide", "100")
		formulatest.Tox(t, m, "", "", "", oral).Replaces = replaces
		return calctest.Margin(t, calctest.Job(t, "lip-balm", "10", m, nil), "Zinc Oxide").Absorption
	}
	assert.Equal(t, 20.0, at("10", false).Pct.Value)
	assert.Equal(t, 30.0, at("30", false).Pct.Value)
	assert.Equal(t, "swallowed, oral absorption stated on sheet m", at("30", false).Why)
	assert.Equal(t, 10.0, at("10", true).Pct.Value)
	assert.Equal(t, 20.0, at("", true).Pct.Value, "a sheet that says nothing of it replaces nothing")

	// a sheet's NOAEL counts by the lower absorption that the table states: 100 × 20 %
	m := formulatest.Sheet(t, "m", "Zinc Oxide", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "", "").Replaces = true
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "10", m, nil), "Zinc Oxide")
	assert.InDelta(t, 20, x.PoDSys, 1e-9)
	assert.Equal(t, "oral absorption stated for the substance", x.PoD.SystemicWhy)
	// 60 % on the sheet of glycerin, where the table has the default of 50
	m = formulatest.Sheet(t, "m", "Glycerin", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "", "")
	assert.Equal(t, "oral study, absorption not known",
		calctest.Margin(t, calctest.Job(t, "body-lotion", "10", m, nil), "Glycerin").PoD.SystemicWhy)
}

// Of several values the lowest before the factor for duration is used, and those
// that no margin may start from come last.
func TestOrderOfPointsOfDeparture(t *testing.T) {
	value := func(m *ingredients.Sheet, kind, pod, study string) {
		formulatest.Tox(t, m, kind, pod, "", "").Study = study
	}
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	value(m, "ADI", "1", "")
	value(m, "NOAEL", "200", "")
	value(m, "NOAEL", "100", "")
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid")
	assert.Equal(t, 100.0, x.PoD.Value)
	require.Len(t, x.Others, 2)
	assert.Equal(t, []float64{200, 1}, []float64{x.Others[0].Value, x.Others[1].Value})

	m = formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	value(m, "NOAEL", "150", "rat, oral, 90 days")
	value(m, "NOAEL", "200", "rat, oral, 28 days") // / 3 it would be the lowest
	assert.Equal(t, 150.0, calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid").PoD.Value)
	m = formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	value(m, "NOAEL", "150", "rat, oral, 90 days")
	value(m, "NOAEL", "150", "rat, oral, 28 days") // the same dose: the cautious one
	assert.Equal(t, 3.0, calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid").PoD.Divisor())

	assert.Equal(t, "28-day study.",
		calctest.Margin(t, calctest.Job(t, "body-lotion", "0.1", formulatest.Sheet(t, "m", "Linalool", "100"), nil),
			"Linalool").PoD.DurationFactor.Note)
}

// A preservative without exposure through the skin, and one without a value.
func TestAggregateWithoutAMargin(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Phenoxyethanol", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "0", "").Replaces = true
	a := calctest.Job(t, "toothpaste", "1", m, nil).Aggregates[0]
	assert.Equal(t, exposure.MarginNone, a.Verdict)
	assert.Equal(t, "absorption 0: no systemic exposure is assumed, so nothing is divided", a.Reason)
	assert.Contains(t, a.Arithmetic, "no MoS: absorption 0")

	m = formulatest.Sheet(t, "m", "Phenoxyethanol", "100")
	formulatest.Tox(t, m, "LD50", "100", "", "").Replaces = true
	a = calctest.Job(t, "body-lotion", "1", m, nil).Aggregates[0]
	assert.Contains(t, a.Reason, `"LD50" is not known`)

	// an internal dose of 1 mg/kg bw/d: 2 × 50 % / (269 × 1 % × 50 %) = 0.7435
	m = formulatest.Sheet(t, "m", "Phenoxyethanol", "100")
	formulatest.Tox(t, m, "NOAEL", "2", "50", "").Replaces = true
	assert.InDelta(t, 0.7435, calctest.Job(t, "body-lotion", "1", m, nil).Aggregates[0].MoS, 0.0001)
}

// By hand: 1150 of 25 is 46 times its target, 737 of 100 is 7.37 times, so that the greater
// margin with the lower target is not the nearest to it; of those without a margin only
// what has no value on file is open.
func TestOfTarget(t *testing.T) {
	far := exposure.MarginWith(exposure.MarginFigures{MoS: 1150, Target: formula.Stated{Value: 25}})
	near := exposure.MarginWith(exposure.MarginFigures{MoS: 737, Target: formula.Stated{Value: 100}})
	none := exposure.MarginWith(exposure.MarginFigures{Verdict: exposure.MarginNone, None: exposure.NoMarginNoPoD})
	require.InDelta(t, 46, far.OfTarget(), 1e-12)
	require.InDelta(t, 7.37, near.OfTarget(), 1e-12)
	require.Greater(t, none.OfTarget(), far.OfTarget())
	require.True(t, none.Open())
	require.False(t, far.Open())
	for _, settled := range []exposure.NoMargin{exposure.NoMarginNotNeeded, exposure.NoMarginNotDisclosed,
		exposure.NoMarginNotAbsorbed, exposure.NoMarginNotThere} {
		x := exposure.MarginWith(exposure.MarginFigures{Verdict: exposure.MarginNone, None: settled})
		require.False(t, x.Open(), settled)
	}
}
