package stock

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// shop is a workshop of an oil and water of its own, with files added or replaced.
func shop(t *testing.T, files map[string]string) *workshop.Workshop {
	t.Helper()
	fsys := fstest.MapFS{
		"workshop.yaml":          {Data: []byte("maker: {name: Skerry (invented), address: [Shore Road 1]}\nmarkets: [GB]\nbalance: {division_g: 0.1}\n")},
		"ingredients/oil.yaml":   {Data: []byte("id: oil\nname: Canola oil\nsupplier: {name: Wrack (invented), code: W-1}\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\nfunctions: [emollient]\npurchase: {packs_g: [1000, 5000], lead_days: 10}\n")},
		"ingredients/water.yaml": {Data: []byte("id: water\nname: Water\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\nfunctions: [solvent]\npurchase: {by_lot: false}\n")},
		"products/tide.yaml":     {Data: []byte("id: tide\nname: Tide\nrevision: 1\nproduct_type: body-lotion\nintended_for: adults\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: oil, amount: 20}]}]}\n")},
	}
	for name, text := range files {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	w, found := workshop.LoadFS("shop", fsys, table.Builtin())
	require.NotNil(t, w)
	for _, f := range found {
		require.False(t, f.Unread, "%s %s %v", f.Code, f.Pos, f.Values)
	}
	return w
}

// record is a batch of one line.
func record(code, day, line string) string {
	return "code: " + code + "\nproduct: tide\nrevision: 1\ndate: " + day + "\ndivision_g: 0.1\nlines: [" + line + "]\n"
}

func num(t *testing.T, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}

const day = exact.Date(20261125)
