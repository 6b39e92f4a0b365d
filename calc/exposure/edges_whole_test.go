package exposure_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/listing"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// filter is a UV filter with a NOAEL, half of it absorbed in the study, and a dermal
// absorption in per cent or µg/cm²; both stand in for the table.
func filter(t testing.TB, noael, percent, perArea string) *ingredients.Sheet {
	t.Helper()
	m := formulatest.Sheet(t, "m", "Octocrylene", "100")
	m.Functions = []string{"uv filter"}
	v := formulatest.Tox(t, m, "NOAEL", noael, percent, "50")
	v.Replaces = true
	if perArea != "" {
		v.DermalUgCm2 = formulatest.Ptr(formulatest.Num(t, perArea))
	}
	return m
}

// An aggregate exactly at its target, by hand; the figures of SCCS/1627/21 add up to 357.74:
//
//	sunscreen, one of the classes: 357.74 × 10 % × 50 % = 17.887; NOAEL 3577.4 × 50 % / 17.887 = 100
//	body lotion, none of them: (357.74 + 123.20) × 10 % × 50 % = 24.047; 4809.4 × 50 % / 24.047 = 100
//	lipstick, stated as 0.5 in place of 0.90: 357.34 × 10 % × 50 % = 17.867; 3573.4 × 50 % / 17.867 = 100
//	by area: 60 × 0.001 × 37,938.7 cm² / 60 = 37.9387; 7587.74 × 50 % / 37.9387 = 100
func TestAggregateAtItsTarget(t *testing.T) {
	for _, c := range []struct {
		product, noael, below, perArea string
		own                            *formula.OwnExposure
		text                           string
	}{
		{"sunscreen", "3577.4", "3577.39", "", nil, "SED = 357.7 × 10 % × 50 %"},
		{"body-lotion", "4809.4", "4809.39", "", nil, "SED = (357.7 + 123.2 of this product) × "},
		{"lipstick", "3573.4", "3573.39", "", formulatest.Own(t, "relative", "0.5"),
			"SED = ((357.7 − 0.9) + 0.5 of this product) × "},
		{"sunscreen", "7587.74", "7587.73", "60", nil, "SED = 60 µg/cm² × "},
		// lipstick once a day in place of twice on 4.8 cm²: 60 × 0.001 × 37,933.9 cm² / 60
		{"lipstick", "7586.78", "7586.77", "60", formulatest.Own(t, "g", "0.03", "area", "4.8", "times", "1"),
			"SED = 60 µg/cm² × "},
	} {
		percent := "50"
		if c.perArea != "" {
			percent = ""
		}
		a := calctest.Job(t, c.product, "10", filter(t, c.noael, percent, c.perArea), c.own).Aggregates[0]
		assert.Equal(t, 100.0, a.MoS, c.product)
		assert.Equal(t, exposure.MarginReached, a.Verdict, c.product)
		assert.Contains(t, a.Arithmetic, c.text)
		r := calctest.Job(t, c.product, "10", filter(t, c.below, percent, c.perArea), c.own)
		assert.Equal(t, exposure.MarginBelow, r.Aggregates[0].Verdict, c.product)
		assert.Equal(t, "10", calctest.Finding(t, r, "aggregate-below-target").Grade.Exact())
	}
}

// Of a preservative the total counts toothpaste and mouthwash too, which have no skin area:
// absorption measured in µg/cm² gives no figure there, and the default of 50 % of 269 counts.
// It is the skin's for a product that is swallowed, where 80 % are stated for the skin.
func TestAggregateOfAPreservative(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Benzyl Alcohol", "100")
	m.Functions = []string{"preservative"}
	v := formulatest.Tox(t, m, "NOAEL", "1000", "", "")
	v.Replaces, v.DermalUgCm2 = true, formulatest.Ptr(formulatest.Num(t, "1"))
	a := calctest.Job(t, "body-lotion", "1", m, nil).Aggregates[0]
	assert.False(t, a.ByArea)
	assert.InDelta(t, 269*0.01*0.5, a.SED, 1e-9)
	r := calctest.Job(t, "lip-balm", "1", formulatest.Sheet(t, "m", "Phenoxyethanol", "100"), nil)
	assert.Equal(t, 80.0, r.Aggregates[0].AbsorbedPct)
	assert.NotEqual(t, 80.0, calctest.Margin(t, r, "Phenoxyethanol").Absorption.Pct.Value)
}

