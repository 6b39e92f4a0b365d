package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/calc/listing"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// Old stock without the newer names: Regulation (EU) 2023/1545, new products from
// 2026-07-31, stock to 2028-07-31.
func TestOldStockInWords(t *testing.T) {
	in := &formula.Input{Session: testSession(table.Builtin()), Product: &formula.Product{ID: "test"}, Market: rows.EU, Date: 20261125}
	total := func(name, regime string, until exact.Date, v listing.Verdict) listing.AllergenTotal {
		return listing.AllergenTotal{LabelName: name, Verdict: v, Row: &table.Allergen{Regime: regime, From: 20260731, Until: until}}
	}
	all := []listing.AllergenTotal{total("Menthol", "2023-list", 20280731, listing.Declare), total("Pinene", "2023-list", 20280731, listing.Open), total("Linalool", "2003-list", 20280731, listing.Declare),
		total("Camphor", "2023-list", 20280731, listing.Below), total("Vanillin", "2023-list", 0, listing.Declare), total("Anethole", "2023-list", 20261124, listing.Declare)}
	fs := calc.OldStock(in, all)
	require.Equal(t, []string{"note old-stock"}, codes(fs))
	assert.Equal(t, "stock placed on the EU market before 2026-07-31 without Menthol and Pinene on its label may be sold until 2028-07-31", said(fs[0]).Message)
	assert.Equal(t, "from 2028-08-01 relabel or withdraw what is left of it", said(fs[0]).Fix)
	in.Date = 20280731
	assert.Len(t, calc.OldStock(in, all), 1, "the last day")
	in.Date = 20280801
	assert.Empty(t, calc.OldStock(in, all))
}

func TestMarksAndGapsOfValues(t *testing.T) {
	row := &safety.Tox{Row: rows.Row{Key: "r", File: "tox-values.csv", Source: "book", Seen: "seen"}}
	k := &exposure.Knowledge{Published: &exposure.Published{Uses: map[*safety.Tox]safety.ToxUse{row: {AbsorptionSeen: "memory"}}}}
	assert.Equal(t, formula.Stated{Value: 5, Source: "book", Table: "tox-values.csv", Row: "r", Seen: "memory"}, k.Absorption(row, &rows.Figure{Value: 5}))
	k.Uses[row] = safety.ToxUse{}
	assert.Equal(t, "seen", k.Absorption(row, &rows.Figure{Value: 5}).Seen)

	// a Cramer class screens and is no value: one gap, not two
	m := sheet(t, "m", "Exemplum Acid", "100")
	tox(t, m, "", "", "", "").CramerClass = "III"
	r := job(t, "body-lotion", "1", m, nil)
	require.Len(t, gapsBy(r, "ttc-only"), 1)
	for _, g := range gapsBy(r, "no-pod") {
		assert.NotEqual(t, "Exemplum Acid", g.Subject)
	}

	// without a lye named, the lye that is safe is told as KOH
	p := potashSoap(t, func(p *formula.Product, _ *ingredients.Sheet) { p.Saponify.Alkali = nil })
	assert.Equal(t, "9", p.Reactions[0].SafePct.Exact())

	// what a spray puts into the lungs is the same as a fraction and as a float
	in := exposureInput(t, "deodorant-aerosol", formula.Adults, nil)
	e, _ := exposure.ExposureOf(in)
	h := exposure.InhalationOf(in, e)
	require.True(t, h.Known())
	assert.InEpsilon(t, h.MgPerKg, h.ExactMgPerKg().Float(), 1e-12)
}
