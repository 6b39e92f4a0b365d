package notice

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/document/sheet"
	"gallipot/dossier/dossiertest"
	"gallipot/dossier/show"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
)

// noticeField returns the cell of a field of one portal, and who supplies it.
func noticeField(t *testing.T, a *assess.Assessment, portal, field string) (document.Cell, string) {
	t.Helper()
	for _, s := range Sheet(a).Sections {
		if s.ID != "notification-"+portal {
			continue
		}
		for _, b := range s.Blocks {
			table, ok := b.(*document.Table)
			if !ok {
				continue
			}
			for _, r := range table.Rows {
				if r.Cells[0].Text == field {
					return r.Cells[1], r.Cells[2].Text
				}
			}
		}
	}
	t.Fatalf("no field %q on the sheet for %s", field, portal)
	return document.Cell{}, ""
}

// changedFiles is the full workshop with one text replaced in one file.
func changedFiles(name, old, new string) map[string]string {
	files := workshoptest.FullFiles()
	files[name] = strings.Replace(files[name], old, new, 1)
	return files
}

func TestNotificationFields(t *testing.T) {
	const product, shop = "products/cream.yaml", "workshop.yaml"
	for _, c := range []struct {
		name          string
		files         map[string]string
		portal, field string
		want          string
		missing       bool
	}{
		{"name", workshoptest.FullFiles(), "gb", "Product name", "Cream", false},
		{"no variants", workshoptest.FullFiles(), "gb", "Variants", "none: one product under one name", false},
		{"person", workshoptest.FullFiles(), "eu", "Responsible person", "R\nA\nIreland", false},
		{"no person", changedFiles(shop, "  EU: {name: R, address: [A], country: IE}\n", ""), "eu",
			"Responsible person", "none named for EU", true},
		{"no contact", workshoptest.FullFiles(), "gb", "Contact person", "no contact is named", true},
		{"contact", changedFiles(shop, "GB: {name: R, address: [A], country: GB}",
			"GB: {name: R, address: [A], country: GB, contact: {name: Ailsa Holm, phone: 01632 960001}}"),
			"gb", "Contact person", "Ailsa Holm\n01632 960001", false},
		{"imported", workshoptest.FullFiles(), "eu", "Country of origin, if imported", "United Kingdom", false},
		{"not imported", changedFiles(product, "made_in: GB", "made_in: IE"), "eu",
			"Country of origin, if imported", "not imported: made in Ireland", false},
		{"first state", changedFiles(product, "made_in: GB", "made_in: GB\nfirst_placed_in: DE"), "eu",
			"Member State of first placing", "Germany", false},
		{"no first state", workshoptest.FullFiles(), "eu", "Member State of first placing", "not stated", true},
		{"no nano", workshoptest.FullFiles(), "gb", "Nanomaterials", "no: no sheet marks a constituent as nano", false},
		{"nano", changedFiles("ingredients/pearl.yaml", "{inci: CI 77891, pct: 40}",
			"{inci: CI 77891, pct: 40, nano: true}"), "gb", "Nanomaterials", "yes: CI 77891", true},
		{"CMR", workshoptest.FullFiles(), "gb", "CMR substances, category 1A or 1B",
			"the tables do not list all of these substances", true},
		{"pH within", workshoptest.FullFiles(), "gb", "pH", "within 3 to 10 (specified: 5–6)", false},
		{"pH at the bounds", changedFiles(product, `ph: "5-6"`, `ph: "3-10"`), "gb", "pH",
			"within 3 to 10 (specified: 3–10)", false},
		{"pH acid", changedFiles(product, `ph: "5-6"`, `ph: "2.0-2.9"`), "gb", "pH",
			"outside 3 to 10: state the figure, specified as 2.0–2.9", false},
		{"pH alkaline", changedFiles(product, `ph: "5-6"`, `ph: "10.1-11"`), "gb", "pH",
			"outside 3 to 10: state the figure, specified as 10.1–11", false},
		{"pH across", changedFiles(product, `ph: "5-6"`, `ph: "2.9-4"`), "gb", "pH",
			"reaches beyond 3 to 10: state the figure", false},
		{"no pH", changedFiles(product, `ph: "5-6", `, ""), "gb", "pH", "no pH is specified", true},
		{"label", workshoptest.FullFiles(), "gb", "Label", "evidence/label.txt", false},
		{"picture", workshoptest.FullFiles(), "eu", "Picture of the pack", "evidence/photo.txt", false},
		{"number", workshoptest.FullFiles(), "eu", "Notified already", "2, 2026-04-01", false},
	} {
		cell, who := noticeField(t, assessFiles(t, c.files), c.portal, c.field)
		assert.Contains(t, cell.Text, c.want, c.name)
		assert.Equal(t, c.missing, cell.Kind == document.CellMissing, c.name)
		assert.Equal(t, c.missing, who != "", "%s: who supplies it", c.name)
	}
}

// TestNotificationPaperLost: a picture that is named and not there is missing.
func TestNotificationPaperLost(t *testing.T) {
	files := workshoptest.FullFiles()
	delete(files, "evidence/photo.txt")
	cell, _ := noticeField(t, assessFiles(t, files), "gb", "Picture of the pack")
	assert.Equal(t, document.CellMissing, cell.Kind)
	assert.Contains(t, cell.Text, "evidence/photo.txt is named and not in the workshop")
}