// Variants that are computed together have the margins and aggregates that each has alone:
// with the same content in a portion of another name, and with a value on a sheet or none.
func TestMarginsTogetherAsAlone(t *testing.T) {
	stated := formulatest.Sheet(t, "stated", "Phenoxyethanol", "100")
	formulatest.Tox(t, stated, "NOAEL", "10", "", "").Replaces = true
	other := formulatest.Sheet(t, "other", "Phenoxyethanol", "100")
	formulatest.Tox(t, other, "NOAEL", "20", "", "").Replaces = true
	sheets := map[string]*ingredients.Sheet{"water": formulatest.Sheet(t, "water", "Aqua", "100"), "other": other,
		"plain": formulatest.Sheet(t, "plain", "Phenoxyethanol", "100"), "stated": stated}
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", ":one", "1")
	p.IntendedFor = formula.Adults
	tables := table.Builtin()
	kind, ok := law.ProductType(tables, "body-lotion")
	require.True(t, ok)
	variant := func(names ...string) *formula.Variant {
		v := &formula.Variant{Fill: []formula.Fill{formulatest.Fill("one", names[0])}}
		for i := 1; i < len(names); i += 2 {
			v.Portions = append(v.Portions, formula.Portion{Name: names[i], SharePct: formulatest.Num(t, "50"),
				Fill: []formula.Fill{formulatest.Fill("one", names[i+1])}})
		}
		return v
	}
	shared := &formula.Shared{}
	text := func(in formula.Input, v *formula.Variant, shared *formula.Shared) string {
		in.Variant, in.Shared = v, shared
		r := calc.AssessMarkets(&in, []rows.Market{rows.EU})[0]
		out, err := json.Marshal([]any{r.Margins, r.Aggregates})
		require.NoError(t, err)
		return string(out)
	}
	in := formula.Input{Product: p, Type: kind, Sheets: sheets, Date: today,
		Materials: formula.PrepareAll(sheets, tables.Dictionary()), Session: formulatest.Session(tables)}
	for i, v := range []*formula.Variant{variant("plain"), variant("stated"), variant("other"), variant("plain"),
		variant("plain", "left", "plain", "right", "water"), variant("plain", "top", "plain", "foot", "water"),
		variant("stated", "left", "stated", "right", "plain")} {
		assert.Equal(t, text(in, v, nil), text(in, v, shared), i)
	}
	// an assessor's figure is that of the product: no variant has another
	in.Judged = []formula.Judged{decided("Phenoxyethanol")}
	in.Judged[0].PoD = formulatest.Ptr(formulatest.Num(t, "30"))
	assert.Equal(t, text(in, variant("plain"), nil), text(in, variant("plain"), shared))
}

// Three substances of one word are one sum: NOAEL 100, half absorbed, each 0.5 / 3 %.
func TestSumOfThree(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum A", "40", "Exemplum B", "30", "Exemplum C", "30")
	for _, c := range m.Composition.Constituents {
		v := formulatest.Tox(t, m, "NOAEL", "10", "", "")
		v.INCI, v.SumWith = c.INCI, "together"
	}
	r := calctest.Job(t, "body-lotion", "50", m, formulatest.Own(t, "relative", "2"))
	require.Len(t, r.SumMargins, 1)
	assert.Len(t, r.SumMargins[0].Substances, 3)
	assert.InDelta(t, 10, r.SumMargins[0].MoS, 1e-9) // 10 × 50 % / (2 × 50 % × 50 %)
	assert.Equal(t, finding.Ask, calctest.Finding(t, r, "sum-margin").Severity)
}

