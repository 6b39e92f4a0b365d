package pack_test

import (
	"regexp"
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
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/finding"
)

// tableOf returns the table with an ID, on the pages or in the workbook.
func tableOf(d *document.Document, id string) *document.Table {
	for _, b := range append(d.Blocks(), (&document.Document{Sections: d.Workbook}).Blocks()...) {
		if t, ok := b.(*document.Table); ok && t.ID == id {
			return t
		}
	}
	return nil
}

// twoMaterials is a product of an oil and a scent of one supplier, with nothing else on
// file.
func twoMaterials(t *testing.T) *assess.Assessment {
	t.Helper()
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"ingredients/oil.yaml":   "id: oil\nname: Oil\nsupplier: {name: S}\ncomposition: {complete: true, constituents: [{inci: Canola Oil, pct: 100}]}\n",
		"ingredients/scent.yaml": "id: scent\nname: Scent\nlabel_as: parfum\nfunctions: [perfuming]\nsupplier: {name: S}\n",
		"products/balm.yaml":     "id: balm\nname: Balm\nrevision: 1\nproduct_type: hand-cream\nintended_for: adults\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: oil, amount: q.s.}, {ingredient: scent, amount: 1}]}]}\n",
	}), table.Builtin())
	require.Len(t, w.Products, 1)
	return dossier.Assess(w, w.Products[0], batchOptions())
}

// TestOpenPoints numbers each open point once, whoever it goes to, and leaves out none.
func TestOpenPoints(t *testing.T) {
	d := pack.Build(twoMaterials(t))
	points := tableOf(d, "open-points")
	require.NotNil(t, points)
	seen, numbers := map[string]bool{}, map[string]bool{}
	supplier := false
	for _, r := range points.Rows {
		if r.Kind == document.RowGroup {
			continue
		}
		what := r.Cells[2].Text
		assert.False(t, seen[what], what)
		assert.False(t, numbers[r.Cells[0].Text], r.Cells[0].Text)
		seen[what], numbers[r.Cells[0].Text] = true, true
		supplier = supplier || r.Cells[1].Text == "S" && strings.Contains(what, "Oil") && strings.Contains(what, "Scent")
	}
	assert.True(t, supplier, "documents of both materials are asked of the supplier once")
}

// TestLawOfEachMarket: what stops a product in two markets names the law of both.
func TestLawOfEachMarket(t *testing.T) {
	found := 0
	for _, r := range tableOf(pack.Build(dossiertest.Demo(t, "body-cream")), "open-points").Rows {
		if r.Kind == document.RowGroup || !strings.HasPrefix(r.Cells[2].Text, "Butylphenyl Methylpropional: 0.0036") {
			continue
		}
		found++
		assert.Contains(t, r.Cells[3].Text, "SI 2022/659")
		assert.Contains(t, r.Cells[3].Text, "Annex II/1666; Reg (EU) 2021/1902")
	}
	assert.Equal(t, 1, found)
}

// openingRE is the beginning of a message, up to a figure, a file or a bracket.
var openingRE = regexp.MustCompile(`^[A-Za-z ,;:%]+`)

// TestEveryFindingIsOnThePages: what someone must act on is a question or an open point,
// never in the workbook alone.
func TestEveryFindingIsOnThePages(t *testing.T) {
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		a := dossiertest.Demo(t, id)
		text := strings.Join(strings.Fields(measure(t, pack.Build(a)).text.String()), "")
		for _, f := range a.Findings {
			if f.Code == "figures-unverified" || f.Code == "no-point-of-departure" { // counted in Q1 and Q2
				continue
			}
			said := words.Say(&f, words.Assessor)
			first := strings.Join(strings.Fields(openingRE.FindString(said.Message)), "")
			assert.Contains(t, strings.ToLower(text), strings.ToLower(first), "%s: %s", id, said.Text())
		}
	}
}

// TestTestsCountForTheirVariant: a test done on a batch counts for the variant that the
// batch record names, and for another only with a reason that is written down.
func TestTestsCountForTheirVariant(t *testing.T) {
	d := pack.Build(dossiertest.Demo(t, "heath-wash"))
	tests := tableOf(d, "tests-variants")
	require.NotEmpty(t, tests.Rows)
	for _, r := range tests.Rows {
		for i, c := range tests.Columns {
			switch c.Head {
			case "gorse": // batches/HW26-003.yaml
				assert.Equal(t, "○\u00a0tested", r.Cells[i].String())
			case "scrub":
				assert.Equal(t, "□\u00a0not\u00a0tested", r.Cells[i].String(), c.Head)
			case "plain", "heather", "duo":
				want := "□\u00a0not\u00a0tested"
				if test := r.Cells[0].String(); strings.Contains(test, "heat") || strings.Contains(test,
					"challenge") { // covers in products/heath-wash.yaml
					want = "‡\u00a0by\u00a0reason"
				}
				assert.Equal(t, want, r.Cells[i].String(), c.Head)
			}
		}
	}
}

// TestDecided shows what is settled in writing beside what is open, and not among it.
func TestDecided(t *testing.T) {
	a := twoMaterials(t)
	assert.Nil(t, tableOf(pack.Build(a), "decided"))
	for i := range a.Findings {
		if f := &a.Findings[i]; f.Code == "no-stability" {
			f.Severity, f.Decided = finding.Decided,
				&finding.Settled{Text: "the first batch tells", By: "I. Nobody", Date: 20261101, Until: 20270101}
		}
	}
	d := pack.Build(a)
	decided := tableOf(d, "decided")
	require.NotNil(t, decided)
	require.Len(t, decided.Rows, 1)
	cells := decided.Rows[0].Cells
	assert.Equal(t, []string{"the first batch tells", "I. Nobody", "2026-11-01", "2027-01-01"},
		[]string{cells[1].String(), cells[2].String(), cells[3].String(), cells[4].String()})
	for _, r := range tableOf(d, "open-points").Rows {
		for _, c := range r.Cells {
			assert.NotContains(t, c.Text, cells[0].Text)
		}
	}
}
