package sense_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/sense"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
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