// TestNotificationNoWater: a product without water has no pH to state.
func TestNotificationNoWater(t *testing.T) {
	files := changedFiles("ingredients/water.yaml", "{inci: Aqua, pct: 100}", "{inci: Squalane, pct: 100}")
	files["products/cream.yaml"] = strings.Replace(files["products/cream.yaml"], `ph: "5-6", `, "", 1)
	cell, _ := noticeField(t, assessFiles(t, files), "gb", "pH")
	assert.Equal(t, "no water in it: the entry for products without a pH", cell.Text)
}

// TestNotificationPortals: one sheet for Great Britain, one for the EU and
// Northern Ireland together; origin and first state are asked for in the EU alone
// (dossier-contents.csv, row N4).
func TestNotificationPortals(t *testing.T) {
	ids := func(markets string) []string {
		var out []string
		for _, s := range Sheet(assessFiles(t,
			changedFiles("products/cream.yaml", "markets: [GB, EU]", "markets: ["+markets+"]"))).Sections {
			out = append(out, s.ID)
		}
		return out
	}
	assert.Equal(t, []string{"notification-gb"}, ids("GB"))
	assert.Equal(t, []string{"notification-eu"}, ids("NI"))
	assert.Equal(t, []string{"notification-eu"}, ids("EU, NI"))
	assert.Equal(t, []string{"notification-gb", "notification-eu"}, ids("NI, GB"))
	d := Sheet(assessFiles(t, workshoptest.FullFiles()))
	text := func(i int) string {
		one := *d
		one.Sections = d.Sections[i : i+1]
		var b strings.Builder
		require.NoError(t, plain.Write(&b, &one))
		return b.String()
	}
	assert.NotContains(t, text(0), "Member State")
	assert.Contains(t, text(1), "Member State")
}

// TestNotificationFormula: contents as the composition has them, scents as one,
// allergens not counted twice, each in the band of its highest content. Bands of
// portal practice, from memory; contents worked by hand.
func TestNotificationFormula(t *testing.T) {
	files := changedFiles("ingredients/blend.yaml",
		"{inci: Phenoxyethanol, cas: 122-99-6, pct: 90}, {inci: Ethylhexylglycerin, pct: 10}",
		`{inci: Phenoxyethanol, cas: 122-99-6, pct: "90-95"}, {inci: Ethylhexylglycerin, pct: "5-10"}`)
	a := assessFiles(t, files)
	n := &notice{V: show.Show(a, ""), Portal: rows.GB, Markets: []rows.Market{rows.GB}}
	table := n.formula(n.V.Variants[0])
	got := map[string][3]string{}
	for _, r := range table.Rows {
		got[r.Cells[1].Text] = [3]string{r.Cells[3].String(), r.Cells[4].Text, r.Cells[5].Text}
	}
	require.NotContains(t, got, "Linalool", "inside the scent")
	assert.Equal(t, "98.4", got["Aqua"][0])
	assert.Equal(t, "> 75 to 100 %", got["Aqua"][1])
	assert.Equal(t, [3]string{"0.9–0.95 (0.925)", "> 0.1 to 1 %", ""}, got["Phenoxyethanol"])
	assert.Equal(t, "0.05–0.1 (0.075)", got["Ethylhexylglycerin"][0])
	assert.Equal(t, "up to 0.1 %", got["Ethylhexylglycerin"][1], "0.1 % itself belongs to the lowest band")
	assert.Equal(t, "> 0.1 to 1 %", got["Parfum"][1])
	assert.Contains(t, got["Parfum"][2], "Scent, F1, F")
	assert.Equal(t, "up to 0.1 %", got["Mica"][1])
}

// TestNotificationBandOfARange: a range over a bound takes the upper band and
// says so.
func TestNotificationBandOfARange(t *testing.T) {
	files := changedFiles("ingredients/blend.yaml",
		"{inci: Phenoxyethanol, cas: 122-99-6, pct: 90}, {inci: Ethylhexylglycerin, pct: 10}",
		`{inci: Phenoxyethanol, cas: 122-99-6, pct: "85-95"}, {inci: Ethylhexylglycerin, pct: "5-15"}`)
	a := assessFiles(t, files)
	n := &notice{V: show.Show(a, ""), Portal: rows.GB, Markets: []rows.Market{rows.GB}}
	for _, r := range n.formula(n.V.Variants[0]).Rows {
		if r.Cells[1].Text == "Ethylhexylglycerin" {
			assert.Equal(t, "> 0.1 to 1 %", r.Cells[4].Text)
			assert.Equal(t, "by its lowest content: up to 0.1 %", r.Cells[5].Text)
			return
		}
	}
	t.Fatal("not in the formula")
}

