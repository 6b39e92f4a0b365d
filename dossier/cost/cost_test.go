package cost_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/cost"
	"gallipot/dossier/stock"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

const tide = `id: tide
name: Tide
revision: 1
product_type: body-lotion
intended_for: adults
net_content: {g: 100}
formula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: oil, amount: 20}]}]}
`

const costs = `costs: {loss_pct: 20, batch_packs: 24, work_per_batch: 48, packaging: [{item: Jar 120 ml}, {item: label, units: 2, each: 0.05}]}
`

func costOf(t *testing.T, product string, lots map[string]string) (cost.Pack, string) {
	t.Helper()
	fsys := fstest.MapFS{
		"workshop.yaml":          {Data: []byte("maker: {name: Skerry (invented), address: [x]}\nmarkets: [GB, EU]\n")},
		"ingredients/water.yaml": {Data: []byte("id: water\nname: Water\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\nfunctions: [solvent]\nprice: {per_kg: 0.5}\n")},
		"ingredients/oil.yaml":   {Data: []byte("id: oil\nname: Canola oil\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\nfunctions: [emollient]\n")},
		"products/tide.yaml":     {Data: []byte(product)},
	}
	for code, text := range lots {
		fsys["lots/"+code+".yaml"] = &fstest.MapFile{Data: []byte("lot: " + code + "\n" + text)}
	}
	w, found := workshop.LoadFS("shop", fsys, table.Builtin())
	for _, f := range found {
		require.False(t, f.Unread, "%s %s %v", f.Code, f.Pos, f.Values)
	}
	const day = exact.Date(20261125)
	a := dossier.Assess(w, w.Products[0], assess.Options{Date: day, Law: table.Builtin()})
	packs, err := cost.Of(w, a, stock.Of(w, day))
	require.NoError(t, err)
	require.Len(t, packs, 1)
	require.Empty(t, cost.Document(w, packs, day).Check())
	return packs[0], a.Fingerprint
}

// Worked by hand for a pack of 100 g: 80 g of water at 0.50 a kg are 0.04, 20 g of an oil
// of which 1000 g cost 8.00 are 0.16; of 0.20 a loss of 20 % of the batch is 0.05; 500 jars
// cost 160.00, one 0.32; two labels 0.10; 48.00 of work for 24 packs 2.00. Together 2.67.
func TestOf(t *testing.T) {
	jar := "item: jar 120 ml\nreceived: 2026-01-05\nreceived_units: 500\nprice: 160\n"
	oil := func(day, until, price string) string {
		return "ingredient: oil\nreceived: " + day + "\nreceived_g: 1000\nbest_before: " + until + "\nprice: " + price + "\n"
	}
	whole, fingerprint := costOf(t, tide+costs,
		map[string]string{"O-1": oil("2026-01-05", "2027-06-01", "8"), "O-2": oil("2026-03-05", "2027-12-01", "12"),
			"P-1": jar})
	assert.Equal(t, "2.67", whole.Known.Exact())
	assert.Empty(t, whole.Missing)
	var said []string
	for _, p := range whole.Parts {
		said = append(said, p.Kind+" "+p.Cost.Exact()+" "+p.From)
	}
	assert.Equal(t, []string{"material 0.04 its sheet", "material 0.16 lot O-1", "loss 0.05 of the materials",
		"packaging 0.32 lot P-1", "packaging 0.1 the product's file", "work 2 the product's file"}, said)

	t.Run("what a pack costs is no figure of the assessment", func(t *testing.T) {
		_, without := costOf(t, tide, nil)
		assert.Equal(t, without, fingerprint)
	})
	t.Run("what has no price is named and not taken as nothing", func(t *testing.T) {
		p, _ := costOf(t, tide+costs, nil)
		assert.Equal(t, []string{"Canola oil", "Jar 120 ml"}, p.Missing)
		assert.Equal(t, "2.15", p.Known.Exact()) // 0.04 + 0.01 + 0.10 + 2.00
	})
	t.Run("packaging that nobody has stated is missing", func(t *testing.T) {
		p, _ := costOf(t, tide, nil)
		assert.Contains(t, p.Missing, "packaging")
	})
	t.Run("a pack without packaging is stated as such", func(t *testing.T) {
		p, _ := costOf(t, tide+"costs: {packaging: []}\n", map[string]string{"O-1": oil("2026-01-05", "2027-06-01", "8")})
		assert.Empty(t, p.Missing)
		assert.Equal(t, "0.2", p.Known.Exact())
	})
	t.Run("work needs the packs of a batch", func(t *testing.T) {
		p, _ := costOf(t, tide+strings.Replace(costs, "batch_packs: 24, ", "", 1),
			map[string]string{"P-1": jar, "O-1": oil("2026-01-05", "2027-06-01", "8")})
		assert.Equal(t, []string{"work: packs of a batch"}, p.Missing)
	})
	t.Run("a lot used up gives way to the one received last", func(t *testing.T) {
		gone := "discarded: [{date: 2026-04-01, g: 1000}]\n"
		p, _ := costOf(t, tide+costs,
			map[string]string{"P-1": jar, "O-1": oil("2026-01-05", "2027-06-01", "8") + gone,
				"O-2": oil("2026-03-05", "2027-12-01", "12") + gone})
		assert.Equal(t, "0.24", p.Parts[1].Cost.Exact())
	})
}
