package table

import (
	"slices"
	"sync"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// lookups find the rows of a name or number without going through a table. They
// are built once, on first use.
type lookups struct {
	Tox       placesOf
	Standards placesOf
	// toxUse holds the readings by the key of their substance, in the order of the
	// table; toxUseName the key of the label name of each.
	ToxUse     map[string][]*safety.ToxUse
	ToxUseName map[*safety.ToxUse]string
}

// placesOf holds the places of a table's rows by name key and by CAS number.
type placesOf struct{ byName, byCAS map[string][]int }

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
	l := &lookups{Tox: newPlaces(), Standards: newPlaces(), ToxUse: map[string][]*safety.ToxUse{}, ToxUseName: map[*safety.ToxUse]string{}}
	for i, x := range t.Tox {
		for _, n := range append([]string{x.Substance}, x.INCI...) {
			enter(l.Tox.byName, ingredients.NameKey(n), i)
		}
		if x.CAS != "" {
			enter(l.Tox.byCAS, x.CAS, i)
		}
	}
	for i, s := range t.Standards {
		enter(l.Standards.byName, ingredients.NameKey(s.Substance), i)
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

// memory remembers answers that depend on a set of tables alone: tables are
// never changed, and products share most of their substances.
type memory struct {
	Limits sync.Map // limitsKey → []Match
	Listed sync.Map // listedKey → bool
	Claims sync.Map // word of a text → []*ClaimRule
}

type LimitsKey struct{ INCI, CAS, EC string }

type ListedKey struct {
	Annex, INCI, CAS string
	Market           rows.Market
	Day              exact.Date
}
