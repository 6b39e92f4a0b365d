package sense_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/sense"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func TestSense(t *testing.T) {
	of := func(change func(p *formula.Product, m *ingredients.Sheet)) []string {
		m := formulatest.Sheet(t, "m", "Sodium Benzoate", "100")
		m.Functions = []string{"preservative"}
		p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "m", "0.5")
		change(p, m)
		r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
			formulatest.Sheet(t, "water", "Aqua", "100"), m)
		return formulatest.Codes(sense.Findings(r.Input, r.Whole()))
	}
	ph := func(text string) *exact.Amount {
		return &exact.Amount{Range: formulatest.Range(t, text), Text: text}
	}
	assert.Empty(t, of(func(p *formula.Product, m *ingredients.Sheet) {}))
	assert.Empty(t, of(func(p *formula.Product, m *ingredients.Sheet) { p.Evidence.PH = ph("4.8-5.2") }))
	assert.Equal(t, []string{"ask acid-above-ph"},
		of(func(p *formula.Product, m *ingredients.Sheet) { p.Evidence.PH = ph("5.5-6.5") }))
	assert.Empty(t, of(func(p *formula.Product, m *ingredients.Sheet) {
		p.Evidence.PH, m.Functions = ph("5.5-6.5"), []string{"buffering"}
	}), "not there to preserve")
	for d, want := range map[string]bool{"0.98": false, "0.5": false, "2": false, "0.49": true, "2.1": true, "980": true} {
		n := formulatest.Num(t, d)
		got := of(func(p *formula.Product, m *ingredients.Sheet) { m.Physical.DensityGML = &n })
		assert.Equal(t, want, len(got) == 1 && got[0] == "ask density-unusual", "%s: %v", d, got)
		got = of(func(p *formula.Product, m *ingredients.Sheet) { p.Evidence.DensityGML = &n })
		assert.Equal(t, want, len(got) == 1 && got[0] == "ask density-unusual", "%s: %v", d, got)
	}
	assert.Equal(t, []string{"ask area-contradicts"},
		of(func(p *formula.Product, m *ingredients.Sheet) { p.BodyAreas = []string{"body", "eye"} }))
	assert.Empty(t, of(func(p *formula.Product, m *ingredients.Sheet) { p.BodyAreas = []string{"body", "underarm"} }))
}

// What is said of an acid, by hand: of benzoic acid (pKa 4.20) at pH 6.523 the share
// 1 ÷ (1 + 10^2.323) = 0.4731 % is undissociated, told as 0.47 %. What stands beside another
// function, as a trace, or has no pKa in the table is left alone; variants together say the same.
func TestFiguresOfAnAcid(t *testing.T) {
	m := formulatest.Material(t, "m", "preservative", "Sodium Benzoate", "100")
	keeper := formulatest.Material(t, "phenoxy", "preservative", "Phenoxyethanol", "100")
	trace := formulatest.Impure(t, formulatest.Squalane(t), "Sorbic Acid", "0.01")
	trace.Functions = []string{"preservative"}
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "m", "0.5", "phenoxy", "0.5", "base", "1")
	p.Evidence.PH = &exact.Amount{Range: formulatest.Range(t, "5.5-6.523"), Text: "5.5-6.523"}
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"), m, keeper, trace)
	fs := sense.Findings(r.Input, r.Whole())
	require.Equal(t, []string{"ask acid-above-ph"}, formulatest.Codes(fs))
	text := func(name string) string {
		v, ok := fs[0].Values.Get(name)
		require.True(t, ok, name)
		return v.Text
	}
	assert.Equal(t, []string{"0.47", "4.20"}, []string{text("share"), text("pka")})
	ph, _ := fs[0].Values.Get("ph")
	assert.Equal(t, "6.523", ph.Round.Of(ph.Low))
	in := *r.Input
	in.Shared = &formula.Shared{}
	for range 2 {
		assert.Equal(t, fs, sense.Findings(&in, r.Whole()))
	}
}

// Densities are told with all their digits; areas are compared where the type has some.
func TestDensitiesAndAreas(t *testing.T) {
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	in.Product.Evidence.DensityGML = formulatest.Ptr(formulatest.Num(t, "0.123456"))
	whole := &formula.Composition{}
	fs := sense.Findings(in, whole)
	require.Equal(t, []string{"ask density-unusual"}, formulatest.Codes(fs))
	var told []string
	for _, name := range []string{"density", "low", "high"} {
		v, _ := fs[0].Values.Get(name)
		told = append(told, v.Round.Of(v.Low))
		assert.Equal(t, finding.AsIs, v.Round)
	}
	assert.Equal(t, []string{"0.123456", "0.5", "2"}, told)

	in.Product.Evidence.DensityGML = nil
	codes := func(areas []string, product ...string) []string {
		kind := *in.Type
		kind.Areas = areas
		other := *in
		other.Type = &kind
		p := *in.Product
		p.BodyAreas = product
		other.Product = &p
		return formulatest.Codes(sense.Findings(&other, whole))
	}
	asked := []string{"ask area-contradicts"}
	assert.Equal(t, asked, codes([]string{"body"}, "eye"))
	assert.Equal(t, asked, codes([]string{"body", "face"}, "lip"))
	assert.Empty(t, codes([]string{"eye"}, "eye"))
	assert.Empty(t, codes([]string{"body"}, "face"), "no narrow area")
	assert.Empty(t, codes(nil, "eye"), "the type says nothing of areas")
	assert.Len(t, codes([]string{"body"}, "eye", "nail"), 2)
}
