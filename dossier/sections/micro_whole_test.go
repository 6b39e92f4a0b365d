package sections_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
)

// waterSaid is what the page of microbiology says of an invented balm of a type: more
// follows its formula.
func waterSaid(t *testing.T, productType, more string) string {
	t.Helper()
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/oil.yaml": "id: oil\nname: Oil\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\n",
		"products/balm.yaml": fmt.Sprintf("id: balm\nname: Balm\nrevision: 1\nproduct_type: %s\nintended_for: adults\n"+
			"formula: {basis: percent, phases: [{id: A, lines: [{ingredient: oil, amount: q.s.}]}]}\n", productType) + more,
	}), table.Builtin())
	require.Len(t, w.Products, 1)
	v := show.Show(assess.Run(w, w.Products[0], assess.Options{Date: 20261125, Law: table.Builtin()}), "")
	var out strings.Builder
	require.NoError(t, plain.Write(&out,
		&document.Document{Marks: show.Marks, Sections: []*document.Section{sections.MicrobiologySection(v)}}))
	return strings.Join(strings.Fields(out.String()), " ")
}

// TestWaterInUse: that a hand cream is not expected to take up water is said as
// what it is, a judgement on the type; the pack is that of the product file.
func TestWaterInUse(t *testing.T) {
	const unknown = "how the product is taken out of it is not stated: whether wet fingers reach into it is not known from the product file."
	cream := waterSaid(t, "hand-cream", "packaging: [{part: tin, material: aluminium}]\n")
	assert.Contains(t, cream, "A product of this type is not expected to get water into its pack in use (product-types.csv, row hand-cream); the pack is stated as tin: aluminium, and "+unknown)
	assert.Contains(t, waterSaid(t, "hand-cream", ""), "the product file states no pack, and how")
	assert.Contains(t, waterSaid(t, "bar-soap", ""), "may get water into its pack")
}
