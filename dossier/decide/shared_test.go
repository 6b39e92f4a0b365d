package decide_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

const shop = `maker: {name: Skerry (invented), address: [Shore Road 1]}
markets: [GB, EU]
`

// tide is a product of two variants, with the scent of one and 81 names declared in
// none.
const tide = `id: tide
name: Tide
revision: 1
product_type: body-lotion
intended_for: adults
net_content: {g: 100}
formula:
  basis: percent
  phases:
    - id: A
      lines:
        - {ingredient: water, amount: q.s.}
        - {slot: scent, amount: 0.5}
variants:
  - id: plain
  - id: moor
    fill: {scent: fo-moor}
  - id: dune
    fill: {scent: fo-moor}
`

const water = `id: water
name: Water
composition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}
functions: [solvent]
`

const moor = `id: fo-moor
name: Moor
supplier: {name: Wrack (invented)}
label_as: parfum
composition: {complete: false, constituents: [{inci: Dipropylene Glycol, cas: 25265-71-8, pct: 60}]}
`

// files are the files of the workshop, with more written below a product.
func files(more string) fstest.MapFS {
	return fstest.MapFS{"workshop.yaml": {Data: []byte(shop)}, "products/tide.yaml": {Data: []byte(tide + more)},
		"ingredients/water.yaml": {Data: []byte(water)}, "ingredients/fo-moor.yaml": {Data: []byte(moor)}}
}

// assessed is the product on a day.
func assessed(t *testing.T, fsys fstest.MapFS, day exact.Date, opt ...func(*assess.Options)) *assess.Assessment {
	t.Helper()
	w, found := workshop.LoadFS("shop", fsys, table.Builtin())
	require.NotNil(t, w)
	for _, f := range found {
		require.False(t, f.Unread, "%s %s %v", f.Code, f.Pos, f.Values)
	}
	o := assess.Options{Date: day, DateChosen: true, Law: table.Builtin()}
	for _, set := range opt {
		set(&o)
	}
	return dossier.Assess(w, w.Products[0], o)
}

const today = exact.Date(20261125)

// of are the findings of a kind and code.
func of(a *assess.Assessment, sev finding.Severity, code string) (list []finding.Finding) {
	for _, f := range a.Findings {
		if f.Severity == sev && f.Code == code {
			list = append(list, f)
		}
	}
	return list
}

// decision is a line of the product's file.
func decision(values ...string) string {
	return "decisions:\n  - {" + strings.Join(append(values, "decision: asked on the telephone", "by: I. Nobody",
		"date: 2026-11-01"), ", ") + "}\n"
}
