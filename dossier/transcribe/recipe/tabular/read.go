package tabular

import (
	"slices"

	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/raw"
)

// Read reads a table into a product; tail is what stands in it that is no line,
// left what is not understood.
// nil: the table is no formula.
func Read(d *columns.Finder, t *columns.Table) (p *formulation.Product, tail []raw.Row,
	left []formulation.Place) {
	b := &body{d: d, t: t, p: &formulation.Product{}, columns: map[columns.Role]int{}}
	b.settleColumns()
	if b.columns[columns.IsName] < 0 || len(b.doses) == 0 {
		return nil, nil, b.left
	}
	for i, r := range t.Body {
		var next *raw.Row
		if i+1 < len(t.Body) {
			next = &t.Body[i+1]
		}
		b.row(r, next)
	}
	if !slices.ContainsFunc(b.entries, func(e *entry) bool { return len(e.amounts) > 0 }) {
		return nil, nil, b.left
	}
	b.build()
	return b.p, b.tail, b.left
}
