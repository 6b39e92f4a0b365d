package frame

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/dossier/workshop"
)

// Uses lists the materials of a product, each once.
func Uses(p *workshop.Product) []string {
	var ids []string
	add := func(id string) {
		if id != "" && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	for _, phase := range p.Formula.Phases {
		for _, line := range phase.Lines {
			add(line.Ingredient)
		}
	}
	fills := func(list []formula.Fill) {
		for _, f := range list {
			for _, part := range f.Parts {
				add(part.Ingredient)
			}
		}
	}
	for _, v := range p.Variants {
		fills(v.Fill)
		for _, portion := range v.Portions {
			fills(portion.Fill)
		}
		for _, a := range v.ThenAdd {
			add(a.Ingredient)
		}
	}
	return ids
}
