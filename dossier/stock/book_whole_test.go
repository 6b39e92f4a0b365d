package stock_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
)

// Lots, counts, how a material is bought and what its lots are held to change no figure.
func TestFingerprintWithoutLots(t *testing.T) {
	const oil = "id: oil\nname: Canola oil\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\nfunctions: [emollient]\n"
	fingerprint := func(oil string, files map[string]string) string {
		fsys := fstest.MapFS{
			"workshop.yaml":        {Data: []byte("maker: {name: Skerry (invented), address: [x]}\nmarkets: [GB]\n")},
			"ingredients/oil.yaml": {Data: []byte(oil)},
			"products/tide.yaml":   {Data: []byte("id: tide\nname: Tide\nrevision: 1\nproduct_type: body-lotion\nintended_for: adults\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: oil, amount: q.s.}]}]}\n")},
		}
		for name, text := range files {
			fsys[name] = &fstest.MapFile{Data: []byte(text)}
		}
		w, found := workshop.LoadFS("shop", fsys, table.Builtin())
		for _, f := range found {
			require.False(t, f.Unread, f.Code)
		}
		return assess.Run(w, w.Products[0], assess.Options{Date: 20261125, Law: table.Builtin()}).Fingerprint
	}
	before := fingerprint(oil, nil)
	assert.Equal(t, before, fingerprint(oil+"purchase: {packs_g: [1000], lead_days: 3, by_lot: true}\nspecification: {colour: \"<2\"}\n", map[string]string{
		"lots/O-1.yaml": "lot: O-1\ningredient: oil\nreceived: 2026-01-05\nreceived_g: 500\nprice: 3\ncounted: [{date: 2026-02-01, g: 4}]\n",
	}))
	assert.NotEqual(t, before, fingerprint(oil+"impurities: [{name: Lead, amount: 1 ppm}]\n", nil),
		"what figures rest on does")
}
