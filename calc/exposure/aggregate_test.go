package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
)

// TestAggregateOfMeasuredAbsorption: octocrylene, 10 %, as in SCCS/1627/21: NOAEL
// 153 mg/kg bw/d, half of it absorbed, so 76.5; measured 0.97 µg/cm². By hand:
//
//	sunscreen alone: 0.97 × 0.001 × 17,500 × 2 / 60 = 0.565833; 76.5 / 0.565833 = 135.2
//	with face cream (565 × 2.14), hand cream (860 × 2) and lipstick (4.8 × 2):
//	0.97 × 0.001 × 37,938.7 / 60 = 0.613342; 76.5 / 0.613342 = 124.7
//
// The opinion calls 10 % safe; the first margin is printed in it.
func TestAggregateOfMeasuredAbsorption(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Octocrylene", "100")
	m.Functions = []string{"uv filter"}
	v := formulatest.Tox(t, m, "NOAEL", "153", "", "50")
	n := formulatest.Num(t, "0.97")
	v.DermalUgCm2, v.Replaces = &n, true
	r := calctest.Job(t, "sunscreen", "10", m, nil)
	require.Len(t, r.Aggregates, 1)
	i := 0
	for k, x := range r.Margins {
		if x.INCI == "Octocrylene" {
			i = k
		}
	}
	assert.InDelta(t, 135.2, r.Margins[i].MoS, 0.05, "SCCS/1627/21: 135 for the single product")
	a := r.Aggregates[0]
	assert.True(t, a.ByArea)
	assert.InDelta(t, 0.613342, a.SED, 1e-5)
	assert.InDelta(t, 124.7, a.MoS, 0.05)
	assert.Empty(t, calctest.Findings(r, "aggregate-below-target"))
}

// TestAggregateClasses: a UV filter counts in the classes that use one, not in all
// products of the total made for preservatives.
func TestAggregateClasses(t *testing.T) {
	r := calctest.Job(t, "sunscreen", "5", formulatest.Sheet(t, "m", "Ethylhexyl Salicylate", "100"), nil)
	require.Len(t, r.Aggregates, 1)
	assert.InDelta(t, 300+24.14+32.70+0.90, r.Aggregates[0].All.Value, 1e-9)
	assert.Zero(t, r.Aggregates[0].OwnAdded, "sunscreen is one of the classes")
	r = calctest.Job(t, "body-lotion", "5", formulatest.Sheet(t, "m", "Ethylhexyl Salicylate", "100"), nil)
	assert.InDelta(t, 123.20, r.Aggregates[0].OwnAdded, 1e-9, "a body lotion is none of them and is added")
	r = calctest.Job(t, "body-lotion", "1", formulatest.Sheet(t, "m", "Phenoxyethanol", "100"), nil)
	assert.Equal(t, 269.0, r.Aggregates[0].All.Value, "SCCS/1647/22, all products")
}

// TestOwnExposureReplacesItsPart: a maker who states 10 g of body lotion a day,
// 10,000 / 60 = 166.667 mg/kg bw/d, has it in place of the 123.20 of the total:
// 269 − 123.20 + 166.667 = 312.467; × 1 % × 80 % = 2.499733.
func TestOwnExposureReplacesItsPart(t *testing.T) {
	ten, all := formulatest.Num(t, "10"), formulatest.Num(t, "100")
	own := &formula.OwnExposure{AmountGDay: &ten, RetentionPct: &all, Source: "use test"}
	r := calctest.Job(t, "body-lotion", "1", formulatest.Sheet(t, "m", "Phenoxyethanol", "100"), own)
	a := r.Aggregates[0]
	assert.InDelta(t, 123.20, a.Replaced, 1e-9)
	assert.InDelta(t, 145.80, a.All.Value, 1e-9)
	assert.InDelta(t, 166.6667, a.OwnAdded, 1e-3)
	assert.InDelta(t, 2.499733, a.SED, 1e-5)
}

// TestUVTotalFromItsParts: the four classes add up to the total.
func TestUVTotalFromItsParts(t *testing.T) {
	in := calctest.Job(t, "sunscreen", "5", formulatest.Sheet(t, "m", "Ethylhexyl Salicylate", "100"), nil).Input
	sum := 0.0
	for _, f := range law.Facts(in.Law) {
		if len(f.Key) > len(exposure.AggregateUVPart) && f.Key[:len(exposure.AggregateUVPart)] == exposure.AggregateUVPart {
			sum += f.Float()
		}
	}
	assert.InDelta(t, law.Fact(in.Law, "aggregate-uv-exposure-relative").Float(), sum, 1e-9)
}

