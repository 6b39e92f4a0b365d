package table

import (
	"slices"

	"gallipot/calc/law/safety"
	"gallipot/ingredients"
)

func newPlaces() placesOf { return placesOf{map[string][]int{}, map[string][]int{}} }

// enter adds place i under a key, once.
func enter(places map[string][]int, key string, i int) {
	if list := places[key]; len(list) == 0 || list[len(list)-1] != i {
		places[key] = append(list, i)
	}
}

// Of returns the places of any of the names, in the order of the table.
func (p placesOf) Of(keys map[string]bool) []int {
	var at []int
	for k := range keys {
		at = append(at, p.byName[k]...)
	}
	return InOrder(at)
}

// Numbered returns the places of any of the numbers, in the order of the table.
func (p placesOf) Numbered(cas []string) []int {
	var at []int
	for _, c := range cas {
		at = append(at, p.byCAS[c]...)
	}
	return InOrder(at)
}

func InOrder(at []int) []int {
	slices.Sort(at)
	return slices.Compact(at)
}

func (t *Tables) buildLookups() *lookups {
	l := &lookups{Tox: newPlaces(), Standards: newPlaces(), ToxUse: map[string][]*safety.ToxUse{},
		ToxUseName: map[*safety.ToxUse]string{}}
	for i, x := range t.Tox {
		for _, n := range append([]string{x.Substance}, x.INCI...) {
			enter(l.Tox.byName, ingredients.NameKey(n), i)
		}
		if x.CAS != "" {
			enter(l.Tox.byCAS, x.CAS, i)
		}
	}
	for i, s := range t.Standards {
		for _, n := range append([]string{s.Substance}, s.INCI...) {
			enter(l.Standards.byName, ingredients.NameKey(n), i)
		}
		for _, c := range s.CAS {
			enter(l.Standards.byCAS, c, i)
		}
	}
	for _, u := range t.ToxUse {
		k := ingredients.NameKey(u.Substance)
		l.ToxUse[k] = append(l.ToxUse[k], u)
		l.ToxUseName[u] = ingredients.NameKey(u.INCI)
	}
	return l
}
func (t *Tables) buildCramerPlaces() placesOf {
	p := newPlaces()
	for i, c := range t.Cramer {
		enter(p.byName, ingredients.NameKey(c.INCI), i)
		if c.CAS != "" {
			enter(p.byCAS, c.CAS, i)
		}
	}
	return p
}
