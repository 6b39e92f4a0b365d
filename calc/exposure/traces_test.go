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
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/finding"
)

func traceOf(t testing.TB, r *calc.Result, name string) *exposure.Trace {
	t.Helper()
	for i := range r.Traces {
		if r.Traces[i].Name == name {
			return &r.Traces[i]
		}
	}
	t.Fatalf("no trace %s", name)
	return nil
}

func checkFor(t testing.TB, tr *exposure.Trace, key string) exposure.TraceCheck {
	t.Helper()
	for _, c := range tr.Checks {
		if c.Guide.Key == key {
			return c
		}
	}
	t.Fatalf("%s is not compared with %s", tr.Name, key)
	return exposure.TraceCheck{}
}

// TestTraceContentByHand: a clay with up to 20 ppm lead at 25 % of a face mask is
// 5 mg/kg of the product. BVL 2016: 2.0 mg/kg; Health Canada 2012: 10.
func TestTraceContentByHand(t *testing.T) {
	m := formulatest.Traced(t, formulatest.Sheet(t, "clay", "Kaolin", "100"), "Lead", "<20 ppm")
	r := calctest.Job(t, "face-mask-rinse-off", "25", m, nil)
	lead := traceOf(t, r, "Lead")
	assert.Equal(t, "5", lead.MgPerKg.Max.Exact())
	assert.Equal(t, "0", lead.MgPerKg.Min.Exact())
	bvl := checkFor(t, lead, "bvl-lead")
	assert.Equal(t, "2", bvl.LimitMg.Exact())
	assert.Equal(t, exposure.TraceMayExceed, bvl.Verdict, "the upper bound is above, the lower is not")
	assert.Equal(t, exposure.TraceComparison, checkFor(t, lead, "canada-lead").Verdict)
	fs := calctest.Findings(r, "trace-above-guidance")
	require.Len(t, fs, 1, "one finding, none for the figures of other countries")
	assert.Equal(t, finding.Ask, fs[0].Severity)
	assert.Contains(t, wordstest.Said(fs[0]).Message, "may be up to 5 mg/kg in the product; published guidance is 2 mg/kg")
	assert.Equal(t, 20, fs[0].Pos.Line)

	// face mask: one use of 1.42 / 0.142 = 10 g a day, 5 % of it stays: 0.5 g × 1000 / 60
	// = 8.3333 mg/kg bw/d; SED × 0.0005 % × 0.1 %
	assert.InDelta(t, 0.5*1000/60*0.0005/100*0.1/100, lead.Margin.SED.Max, 1e-15)
	assert.Equal(t, exposure.NoMarginNoThreshold, lead.Margin.None)
	for _, x := range r.Margins {
		assert.NotEqual(t, "Lead", x.INCI, "a trace is not among the ingredients")
	}
}