// Traces are those alone that a sheet declares. A figure for raw materials is compared with
// the worst of them, wherever it stands, and its supplier is asked: 0.04 and 0.06 mg/kg of a
// nitrosamine where 0.05 is the figure. A portion is named.
func TestWhereATraceIs(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "a", "50", "b", "50")
	b := formulatest.Supplied(formulatest.Traced(t, formulatest.Sheet(t, "b", "Talc", "100"),
		"N-Nitrosodiethanolamine", "0.06 ppm"), "Birch Supplies (invented)", "")
	b.Pos = exact.Pos{File: "ingredients/b.yaml", Line: 2}
	r := calctest.Assess(t, p, &formula.Variant{}, "face-cream", "GB", 20261125,
		formulatest.Traced(t, formulatest.Sheet(t, "a", "Kaolin", "100"), "N-Nitrosodiethanolamine", "0.04 ppm"), b)
	require.Len(t, r.Traces, 1)
	c := checkFor(t, traceOf(t, r, "N-Nitrosodiethanolamine"), "eu-nitrosamines")
	assert.Equal(t, []string{"b", "0.06"}, []string{c.In, c.FoundMg.Max.Exact()})
	f := calctest.Finding(t, r, "trace-above-guidance")
	material, _ := f.Values.Get("material")
	assert.Equal(t, []any{"b", b.Pos, []finding.Party{b.Asked(), finding.TheAssessor}}, []any{material.ID, f.Pos, f.Who})

	p = formulatest.WithFormula(t, formula.Percent, "water", "q.s.", ":colour", "10")
	v := &formula.Variant{Portions: []formula.Portion{
		{Name: "grey", SharePct: formulatest.Num(t, "25"), Fill: []formula.Fill{formulatest.Fill("colour", "clay")}},
		{Name: "clear", SharePct: formulatest.Num(t, "75"), Fill: []formula.Fill{formulatest.Fill("colour", "water")}}}}
	r = calctest.Assess(t, p, v, "shower-gel", "GB", 20261125, formulatest.Sheet(t, "water", "Aqua", "100"),
		formulatest.Traced(t, formulatest.Sheet(t, "clay", "Kaolin", "100"), "Lead", "30 ppm"))
	assert.Contains(t, wordstest.Said(calctest.Finding(t, r, "trace-above-guidance")).Message, "portion grey")
	x := traceOf(t, r, "Lead").Margin
	assert.Equal(t, "0.000075", x.Whole.Max.Exact()) // 25 % × 10 % × 30 mg/kg
	assert.Equal(t, "0.0003", x.Content.Max.Exact())

	// a margin of a trace below its target is that of a trace: phenol, see TestTraceBelowTarget
	r = calctest.Job(t, "body-lotion", "50",
		formulatest.Traced(t, formulatest.Sheet(t, "m", "Glycerin", "100"), "Phenol", "1.2 %"), nil)
	assert.Equal(t, "trace", calctest.Finding(t, r, "mos-below-target").Cause)
}

// What findings weigh by is the highest content.
func TestGradeOfMargins(t *testing.T) {
	for _, c := range []struct{ code, product, pct, inci string }{
		{"ttc-exceeded", "shower-gel", "2", "Lactic Acid"},
		{"absorption-decides", "body-lotion", "30", "Polysorbate 20"},
	} {
		f := calctest.Finding(t, calctest.Job(t, c.product, c.pct, formulatest.Sheet(t, "m", c.inci, "100"), nil), c.code)
		assert.Equal(t, c.pct, f.Grade.Exact(), c.code)
	}
}

// A class of the table of Cramer classes: 2,3,6-trimethylphenol is of class I (EFSA
// OpenFoodTox 2023), 46 µg/kg bw/d; the stricter class of a sheet goes before it.
func TestScreeningByThePublishedClass(t *testing.T) {
	m := formulatest.Sheet(t, "m", "2,3,6-Trimethylphenol", "100")
	s := calctest.Margin(t, calctest.Job(t, "shower-gel", "0.1", m, nil), "2,3,6-Trimethylphenol").TTC
	require.NotNil(t, s)
	assert.Equal(t, []any{"I", "seen", 46.0}, []any{s.Class, s.ClassSeen, s.Limit.Value})
	formulatest.Tox(t, m, "", "", "", "").CramerClass = "III"
	s = calctest.Margin(t, calctest.Job(t, "shower-gel", "0.1", m, nil), "2,3,6-Trimethylphenol").TTC
	assert.Equal(t, []any{"III", formula.SeenGiven, 2.3}, []any{s.Class, s.ClassSeen, s.Limit.Value})
}

