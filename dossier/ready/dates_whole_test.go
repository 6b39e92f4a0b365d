package ready_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/dossier/workshop/workshoptest"
	"gallipot/ingredients/exact"
)

// TestSheetPapersAhead: a declaration and a certificate of the next day show
// neither that a name is absent nor that the use is allowed; on their own day
// they do.
func TestSheetPapersAhead(t *testing.T) {
	w, _ := workshop.LoadFS("shop", workshoptest.Folder(map[string]string{
		"workshop.yaml":          "maker: {name: M, address: [A]}\nmarkets: [GB]\n",
		"ingredients/water.yaml": "id: water\nname: Water\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n",
		"ingredients/scent.yaml": "id: scent\nname: Scent\nlabel_as: parfum\nfunctions: [perfuming]\nallergens: {list: 2023-1545, dated: 2027-01-02, declared: []}\nfragrance_limits: {amendment: 51, dated: 2027-01-02, max_pct: {\"5A\": 40}}\n",
		"products/tide.yaml":     "id: tide\nname: Tide\nrevision: 1\nproduct_type: body-lotion\nintended_for: adults\nformula: {basis: percent, phases: [{id: A, lines: [{ingredient: water, amount: q.s.}, {ingredient: scent, amount: 2}]}]}\n",
	}), table.Builtin())
	said := func(day exact.Date) (codes []string) {
		for _, f := range run(w, w.Products[0], assess.Options{Date: day, Law: table.Builtin()}).Findings {
			if slices.Contains([]string{"date-ahead", "no-declaration", "no-certificate"}, f.Code) {
				codes = append(codes, f.Code)
			}
		}
		return codes
	}
	assert.ElementsMatch(t, []string{"date-ahead", "date-ahead", "no-declaration", "no-certificate"}, said(20270101))
	assert.Empty(t, said(20270102))
}