// TestNotificationConcern lists ethanol and essential oils, exact.
func TestNotificationConcern(t *testing.T) {
	a := dossier.Assess(labelWorkshop(t), labelWorkshop(t).Product("heath-wash"),
		assess.Options{Date: testDay, Law: table.Builtin()})
	n := &notice{V: show.Show(a, "scrub"), Portal: rows.GB, Markets: []rows.Market{rows.GB}}
	got := map[string]string{}
	for _, r := range n.concern(n.V.Variants[0]).Rows {
		got[r.Cells[1].Text] = r.Cells[2].String()
	}
	// 0.8 % scent, 30 % of it the oil, in 105 parts: 0.8 × 0.3 / 1.05 = 0.22857
	assert.Equal(t, "0.2286", got["Juniperus Communis Fruit Oil"])
	assert.Contains(t, got, "Alcohol")
	assert.NotContains(t, got, "Aqua")
	assert.NotContains(t, got, "Parfum")
}

// TestNotificationCMR: what a regulation on such substances rules is named, with
// what the tables cannot tell.
func TestNotificationCMR(t *testing.T) {
	files := changedFiles("ingredients/blend.yaml",
		"{inci: Phenoxyethanol, cas: 122-99-6, pct: 90}, {inci: Ethylhexylglycerin, pct: 10}",
		"{inci: Salicylic Acid, cas: 69-72-7, pct: 40}, {inci: Glycerin, pct: 60}")
	cell, who := noticeField(t, assessFiles(t, files), "eu", "CMR substances, category 1A or 1B")
	assert.Contains(t, cell.Text, "check: Salicylic Acid")
	assert.Equal(t, "suppliers", who)
	plain, _ := noticeField(t, assessFiles(t, workshoptest.FullFiles()), "eu", "CMR substances, category 1A or 1B")
	assert.NotContains(t, plain.Text, "check:")
}

// TestNotificationPrints: every printer takes the sheet, and it says that it
// notifies nothing.
func TestNotificationPrints(t *testing.T) {
	d := Sheet(assessFiles(t, workshoptest.FullFiles()))
	require.Empty(t, d.Check())
	var text, book bytes.Buffer
	require.NoError(t, plain.Write(&text, d))
	require.NoError(t, sheet.Write(&book, d))
	_, _, err := pdf.Render(d, nil)
	require.NoError(t, err)
	assert.Contains(t, strings.Join(strings.Fields(text.String()), " "), "this sheet notifies nothing")
}

func TestReadContactAndFirstState(t *testing.T) {
	files := changedFiles("products/cream.yaml", "made_in: GB", "made_in: GB\nfirst_placed_in: GB")
	m := workshoptest.Folder(files)
	_, findings := workshop.LoadFS("w", m, table.Builtin())
	found := false
	for _, f := range findings {
		found = found || f.Code == "bad-country" && f.Subject == "first_placed_in"
	}
	assert.True(t, found, "%v", findings)
}

// Where a portion holds more than the whole pack, the notice says so. By hand:
// CI 77491 is 28 to 36 % of a colour that is 0.2 % of the bronze layer, 40 % of the
// pack: 0.056 to 0.072 % of the layer, 0.0224 to 0.0288 % of the pack.
func TestNotificationOfPortions(t *testing.T) {
	found := 0
	for _, s := range Sheet(dossiertest.Demo(t, "heath-wash")).Sections {
		for _, sub := range s.Subsections {
			for _, b := range sub.Blocks {
				table, ok := b.(*document.Table)
				if !ok || !strings.Contains(table.ID, "-formula-duo") {
					continue
				}
				assert.Contains(t, table.Notes, portionsNotice)
				for _, r := range table.Rows {
					if r.Cells[1].Text == "CI 77491" {
						found++
						assert.Contains(t, r.Cells[3].String(), "0.0224–0.0288")
						assert.Contains(t, r.Cells[5].Text, "in portion bronze layer: 0.056–0.072 ")
					}
				}
			}
		}
	}
	assert.Equal(t, 2, found, "once a market")
}

// TestPHOfTheNotice: the notice goes by a share of water: 2 % of a keeper that is half
// water bring 1 %, 1.98 % bring 0.99 %.
func TestPHOfTheNotice(t *testing.T) {
	cell := func(pct string) string {
		w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
			"ingredients/oil.yaml":    "id: oil\nname: Oil\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\n",
			"ingredients/keeper.yaml": "id: keeper\nname: Keeper\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 50}, {inci: Glycerin, pct: 50}]}\n",
			"products/balm.yaml": "id: balm\nname: Balm\nrevision: 1\nproduct_type: hand-cream\nintended_for: adults\nspecification: {appearance: even, odour: faint}\n" +
				"formula: {basis: percent, phases: [{id: A, lines: [{ingredient: oil, amount: q.s.}, {ingredient: keeper, amount: " + pct + "}]}]}\n",
		}), table.Builtin())
		require.Len(t, w.Products, 1)
		a := dossier.Assess(w, w.Products[0], assess.Options{Date: 20261125, Law: table.Builtin()})
		return (&notice{V: show.Show(a, ""), Portal: rows.GB, Markets: []rows.Market{rows.GB}}).phCell().String()
	}
	assert.Equal(t, "less than 1 % of water in it: the entry for products without a pH", cell("1.98"))
	assert.Contains(t, cell("2"), "no pH is specified")
}
