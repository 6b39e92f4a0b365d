package pack_test

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
	"gallipot/dossier/ready"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
)

// TestLowestByTarget: the bars stand by margin ÷ target, computed here again from the two
// figures of each bar, and the table of margins beside them by the same rule.
func TestLowestByTarget(t *testing.T) {
	mixed := 0
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		d := pack.Build(dossiertest.Demo(t, id))
		for _, b := range d.Blocks() {
			if c, is := b.(*document.HBarLog); is && c.ID == "chart-lowest" {
				require.Contains(t, c.Title, "margin ÷ target", id)
				for i := 1; i < len(c.Rows); i++ {
					a, z := c.Rows[i-1], c.Rows[i]
					assert.LessOrEqual(t, a.Value/a.Limit, z.Value/z.Limit, "%s: %s before %s", id, a.Label, z.Label)
					if a.Limit != z.Limit {
						mixed++
					}
				}
			}
		}
	}
	assert.Positive(t, mixed, "a target other than the usual one is among them")
}

// TestCountsOfSubstances: those without a value are as many on the first page, in Part B
// and in the parts of the file, and the three counts of that item make up all substances.
func TestCountsOfSubstances(t *testing.T) {
	for _, a := range []*assess.Assessment{twoMaterials(t), dossiertest.Demo(t, "heath-wash"),
		dossiertest.Demo(t, "body-cream"), dossiertest.Demo(t, "lip-balm"), dossiertest.Demo(t, "salt-scrub")} {
		said := ""
		for _, item := range ready.Readiness(a) {
			if item.ID == "A8a" {
				said = item.Because()
			}
		}
		var with, all, without, none int
		_, err := fmt.Sscanf(said, "computed for %d of %d substances; %d without a value, %d that need none",
			&with, &all, &without, &none)
		require.NoError(t, err, said)
		assert.Equal(t, all, with+without+none, a.Product.ID)
		for _, r := range tableOf(pack.Build(a), "b-assessed").Rows {
			if r.Cells[0].Text == "Substances without a value" {
				assert.Equal(t, fmt.Sprintf("%d of %d", without, all), r.Cells[1].Text, a.Product.ID)
			}
		}
	}
}

// TestTwoFormsOfOneFilter: a UV filter and its nano form are two substances with a margin over
// all products each, on the pages, in the spreadsheet, where that recalculates, and among the
// lowest margins. What a sheet says of toxicology counts for both forms, the highest absorption
// for each. By hand: the product is none of those that the total of UV filters counts, so
// 357.7 + 123.2 = 480.9 mg/kg bw/d (SCCS/1627/21; body lotion as in SCCS/1647/22); internal
// dose 100 × 50 % = 50; 50 ÷ (480.9 × 5 % × 10 %) = 20.79, 50 ÷ (480.9 × 3 % × 10 %) = 34.66.
func TestTwoFormsOfOneFilter(t *testing.T) {
	sheet := func(id, nano, absorbed string) string {
		return "id: " + id + "\nname: " + id + "\nsupplier: {name: S}\nfunctions: [uv filter]\n" +
			"composition: {complete: true, constituents: [{inci: Octocrylene, cas: 6197-30-4, pct: 100, nano: " + nano + "}]}\n" +
			"toxicology:\n  - {inci: Octocrylene, pod: {type: NOAEL, mg_per_kg_bw_d: 100}, dermal_absorption_pct: " +
			absorbed + ", oral_absorption_pct: 50, source: invented, replaces: true}\n"
	}
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/water.yaml": "id: water\nname: Water\nsupplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n",
		"ingredients/plain.yaml": sheet("plain", "false", "10"),
		"ingredients/fine.yaml":  sheet("fine", "true", "2"),
		"products/cream.yaml":    "id: cream\nname: Cream\nrevision: 1\nproduct_type: body-lotion\nintended_for: adults\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: plain, amount: 5}, {ingredient: fine, amount: 3}]}]}\n",
	}), table.Builtin())
	require.Len(t, w.Products, 1)
	d := pack.Build(dossier.Assess(w, w.Products[0], batchOptions()))
	byHand, rounded := map[string]float64{"Octocrylene": 20.79, "Octocrylene (nano)": 34.66}, 0.05
	for id, mos := range map[string]int{"margins-aggregate": 4, "margins-all-products": 6, "recalc-aggregate": 8} {
		x := tableOf(d, id)
		require.NotNil(t, x, id)
		of := map[string]float64{}
		for _, r := range x.Rows {
			n, err := strconv.ParseFloat(fmt.Sprint(r.Cells[mos]), 64)
			require.NoError(t, err, id)
			of[fmt.Sprint(r.Cells[0])] = n
		}
		assert.InDeltaMapValues(t, byHand, of, rounded, id)
	}
	shown := map[string]float64{}
	for _, b := range d.Blocks() {
		if c, is := b.(*document.HBarLog); is && c.ID == "chart-lowest" {
			for _, r := range c.Rows {
				shown[strings.TrimSuffix(r.Label, ", all products")] = r.Value
			}
		}
	}
	assert.InDeltaMapValues(t, byHand, shown, rounded)
}