// Measured absorption over the areas of all products, with what the product itself adds, by
// hand beside TestAggregateOfMeasuredAbsorption:
//
//	body lotion is none of the classes: 37,938.7 + 15,670 × 2.28 = 73,666.3 cm² a day
//	0.97 × 0.001 × 73,666.3 / 60 = 1.190939; 76.5 / 1.190939 = 64.2, below 100
//	for a child of three or more: × 1.6 (SCCS/1647/22, surface to weight at 12 months)
//	stated 20 cm² once a day in place of the lotion's own: 37,938.7 + 20 = 37,958.7
//
// Areas and uses: SCCS/1647/22, table 4.
func TestAggregateByAreaWithTheProductItself(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Octocrylene", "100")
	m.Functions = []string{"uv filter"}
	v := formulatest.Tox(t, m, "NOAEL", "153", "", "50")
	n := formulatest.Num(t, "0.97")
	v.DermalUgCm2, v.Replaces = &n, true
	r := calctest.Job(t, "body-lotion", "10", m, nil)
	require.Len(t, r.Aggregates, 1)
	a := r.Aggregates[0]
	assert.True(t, a.ByArea)
	assert.InDelta(t, 0.97e-3*(37_938.7+15_670*2.28)/60, a.SED, 1e-5)
	assert.InDelta(t, 64.2, a.MoS, 0.05)
	assert.Equal(t, exposure.MarginBelow, a.Verdict)
	assert.Nil(t, a.HighestPct, "it does not change with the content")
	assert.Equal(t, "SED = 0.97 µg/cm² × 0.001 × 73670 cm² a day / 60 kg = 1.191 mg/kg bw/d; MoS = 76.5 / 1.191 = 64.2",
		a.Arithmetic)

	child := calctest.Case{Product: "body-lotion", Audience: formula.ChildrenThree}.Of(t, m, "10")
	require.Len(t, child.Aggregates, 1)
	assert.InDelta(t, 1.6*0.97e-3*(37_938.7+15_670*2.28)/60, child.Aggregates[0].SED, 1e-5)
	assert.Contains(t, child.Aggregates[0].Arithmetic, "73670 cm² a day / 60 kg × 1.6 = ")

	own := calctest.Job(t, "body-lotion", "10", m, formulatest.Own(t, "g", "2", "area", "20", "times", "1"))
	assert.InDelta(t, 0.97e-3*(37_938.7+20)/60, own.Aggregates[0].SED, 1e-5)
	// without an area of its own the per cent figure counts: 50 % of everything
	none := calctest.Job(t, "body-lotion", "10", m, formulatest.Own(t, "relative", "33.3"))
	assert.False(t, none.Aggregates[0].ByArea)
}

// A stated exposure of a product that the total counts stands in for its part by area too:
// face cream has 565 cm² × 2.14 in it (SCCS/1647/22, table 4), in its place 20 cm² once.
// Where a stated per cent figure gives more than the areas, it counts: 50 % of
// 10 % of 357.74 mg/kg bw/d are above 0.61.
func TestAggregateByAreaOfAPart(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Octocrylene", "100")
	m.Functions = []string{"uv filter"}
	v := formulatest.Tox(t, m, "NOAEL", "153", "", "50")
	n := formulatest.Num(t, "0.97")
	v.DermalUgCm2, v.Replaces = &n, true
	own := calctest.Job(t, "face-cream", "10", m, formulatest.Own(t, "g", "2", "area", "20", "times", "1"))
	a := own.Aggregates[0]
	assert.True(t, a.ByArea)
	assert.InDelta(t, 0.97e-3*(37_938.7-565*2.14+20)/60, a.SED, 1e-5)
	assert.Positive(t, a.Replaced)
	// by per cent: the part is taken off the total, the own exposure added
	v.DermalUgCm2 = nil
	own = calctest.Job(t, "face-cream", "10", m, formulatest.Own(t, "g", "2", "area", "20", "times", "1"))
	a = own.Aggregates[0]
	assert.Contains(t, a.Arithmetic, "SED = ((357.7 − 24.14) + 33.33 of this product) × 10 % × 50 %")
	assert.InDelta(t, (357.74-24.14+2000.0/60)*0.1*0.5, a.SED, 1e-9)

	v.DermalUgCm2 = &n
	v.DermalAbsorptionPct = formulatest.Ptr(formulatest.Num(t, "50"))
	more := calctest.Job(t, "sunscreen", "10", m, nil).Aggregates[0]
	assert.False(t, more.ByArea, "the per cent figure is stated, and gives more")
	v.DermalAbsorptionPct = formulatest.Ptr(formulatest.Num(t, "0.01"))
	less := calctest.Job(t, "sunscreen", "10", m, nil).Aggregates[0]
	assert.True(t, less.ByArea, "the areas give more")
	assert.InDelta(t, 0.613342, less.SED, 1e-5)
	// of two figures per area the higher counts
	second := formulatest.Tox(t, m, "", "", "", "")
	second.DermalUgCm2 = formulatest.Ptr(formulatest.Num(t, "1.94"))
	assert.InDelta(t, 2*0.613342, calctest.Job(t, "sunscreen", "10", m, nil).Aggregates[0].SED, 1e-5)
	second.DermalUgCm2 = formulatest.Ptr(formulatest.Num(t, "0.1"))
	assert.InDelta(t, 0.613342, calctest.Job(t, "sunscreen", "10", m, nil).Aggregates[0].SED, 1e-5)
}
