package pack_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/pack"
	"gallipot/dossier/show"
	"gallipot/dossier/workshop"
)

// TestAboutOnce: papers are asked of a supplier once for all materials, and one of
// them has a question of its own; the cover names each material once.
func TestAboutOnce(t *testing.T) {
	w, _ := workshop.LoadFS("shop", folder(map[string]string{
		"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\n",
		"ingredients/oil.yaml":   "id: oil\nname: Oil\nsupplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\n",
		"ingredients/scent.yaml": "id: scent\nname: Scent\nlabel_as: parfum\nfunctions: [perfuming]\nsupplier: {name: S}\n",
		"products/balm.yaml":     "id: balm\nname: Balm\nrevision: 1\nproduct_type: hand-cream\nintended_for: adults\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: oil, amount: q.s.}, {ingredient: scent, amount: 1}]}]}\n",
	}), table.Builtin())
	require.Len(t, w.Products, 1)
	table := pack.NextSteps(show.Show(dossier.Assess(w, w.Products[0], batchOptions()), ""))
	for _, row := range table.Rows {
		if row.Cells[0].String() == "S" {
			assert.Equal(t, "Oil, Scent", row.Cells[2].String())
			return
		}
	}
	assert.Fail(t, "no line for the supplier")
}
