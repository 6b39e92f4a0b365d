package main

import (
	"slices"

	"gallipot/ingredients"
)

// printedNames reads the names of supplier documents by the one resolver of names.
type printedNames struct{ dict *ingredients.Dictionary }

// INCI is the label name of what a document prints: "" where no list knows it, where
// it is more than one substance, or where something has to be asked first.
func (p printedNames) INCI(printed string, cas, ec []string) string {
	one := func(list []string) string {
		if len(list) == 1 {
			return list[0]
		}
		return ""
	}
	r := p.dict.Resolve(printed, one(cas), one(ec))
	if r.Several() || len(r.Asks) > 0 || !r.First().Known() {
		return ""
	}
	return r.First().Name
}

// ECOf are the EC numbers that the lists have for a CAS number.
func (p printedNames) ECOf(cas string) []string {
	var out []string
	add := func(numbers []string) {
		for _, ec := range numbers {
			if !slices.Contains(out, ec) {
				out = append(out, ec)
			}
		}
	}
	for _, s := range p.dict.ByCAS(cas) {
		add(s.EC)
	}
	inventory := p.dict.Names().Inventory()
	for _, name := range inventory.ByCAS(cas) {
		if e, ok := inventory.Entry(name); ok {
			add(e.EC)
		}
	}
	return out
}
