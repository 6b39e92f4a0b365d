package weigh_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/weigh"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
)

// soapShop sells bars of 100 g, of which a tenth of the poured mass dries off.
func soapShop(t testing.TB) (*workshop.Workshop, *assess.Assessment) {
	w, fs := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\nbalance: {division_g: 1}\n",
		"ingredients/water.yaml": sheetFile("water", ""),
		"ingredients/olive.yaml": "id: olive\nname: Olive oil\ncomposition: {complete: true, constituents: [{inci: Olea Europaea Fruit Oil, pct: 100}]}\n",
		"ingredients/lye.yaml":   "id: lye\nname: Caustic soda\nform: solid\ncomposition: {complete: true, constituents: [{inci: Sodium Hydroxide, cas: 1310-73-2, pct: 100}]}\n",
		"products/bar.yaml":      "id: bar\nname: Bar\nrevision: 1\nproduct_type: bar-soap\nintended_for: adults\nnet_content: {g: 100}\nformula:\n  basis: grams\n  saponify: {alkali: NaOH, excess_fat_pct: 5, water_loss_pct: 10}\n  phases:\n    - id: A\n      lines:\n        - {ingredient: olive, amount: 1000}\n        - {ingredient: lye, amount: 123}\n        - {ingredient: water, amount: 300}\n",
	}), table.Builtin())
	require.Empty(t, fs)
	return w, dossier.Assess(w, w.Product("bar"), batchOptions())
}

// batchOptions are those of a run on the day of the tests.
func batchOptions() assess.Options { return assess.Options{Date: 20261125, Law: table.Builtin()} }

// demoSheet plans a batch of the demo.
func demoSheet(t testing.TB, product, variant string, opt weigh.WeighOptions) *weigh.WeighSheet {
	t.Helper()
	w, _ := workshop.Load("../../testdata/demo", table.Builtin())
	require.NotNil(t, w)
	p := w.Product(product)
	require.NotNil(t, p)
	s, err := weigh.Weigh(w, dossier.Assess(w, p, batchOptions()), variant, opt)
	require.NoError(t, err)
	return s
}

func grams(t testing.TB, text string) *exact.Num {
	t.Helper()
	n, err := weigh.ParseMass(text)
	require.NoError(t, err)
	return &n
}

func xlsxOf(t *testing.T, d *document.Document) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, sheet.Write(&b, d))
	return b.Bytes()
}

func openXLSX(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	t.Cleanup(func() { f.Close() })
	return f
}

// sheetFile is a sheet that reads without a finding.
func sheetFile(id, more string) string {
	return "id: " + id + "\nname: N\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n" + more
}
