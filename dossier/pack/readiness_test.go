package pack_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/document"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/pack"
	"gallipot/dossier/ready"
	"gallipot/dossier/sections"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
)

// TestReadinessInPack prints every item in one line of D.1 and in the workbook with its
// legal basis; what nobody has stated is never "not needed".
func TestReadinessInPack(t *testing.T) {
	a := dossiertest.Demo(t, "body-cream")
	d := pack.Build(a)
	require.Empty(t, d.Check())
	inBook := map[string]bool{}
	for _, id := range (&document.Document{Sections: d.Workbook}).Anchors() {
		inBook[id] = true
	}
	var page *document.Table
	for _, b := range d.Blocks() {
		if x, ok := b.(*document.Table); ok && x.ID == "readiness-items" {
			page = x
		}
	}
	require.NotNil(t, page)
	state := map[string]string{}
	for _, r := range page.Rows {
		if r.Kind == document.RowData {
			state[r.Cells[0].Text] = r.Cells[2].String()
		}
	}
	for _, x := range ready.Readiness(a) {
		assert.True(t, inBook["ready-"+x.ID], x.ID)
	}
	for _, id := range []string{"A4b", "A4d", "A10", "N6", "X1"} {
		assert.Equal(t, "□\u00a0not stated", state[id], id)
	}
	figures, err := sections.Figures(a, "", []string{"readiness"})
	require.NoError(t, err)
	require.Empty(t, figures.Check())
	var text bytes.Buffer
	require.NoError(t, plain.Write(&text, figures))
	assert.Contains(t, text.String(), "A3c")
	assert.NotContains(t, text.String(), "PH 5.3")
}

// TestSilentSheets: the question about impurities and the readiness of the file count the
// same sheets.
func TestSilentSheets(t *testing.T) {
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		text := strings.Join(strings.Fields(measure(t, pack.Build(dossiertest.Demo(t, id))).text.String()), " ")
		asked := regexp.MustCompile(`(\d+) of \d+ raw material sheets? state no impurity, water aside`).FindStringSubmatch(text)
		found := regexp.MustCompile(`(\d+) sheets? states? no impurity`).FindStringSubmatch(text)
		require.Len(t, asked, 2, id)
		require.Len(t, found, 2, id)
		assert.Equal(t, asked[1], found[1], id)
	}
}

// TestLawSaysWhatItCounts: an allergen that two variants name is one name of the product,
// and the durability that stands on a label is not called missing where its basis is. By
// hand: Limonene and Linalool in one scent, Limonene and Eugenol in the other make 2 and 2
// by variant and 3 over both.
func TestLawSaysWhatItCounts(t *testing.T) {
	scent := func(id, other string) string {
		return "id: " + id + "\nname: " + id + "\nlabel_as: parfum\nallergens: {list: 2023-1545, dated: 2026-05-04, declared: [" +
			"{name: Limonene, cas: 5989-27-5, pct: 5}, " + other + "]}\n"
	}
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/oil.yaml": "id: oil\nname: Oil\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\n",
		"ingredients/one.yaml": scent("one", "{name: Linalool, cas: 78-70-6, pct: 5}"),
		"ingredients/two.yaml": scent("two", "{name: Eugenol, cas: 97-53-0, pct: 5}"),
		"products/balm.yaml": "id: balm\nname: Balm\nrevision: 1\nproduct_type: hand-cream\nintended_for: adults\n" +
			"durability: {pao_months: 6, best_before_months: 24}\n" +
			"formula: {basis: percent, phases: [{id: A, lines: [{ingredient: oil, amount: q.s.}, {slot: scent, amount: 1}]}]}\n" +
			"variants: [{id: a, name: A, fill: {scent: one}}, {id: b, name: B, fill: {scent: two}}]\n",
	}), table.Builtin())
	require.Len(t, w.Products, 1)
	d := pack.Build(dossier.Assess(w, w.Products[0], batchOptions()))
	for _, r := range tableOf(d, "variants").Rows {
		assert.Equal(t, "2", r.Cells[3].String(), r.Cells[0].Text)
	}
	law := map[string][]string{}
	for _, r := range tableOf(d, "law-by-market").Rows {
		law[r.Cells[0].Text] = []string{r.Cells[2].String(), r.Cells[len(r.Cells)-1].String()}
	}
	assert.Contains(t, law["Allergens on the label"][0], "named: 3")
	assert.Contains(t, law["Allergens on the label"][1], "each name once over all variants")
	assert.NotContains(t, law, "Durability on the label")
	assert.Equal(t, []string{"■\u00a0missing", "24 months stated, nothing to derive it from"},
		law["Basis of the durability"])
	k := d.Sections[0].Subsections[0].Blocks[1].(*document.KeyFigures)
	assert.Equal(t, "○\u00a0limits kept", k.Items[0].Value.String())
	assert.Contains(t, k.Items[0].Note, "durability without basis")
}
