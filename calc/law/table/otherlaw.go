package table

import (
	"slices"
	"sync"

	"gallipot/calc/law/annex"
)

// OtherRules returns every rule outside the annexes, in the order of the table.
func (t *Tables) OtherRules() []*annex.OtherRule { return slices.Clone(t.otherLaw) }

// OtherRulesOf returns the rules that name a substance, by its names or CAS
// numbers, in the order of the table.
func (t *Tables) OtherRulesOf(inci string, cas []string) []*annex.OtherRule {
	places := t.otherPlaces()
	var out []*annex.OtherRule
	for _, i := range InOrder(append(places.Of(t.Names().Same(inci)), places.Numbered(cas)...)) {
		out = append(out, t.otherLaw[i])
	}
	return out
}

// otherPlacesOf returns the look-up of the rules, built on first use.
func (t *Tables) otherPlacesOf() func() placesOf {
	return sync.OnceValue(func() placesOf {
		p := newPlaces()
		for i, o := range t.otherLaw {
			for _, k := range o.Keys {
				enter(p.byName, k, i)
			}
			for _, c := range o.CAS {
				enter(p.byCAS, c, i)
			}
		}
		return p
	})
}
