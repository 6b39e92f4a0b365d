package dossier

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
)

// One cause is one finding: a line that breaks a limit in all variants, in one of them
// by more since its scent brings some too, is said once, with the figures of that one.
//
// Variant plain: 1.2 % of keeper; variant rich: 1.2 % + 2 % × 10 % = 1.4 %.
func TestOneCauseIsOneFinding(t *testing.T) {
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"workshop.yaml":           "maker: {name: M, address: [A]}\nmarkets: [GB, EU]\n",
		"ingredients/oil.yaml":    "id: oil\nname: Oil\nsupplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Squalane, pct: 100}]}\n",
		"ingredients/keeper.yaml": "id: keeper\nname: Keeper\nsupplier: {name: S}\nfunctions: [preservative]\ncomposition: {complete: true, constituents: [{inci: Phenoxyethanol, pct: 100}]}\n",
		"ingredients/mix.yaml":    "id: mix\nname: Mix\nsupplier: {name: S}\nfunctions: [preservative]\ncomposition: {complete: true, constituents: [{inci: Phenoxyethanol, pct: 10}, {inci: Squalane, pct: 90}]}\n",
		"products/balm.yaml": "id: balm\nname: Balm\nrevision: 1\nproduct_type: hand-cream\nintended_for: adults\nformula:\n  basis: percent\n  phases:\n    - id: A\n      lines:\n" +
			"        - {ingredient: oil, amount: q.s.}\n        - {ingredient: keeper, amount: 1.2}\n        - {slot: extra, amount: 2}\n" +
			"variants:\n  - {id: plain, fill: {extra: oil}}\n  - {id: rich, fill: {extra: mix}}\n",
	}), table.Builtin())
	require.Len(t, w.Products, 1)
	f := onlyFinding(t, Assess(w, w.Products[0], batchOptions()).Findings, "over-limit")
	assert.Empty(t, f.Variants, "it concerns all")
	assert.Empty(t, f.Markets)
	assert.Equal(t, "balm/rich", f.Worst)
	content, ok := f.Values.Get("content")
	require.True(t, ok)
	assert.Equal(t, "1.4", content.High().Exact())
	assert.Contains(t, wordstest.Said(f).Message, "1.4 % of the product; the limit is 1 %")
}
