// Package listed answers what the printed names and numbers of supplier documents mean
// by the lists of the program: the one resolver of names, the dictionary of substances,
// the inventory of ingredient names.
package listed

import (
	"slices"

	"gallipot/ingredients"
)

// Names reads names by a dictionary.
type Names struct{ dict *ingredients.Dictionary }

// New reads names by a dictionary.
func New(dict *ingredients.Dictionary) Names { return Names{dict} }

// INCI is the label name of what a document prints: "" where no list knows it, where
// it is more than one substance, or where something has to be asked first.
func (n Names) INCI(printed string, cas, ec []string) string {
	r := n.dict.Resolve(printed, alone(cas), alone(ec))
	if r.Several() || len(r.Asks) > 0 || !r.First().Known() {
		return ""
	}
	return r.First().Name
}

// alone is the number of a list of one; several numbers tell nothing.
func alone(numbers []string) string {
	if len(numbers) == 1 {
		return numbers[0]
	}
	return ""
}

// ECOf are the EC numbers that the lists have for a CAS number.
func (n Names) ECOf(cas string) []string {
	var out []string
	for _, s := range n.dict.ByCAS(cas) {
		out = append(out, s.EC...)
	}
	inv := n.dict.Names().Inventory()
	for _, name := range inv.ByCAS(cas) {
		if e, ok := inv.Entry(name); ok {
			out = append(out, e.EC...)
		}
	}
	return once(out)
}

// CASOf are the CAS numbers that the inventory has for an EC number, where an entry
// gives one pair of numbers: of several pairs it does not say which belong together.
func (n Names) CASOf(ec string) []string {
	var out []string
	inv := n.dict.Names().Inventory()
	for _, name := range inv.ByEC(ec) {
		if e, ok := inv.Entry(name); ok && len(e.CAS) == 1 && len(e.EC) == 1 {
			out = append(out, e.CAS[0])
		}
	}
	return once(out)
}

// once drops numbers that stand twice.
func once(numbers []string) []string {
	var out []string
	for _, n := range numbers {
		if !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}