// Two values held to different targets: that which comes nearest to its own is used, a factor
// for a short study left out. By hand: 90 of a rat in 28 days, half absorbed, 45 of 100;
// 8 of people, half absorbed, 4 of 10: the second, whichever stands first.
func TestNearestOfTwoTargets(t *testing.T) {
	for _, first := range []bool{true, false} {
		m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
		add := func(pod, study string) { formulatest.Tox(t, m, "NOAEL", pod, "", "").Study = study }
		if first {
			add("90", "rat, oral, 28 days")
		}
		add("8", "human volunteers, 90 days")
		if !first {
			add("90", "rat, oral, 28 days")
		}
		x := calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid")
		require.Equal(t, 10.0, x.Target.Value)
		assert.Equal(t, 8.0, x.PoD.Value)
	}
}

// A value from people is held to a target without the factor between species; where the sheet
// asks for the general one all the same, the finding says what that factor is. NOAEL 40, all
// of it absorbed, against 0.616 × … : 40 / (123.2 × 1 % × 50 %) = 64.9, below 100.
func TestFactorBetweenSpeciesIsTold(t *testing.T) {
	of := func(target string) finding.Finding {
		m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
		v := formulatest.Tox(t, m, "NOAEL", "40", "", "100")
		v.Study = "human volunteers, 90 days"
		v.Target, v.TargetReason = formulatest.Ptr(formulatest.Num(t, target)), "stated"
		return calctest.Finding(t, calctest.Job(t, "body-lotion", "1", m, nil), "mos-below-target")
	}
	for target, told := range map[string]bool{"100": true, "99": false} {
		v, ok := of(target).Values.Get("between_species")
		assert.Equal(t, told, ok, target)
		if told {
			assert.Equal(t, "10", v.Text)
		}
	}
}

// Why there is no margin, in order: insoluble particles, and a substance without threshold
// whose assessor gave a figure that is no point of departure.
func TestReasonsForNoMarginInOrder(t *testing.T) {
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "1", formulatest.Sheet(t, "m", "Kaolin", "100"), nil), "Kaolin")
	assert.Equal(t, exposure.NoMarginNotAbsorbed, x.None)
	assert.Equal(t, "insoluble particles: no uptake through intact skin is assumed, which the assessor confirms", x.Reason)

	m := formulatest.Sheet(t, "m", "Lead", "100")
	j := decided("Lead")
	j.PoD, j.PoDType = formulatest.Ptr(formulatest.Num(t, "30")), "LD50"
	x = calctest.Margin(t, judged(t, m, j), "Lead")
	assert.Equal(t, exposure.NoMarginUnusable, x.None, "the assessor has decided that there is a threshold")
	assert.Equal(t, exposure.NoMarginNoThreshold, calctest.Margin(t, judged(t, m), "Lead").None)

	none := exposure.MarginWith(exposure.MarginFigures{})
	assert.Empty(t, none.Arithmetic())
	assert.Empty(t, (&exposure.LocalDose{Reason: "the skin area treated is not known"}).Arithmetic())
}

// A content that is typically 0 has no typical margin.
func TestTypicalContentOfNothing(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "1", "Glycerin", "99")
	m.Composition.Constituents[0].Pct.Range = exact.Range{Max: exact.Int(1)}
	m.Composition.Constituents[1].Pct.Range = exact.Range{Min: exact.Int(99), Typ: exact.Int(100), Max: exact.Int(100)}
	formulatest.Tox(t, m, "NOAEL", "100", "", "")
	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "10", m, nil), "Exemplum Acid")
	require.Equal(t, "0", x.Content.Typ.Exact())
	assert.Zero(t, x.MoSTypical)
	assert.InDelta(t, 100*0.5/(123.2*0.001*0.5), x.MoS, 1e-6)
}

