package assess

import (
	"cmp"
	"slices"

	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// EachCounted adds up what the products have, each on its own.
func EachCounted(as []*Assessment) finding.Counts {
	var all finding.Counts
	for _, a := range as {
		c := finding.Count(a.Findings)
		all.Stop, all.Ask, all.Note = all.Stop+c.Stop, all.Ask+c.Ask, all.Note+c.Note
		all.Decided += c.Decided
	}
	return all
}

// Without names the products that were not computed, by file where there is no id.
func Without(products []*workshop.Product, as []*Assessment) []string {
	var left []string
	for _, p := range products {
		if !slices.ContainsFunc(as, func(a *Assessment) bool { return a.Product.Source == p.Source }) {
			left = append(left, cmp.Or(p.ID, p.Source.Name))
		}
	}
	return left
}