func TestTraceVerdicts(t *testing.T) {
	for _, c := range []struct {
		kind, name, declared, pct, guide string
		want                             exposure.TraceVerdict
	}{
		{"face-cream", "Lead", "3 ppm", "100", "bvl-lead", exposure.TraceAbove},
		{"face-cream", "Lead", "2 ppm", "100", "bvl-lead", exposure.TraceWithin}, // exactly at it is not above
		{"face-cream", "Lead", "1-3 ppm", "100", "bvl-lead", exposure.TraceMayExceed},
		{"eyeshadow", "Lead", "3 ppm", "100", "bvl-lead-make-up", exposure.TraceWithin},
		{"toothpaste", "Lead", "3 ppm", "50", "bvl-lead-toothpaste", exposure.TraceAbove},
		{"face-cream", "Pb", "3 ppm", "100", "bvl-lead", exposure.TraceAbove},
		{"shampoo", "1,4-Dioxane", "15 ppm", "50", "sccs-dioxane", exposure.TraceWithin}, // 7.5 mg/kg
		{"shampoo", "1,4-Dioxane", "30 ppm", "50", "sccs-dioxane", exposure.TraceAbove},  // 15 mg/kg
		// nitrosamines are compared with the raw material: 0.06 ppm = 60 µg/kg, whatever the dose
		{"shampoo", "N-Nitrosodiethanolamine", "0.06 ppm", "1", "eu-nitrosamines", exposure.TraceAbove},
		{"shampoo", "NDELA", "<0.05 ppm", "1", "eu-nitrosamines", exposure.TraceWithin},
		{"face-cream", "Nickel", "20 ppm", "100", "lgl-nickel", exposure.TraceComparison},
	} {
		m := formulatest.Traced(t, formulatest.Sheet(t, "m", "Kaolin", "100"), c.name, c.declared)
		var r *calc.Result
		if c.pct == "100" {
			p := formulatest.WithFormula(t, formula.Percent, "m", "100")
			r = calctest.Assess(t, p, &formula.Variant{}, c.kind, "GB", 20261125, m)
		} else {
			r = calctest.Job(t, c.kind, c.pct, m, nil)
		}
		got := checkFor(t, traceOf(t, r, r.Input.Dict.Canonical(m.Impurities[0].Name)), c.guide)
		assert.Equal(t, c.want, got.Verdict, "%s %s of %s in %s", c.declared, c.name, c.pct, c.kind)
		if c.want == exposure.TraceAbove || c.want == exposure.TraceMayExceed {
			assert.Len(t, calctest.Findings(r, "trace-above-guidance"), 1, c.name)
		} else {
			assert.Empty(t, calctest.Findings(r, "trace-above-guidance"), c.name)
		}
	}
}

// TestTracesAddUp: names that one figure covers are added, over all materials.
func TestTracesAddUp(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "a", "50", "b", "50")
	r := calctest.Assess(t, p, &formula.Variant{}, "face-cream", "GB", 20261125,
		formulatest.Traced(t, formulatest.Sheet(t, "a", "Kaolin", "100"), "Lead", "2 ppm"),
		formulatest.Traced(t, formulatest.Sheet(t, "b", "Talc", "100"), "Pb", "3 ppm"))
	c := checkFor(t, traceOf(t, r, "Lead"), "bvl-lead")
	assert.Equal(t, []string{"Pb", "Lead"}, c.Members)
	assert.Equal(t, "2.5", c.FoundMg.Max.Exact()) // 50 % × 2 + 50 % × 3
	assert.Equal(t, exposure.TraceAbove, c.Verdict)
	assert.Len(t, calctest.Findings(r, "trace-above-guidance"), 1)
}

// TestTraceMargin: 1,4-dioxane 8 mg/kg in body lotion, computed as an ingredient.
//
//	SED = 123.2 × 0.0008 % × 50 % = 0.0004928; MoS = 10 × 100 % / 0.0004928 = 20292
func TestTraceMargin(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "10",
		formulatest.Traced(t, formulatest.Sheet(t, "m", "Polysorbate 20", "100"), "1,4-Dioxane", "80 ppm"), nil)
	tr := traceOf(t, r, "1,4-Dioxane")
	assert.Equal(t, "8", tr.MgPerKg.Max.Exact())
	assert.InDelta(t, 20292, tr.Margin.MoS, 1)
}

// TestTraceInPortion: the portion with most of it governs.
func TestTraceInPortion(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", ":colour", "10")
	v := &formula.Variant{Portions: []formula.Portion{
		{Name: "grey", SharePct: formulatest.Num(t, "25"), Fill: []formula.Fill{formulatest.Fill("colour", "clay")}},
		{Name: "clear", SharePct: formulatest.Num(t, "75"), Fill: []formula.Fill{formulatest.Fill("colour", "water")}},
	}}
	r := calctest.Assess(t, p, v, "shower-gel", "GB", 20261125, formulatest.Sheet(t, "water", "Aqua", "100"),
		formulatest.Traced(t, formulatest.Sheet(t, "clay", "Kaolin", "100"), "Lead", "30 ppm"))
	lead := traceOf(t, r, "Lead")
	assert.Equal(t, "grey", lead.WorstIn)
	assert.Equal(t, "3", lead.MgPerKg.Max.Exact())
	assert.Equal(t, "grey", checkFor(t, lead, "bvl-lead").In)
}

