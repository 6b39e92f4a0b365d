package assess_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop/workshoptest"
)

// TestFingerprintBesideFigures changes one key after the other. What the assessor
// judges or a figure depends on makes another fingerprint; records made later, the
// notices and the size of the label do not.
func TestFingerprintBesideFigures(t *testing.T) {
	const end = "complaints: []\n"
	base := workshoptest.FullFiles()
	base["products/cream.yaml"] = strings.Replace(base["products/cream.yaml"], end,
		end+"label: {shape: rectangle, width_mm: 120, height_mm: 60}\n", 1)
	of := func(old, text string) string {
		t.Helper()
		files := map[string]string{}
		for name, s := range base {
			files[name] = s
		}
		require.Contains(t, files["products/cream.yaml"], old)
		files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"], old, text, 1)
		a := assessFiles(t, files)
		return a.Fingerprint
	}
	before := of(end, end)
	const label = "label: {shape: rectangle, width_mm: 120, height_mm: 60}\n"
	for name, c := range map[string]struct {
		old, text string
		same      bool
	}{
		"label size":         {"width_mm: 120", "width_mm: 90", true},
		"label shape":        {label, "label: {shape: round, width_mm: 80}\n", true},
		"no label described": {label, "", true},
		"label margin, type, overlap, sheet, sign": {"height_mm: 60}",
			"height_mm: 60, margin_mm: 2, overlap_mm: 5, min_type_mm: 1, e_mark: true, sheet: {across: 1, down: 2, left_mm: 1, top_mm: 1, step_across_mm: 121, step_down_mm: 61}}", true},
		"notification number": {"number: \"1\"", "number: \"17\"", true},
		"no notifications":    {notifiedOf, "", true},
		"first placed in":     {end, end + "first_placed_in: IE\n", true},
		"units sold":          {end, end + "sold: [{until: 2026-06-30, units: 400}]\n", true},
		"picture": {end,
			end + "pictures: [{file: pictures/front.jpg, caption: front}]\n", true},
		"decision": {end,
			end + "decisions: [{code: low-margin, decision: kept, by: R. Tarn, date: 2026-06-30}]\n", true},
		"answer": {end,
			end + "assessments: [{assessor: R. Tarn, qualification: pharmacist, dated: 2026-06-30, fingerprint: 12ab, revision: 1}]\n", true},

		"claim":         {"leaves skin soft", "leaves skin smooth", false},
		"warning":       {"Keep out of the eyes.", "Keep away from the eyes.", false},
		"directions":    {"Rub in.", "Rub in well.", false},
		"packaging":     {"material: PET}", "material: PP}", false},
		"intended use":  {"intended_for: adults", "intended_for: children-3-plus", false},
		"storage":       {end, end + "storage: Keep cool.\n", false},
		"made in":       {"made_in: GB\n", "made_in: FR\n", false},
		"free sample":   {"height_mm: 60}", "height_mm: 60, sold_as: free-sample}", false},
		"no period":     {"height_mm: 60}", "height_mm: 60, no_pao: pack that keeps air out}", false},
		"leaflet":       {"height_mm: 60}", "height_mm: 60, leaflet: true}", false},
		"durability":    {"pao_months: 6", "pao_months: 12", false},
		"specification": {"appearance: white", "appearance: cream", false},
		"formula":       {"{ingredient: blend, amount: 1}", "{ingredient: blend, amount: 0.9}", false},
	} {
		if after := of(c.old, c.text); c.same {
			assert.Equal(t, before, after, name)
		} else {
			assert.NotEqual(t, before, after, name)
		}
	}
}

// TestFingerprintOfSomeMarkets: a run for one of the product's markets is about
// the same figures, so that an assessment covers a batch that was planned with it.
// A market beyond the product's own adds its rules. The results are those asked
// for, in the order asked.
func TestFingerprintOfSomeMarkets(t *testing.T) {
	a := assessFiles(t, workshoptest.FullFiles()) // GB and EU
	in := func(markets ...rows.Market) *assess.Assessment {
		opt := a.Options
		opt.Markets = markets
		return assess.Run(a.Workshop, a.Product, opt)
	}
	for _, markets := range [][]rows.Market{{rows.GB}, {rows.EU}, {rows.EU, rows.GB}, {rows.GB, rows.EU}} {
		b := in(markets...)
		assert.Equal(t, a.Fingerprint, b.Fingerprint, "%v", markets)
		require.Len(t, b.Results, len(a.Product.Variants)*len(markets))
		for i, r := range b.Results {
			assert.Equal(t, markets[i%len(markets)], r.Input.Market, "%v", markets)
			assert.Equal(t, a.Product.Variants[i/len(markets)], r.Input.Variant, "%v", markets)
		}
	}
	assert.NotEqual(t, a.Fingerprint, in(rows.NI).Fingerprint)
	assert.Equal(t, in(rows.NI, rows.GB).Fingerprint, in(rows.NI).Fingerprint)
}

// TestFingerprintOfRecords records what is made after the figures, each in turn, and
// then changes one content of the formula by 0.001 %.
func TestFingerprintOfRecords(t *testing.T) {
	const line = "{ingredient: glycerin, amount: 4}"
	base := workshoptest.FullFiles()
	base["ingredients/glycerin.yaml"] = "id: glycerin\nname: Glycerin\ncomposition: {complete: true, constituents: [{inci: Glycerin, cas: 56-81-5, pct: 100}]}\n"
	cream := strings.Replace(base["products/cream.yaml"], "{ingredient: blend, amount: 1}",
		line+", {ingredient: blend, amount: 1}", 1)
	require.Contains(t, cream, line)
	of := func(product string, more ...string) string {
		t.Helper()
		files := map[string]string{}
		for name, s := range base {
			files[name] = s
		}
		files["products/cream.yaml"] = product
		for i := 0; i < len(more); i += 2 {
			files[more[i]] = more[i+1]
		}
		return assessFiles(t, files).Fingerprint
	}
	before := of(cream)
	answer := "assessments: [{assessor: R. Tarn, qualification: pharmacist, dated: 2026-06-30, fingerprint: " + before +
		", revision: 1, conclusion: safe, values: [{inci: Glycerin, pod_mg_per_kg_bw_d: 100, reason: a study}]}]\n"
	assert.Equal(t, before, of(cream+"pictures: [{file: pictures/front.jpg, caption: front}]\n"), "picture")
	assert.Equal(t, before, of(cream+"decisions: [{code: low-margin, decision: kept, by: R. Tarn, date: 2026-06-30}]\n"), "decision")
	assert.Equal(t, before, of(cream+answer), "answer")
	assert.Equal(t, before, of(cream, "lots/g-1.yaml",
		"ingredient: glycerin\nlot: g-1\nreceived: 2026-05-01\nreceived_g: 5000\n"), "lot")
	assert.NotEqual(t, before, of(strings.Replace(cream, line, "{ingredient: glycerin, amount: 4.001}", 1)),
		"glycerin 4.001")
}
