package ready_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
)

// balmShop sells an invented balm of oil with a share of a keeper, half of which
// is water. more follows the formula.
func balmShop(t *testing.T, keeperPct, more string) *assess.Assessment {
	t.Helper()
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"workshop.yaml":           "maker: {name: M, address: [A]}\nmarkets: [GB]\n",
		"ingredients/oil.yaml":    "id: oil\nname: Oil\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\n",
		"ingredients/keeper.yaml": "id: keeper\nname: Keeper\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 50}, {inci: Glycerin, pct: 50}]}\n",
		"products/balm.yaml": "id: balm\nname: Balm\nrevision: 1\nproduct_type: hand-cream\nintended_for: adults\nspecification: {appearance: even, odour: faint}\n" +
			"formula: {basis: percent, phases: [{id: A, lines: [{ingredient: oil, amount: q.s.}, " + fmt.Sprintf("{ingredient: keeper, amount: %s}", keeperPct) + "]}]}\n" + more,
	}), table.Builtin())
	require.Len(t, w.Products, 1)
	return run(w, w.Products[0], batchOptions())
}

// TestPHWhereThereIsWater: the fact ph-water-least is 1 % of water. 2 % of a keeper
// that is half water bring 1 %, 1.98 % bring 0.99 %.
func TestPHWhereThereIsWater(t *testing.T) {
	for pct, want := range map[string]evidence.ReadyState{"2": evidence.ReadyPartly, "1.98": evidence.ReadyPresent} {
		assert.Equal(t, want, itemOf(t, balmShop(t, pct, ""), "A2b").State, pct)
	}
	assert.Equal(t, evidence.ReadyMissing, itemOf(t, balmShop(t, "2", ""), "N8c").State)
	little := itemOf(t, balmShop(t, "1.98", ""), "N8c")
	assert.Equal(t, evidence.ReadyNotNeeded, little.State)
	assert.Contains(t, little.Because(), "less than 1 % of water")
}

// TestCountsWithoutOrganisms: one of the two tests is there, and the other is said
// to be missing; nothing is left dangling.
func TestCountsWithoutOrganisms(t *testing.T) {
	x := itemOf(t, balmShop(t, "1", "microbiology: [{test: count, verdict: fail, dated: 2026-02-03}]\n"), "A3b")
	assert.Equal(t, "count of 2026-02-03 failed; no test for the four organisms", x.Because())
	x = itemOf(t, balmShop(t, "1", ""), "A3b")
	assert.Equal(t, "no count of the finished product and no test for the four organisms", x.Because())
}