// TestTraceBelowTarget: phenol 1 % in a material at 50 % of a body lotion,
// BMDL10 52, oral absorption 100 %, skin 80 %:
//
//	SED = 123.2 × 0.5 % × 80 % = 0.4928; MoS = 52 / 0.4928 = 105.5
//	at 0.6 %: SED 0.59136; MoS 87.93
func TestTraceBelowTarget(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "50",
		formulatest.Traced(t, formulatest.Sheet(t, "m", "Glycerin", "100"), "Phenol", "1 %"), nil)
	assert.InDelta(t, 105.5, traceOf(t, r, "Phenol").Margin.MoS, 0.05)
	assert.Empty(t, calctest.Findings(r, "mos-below-target"))
	r = calctest.Job(t, "body-lotion", "50",
		formulatest.Traced(t, formulatest.Sheet(t, "m", "Glycerin", "100"), "Phenol", "1.2 %"), nil)
	assert.InDelta(t, 87.93, traceOf(t, r, "Phenol").Margin.MoS, 0.005)
	assert.Len(t, calctest.Findings(r, "mos-below-target"), 1)
}

// A short name has the toxicology of the one substance whose number its guide
// holds: Pb is lead, without threshold. A name that no guide knows has none.
func TestTraceUnderAShortName(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "10",
		formulatest.Traced(t, formulatest.Sheet(t, "m", "Kaolin", "100"), "Pb", "1 ppm", "Exemplum", "1 ppm"), nil)
	assert.Equal(t, exposure.NoMarginNoThreshold, traceOf(t, r, "Pb").Margin.None)
	assert.Equal(t, exposure.NoMarginNoPoD, traceOf(t, r, "Exemplum").Margin.None)
}

// 50 µg/kg of a nitrosamine is 0.05 mg/kg, the unit of everything beside it; equal
// materials: the first is named.
func TestTraceOnEqualMaterials(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "a", "50", "b", "50")
	r := calctest.Assess(t, p, &formula.Variant{}, "face-cream", "GB", 20261125,
		formulatest.Traced(t, formulatest.Sheet(t, "a", "Kaolin", "100"), "N-Nitrosodiethanolamine", "0.06 ppm"),
		formulatest.Traced(t, formulatest.Sheet(t, "b", "Talc", "100"), "N-Nitrosodiethanolamine", "0.06 ppm"))
	c := checkFor(t, traceOf(t, r, "N-Nitrosodiethanolamine"), "eu-nitrosamines")
	assert.Equal(t, 0.05, c.Figure.Value)
	assert.Equal(t, "a", c.In)
	assert.Equal(t, "0.06", c.FoundMg.Max.Exact())
}

// The finding stands at the first of equal contributions, with the sum of all:
// 50 % × 10.2469 ppm twice = 10.2469 mg/kg, printed with four digits.
func TestTraceFindingByHand(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "a", "50", "b", "50")
	r := calctest.Assess(t, p, &formula.Variant{}, "face-cream", "GB", 20261125,
		formulatest.Traced(t, formulatest.Sheet(t, "a", "Kaolin", "100"), "Lead", "10.2469 ppm"),
		formulatest.Traced(t, formulatest.Sheet(t, "b", "Talc", "100"), "Lead", "10.2469 ppm"))
	f := calctest.Finding(t, r, "trace-above-guidance")
	assert.Equal(t, "there are up to 10.25 mg/kg in the product; published guidance is 2 mg/kg", wordstest.Said(f).Message)
	assert.Equal(t, "ingredients/a.yaml", f.Pos.File)
	assert.Len(t, f.Sum, 2)
}