// Absorption of what is swallowed, as the assessor decided it; a study through the skin by
// the table in typed form: phenethyl alcohol, rat, dermal, 90 days.
func TestAbsorptionAndRouteOnFile(t *testing.T) {
	tables := table.Builtin()
	kind, ok := law.ProductType(tables, "lip-balm")
	require.True(t, ok)
	r := judged(t, formulatest.Sheet(t, "m", "Exemplum Acid", "100"))
	in := *r.Input
	in.Type = kind
	in.Judged = []formula.Judged{decided("Exemplum Acid")}
	in.Judged[0].AbsorptionPct = formulatest.Ptr(formulatest.Num(t, "30"))
	assert.Equal(t, 30.0, calctest.Margin(t, calc.Assess(&in), "Exemplum Acid").Absorption.Pct.Value)

	x := calctest.Margin(t, calctest.Job(t, "body-lotion", "0.5", formulatest.Sheet(t, "m", "Phenethyl Alcohol", "100"),
		nil), "Phenethyl Alcohol")
	require.NotNil(t, x.PoD)
	assert.Equal(t, []any{510.0, "dermal"}, []any{x.PoD.Value, x.PoD.Route})
}

// Doses per area are of the allergens that are there; where the area is not known each has
// the film of value 0 and the reason.
func TestLocalDosesLeaveOutWhatIsNotThere(t *testing.T) {
	in := formulatest.OfType(t, "nail-oil", formula.Adults, nil)
	some := exact.Exactly(formulatest.Num(t, "0.01"))
	doses, fs := exposure.LocalDoses(in, []listing.AllergenTotal{{LabelName: "Linalool"},
		{LabelName: "Coumarin", Worst: some}}, exposure.Exposure{})
	require.Len(t, doses, 1)
	assert.Equal(t, "Coumarin", doses[0].LabelName)
	require.NotNil(t, doses[0].ProductMgCm2)
	assert.Zero(t, doses[0].ProductMgCm2.Value)
	assert.Equal(t, "the exposure to the product is not known", doses[0].Reason)
	assert.Empty(t, fs)
}

// One use of a face mask, 1.42 g over 0.142 uses a day: 10 g, which its amount and its
// uses say. Nothing that stays is said of a child's product alone.
func TestNotesOfAnExposure(t *testing.T) {
	e, _ := exposureOf(t, "face-mask-rinse-off", formula.Adults, nil)
	const note = "one use of 10 g a day; the source spreads 0.142 uses a day over the year"
	assert.Equal(t, []string{note, note}, []string{e.AmountG.Note, e.PerDay.Note})
	_, codes := exposureOf(t, "body-lotion", formula.ChildrenThree, formulatest.Own(t, "g", "2", "retention", "0"))
	assert.Equal(t, []string{"ask exposure-incomplete"}, codes)
	_, codes = exposureOf(t, "nail-oil", formula.ChildrenThree, nil)
	assert.Equal(t, []string{"ask no-exposure"}, codes)
}

// A threshold that was not read in its source is among the figures to be confirmed: that of
// class II, of which facts.csv says so, and not that of class I.
func TestThresholdsThatWereNotRead(t *testing.T) {
	for class, told := range map[string]bool{"I": false, "II": true} {
		m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
		formulatest.Tox(t, m, "", "", "", "").CramerClass = class
		x := calctest.Margin(t, calctest.Job(t, "shower-gel", "0.001", m, nil), "Exemplum Acid")
		require.NotNil(t, x.TTC)
		found := false
		for _, f := range x.Memory {
			found = found || f.What == "threshold of toxicological concern"
		}
		assert.Equal(t, told, found, class)
	}
}

// A sum of margins stands at the line of the substance that comes nearest to its target.
func TestPlaceOfASum(t *testing.T) {
	sheet := func(id, inci, noael string) *ingredients.Sheet {
		s := formulatest.Sheet(t, id, inci, "100")
		formulatest.Tox(t, s, "NOAEL", noael, "", "").SumWith = "together"
		return s
	}
	for near, line := range map[string]int{"a": 11, "b": 12} {
		noael := map[string]string{"a": "100", "b": "100"}
		noael[near] = "1"
		p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "a", "1", "b", "1")
		r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, today,
			formulatest.Sheet(t, "water", "Aqua", "100"), sheet("a", "Exemplum A", noael["a"]),
			sheet("b", "Exemplum B", noael["b"]))
		assert.Equal(t, line, calctest.Finding(t, r, "sum-margin").Pos.Line, near)
	}
}
