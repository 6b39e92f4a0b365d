package workshop

import (
	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// crossCheck looks up every sheet that a product names. A sheet names no other
// sheet and a product no other product, so nothing can refer to itself in a
// circle and no search for circles is needed.
func (l *loader) crossCheck() {
	known := l.w.SheetIDs()
	files := map[string]bool{}
	for _, id := range known {
		files[id] = true
	}
	for _, name := range l.sheets {
		files[IDOfFile(name)] = true // a sheet that could not be read has its own finding
	}
	for _, p := range l.w.Products {
		EachReference(p.Product, func(id string, pos exact.Pos) {
			if id == "" || files[id] {
				return
			}
			l.stop(codeUnknownIngredient, "", pos, id,
				With().Name("near", source.Nearest(id, known)).Name("file", "ingredients/"+id+".yaml"))
		})
	}
	l.crossCheckBatches(files)
	l.crossCheckLots(files)
}

// EachReference calls f for every sheet id that a product names.
func EachReference(p *formula.Product, f func(id string, pos exact.Pos)) {
	for _, phase := range p.Formula.Phases {
		for _, line := range phase.Lines {
			f(line.Ingredient, line.Pos)
		}
	}
	if p.Saponify != nil {
		for _, v := range p.Saponify.Values {
			f(v.Ingredient, v.Pos)
		}
	}
	fills := func(all []formula.Fill) {
		for _, fill := range all {
			for _, part := range fill.Parts {
				f(part.Ingredient, part.Pos)
			}
		}
	}
	for _, v := range p.Variants {
		fills(v.Fill)
		for _, portion := range v.Portions {
			fills(portion.Fill)
		}
		for _, a := range v.ThenAdd {
			f(a.Ingredient, a.Pos)
		}
	}
}
