package table

import (
	"slices"

	"gallipot/calc/law/annex"
	"gallipot/ingredients"
)

// limitIndex finds the rules of [Tables.EveryLimit] by name and number.
type limitIndex struct {
	byName, byCAS, byEC map[string][]*annex.Limit
	byLinked            map[string][]*annex.Limit // names tied to class entries of Annex II
	place               map[*annex.Limit]int      // in the order of the tables
	under               *limitIndex               // that of the law below a maker's own rows; nil: none
}

func newLimitIndex(room int) *limitIndex {
	return &limitIndex{
		byName: make(map[string][]*annex.Limit, 4*room), byCAS: make(map[string][]*annex.Limit, 2*room),
		byEC: make(map[string][]*annex.Limit, 2*room), byLinked: map[string][]*annex.Limit{},
		place: make(map[*annex.Limit]int, 2*room),
	}
}

// Named returns the rules of a name's key.
func (x *limitIndex) Named(key string) []*annex.Limit {
	return x.found(key, func(x *limitIndex) map[string][]*annex.Limit { return x.byName })
}

// Linked returns the rules of class entries that an official list ties a name to.
func (x *limitIndex) Linked(key string) []*annex.Limit {
	return x.found(key, func(x *limitIndex) map[string][]*annex.Limit { return x.byLinked })
}

// CAS returns the rules of a CAS number.
func (x *limitIndex) CAS(number string) []*annex.Limit {
	return x.found(number, func(x *limitIndex) map[string][]*annex.Limit { return x.byCAS })
}

// EC returns the rules of an EC number.
func (x *limitIndex) EC(number string) []*annex.Limit {
	return x.found(number, func(x *limitIndex) map[string][]*annex.Limit { return x.byEC })
}

func (x *limitIndex) found(key string, in func(*limitIndex) map[string][]*annex.Limit) []*annex.Limit {
	here := in(x)[key]
	if x.under == nil {
		return here
	}
	return slices.Concat(x.under.found(key, in), here)
}

// Place returns where a rule stands in the order of the tables.
func (x *limitIndex) Place(l *annex.Limit) int {
	if at, ok := x.place[l]; ok || x.under == nil {
		return at
	}
	return x.under.Place(l)
}

// indexLimits leads the names and numbers of the annexes to their rules.
func (t *Tables) indexLimits() *limitIndex {
	x := newLimitIndex(len(t.prohibited))
	for i, l := range t.Limits {
		x.place[l] = i
		x.enter(l)
	}
	const last = 1 << 30 // behind all of limits.csv and of a maker's own
	for i, l := range t.annexII {
		x.place[l] = last + i
	}
	x.enterAnnexII(t)
	return x
}

func (x *limitIndex) enter(l *annex.Limit) {
	enterRow(x.byName, l.Names, true, l)
	enterRow(x.byCAS, l.CAS, false, l)
	enterRow(x.byEC, l.EC, false, l)
}

// enterAnnexII leads the names and numbers of Annex II to their rules. A name that
// an official list ties to a class entry leads to it too, see [ByLinkedName].
func (x *limitIndex) enterAnnexII(t *Tables) {
	byKey := make(map[string]*annex.Limit, len(t.Limits)+len(t.annexII))
	for _, l := range t.Limits {
		byKey[l.Key] = l
	}
	own := make(map[string]*annex.Limit, len(t.annexII))
	for _, l := range t.annexII {
		own[l.Key] = l
	}
	for _, p := range t.prohibited {
		to := make([]*annex.Limit, 0, 1+len(p.Limits))
		if l := own[p.Key]; l != nil {
			to = append(to, l)
		}
		for _, key := range p.Limits {
			if l := byKey[key]; l != nil {
				to = append(to, l)
			}
		}
		for _, l := range to {
			enterRow(x.byName, p.Names, true, l)
			enterRow(x.byName, p.ChemicalNames, true, l)
			enterRow(x.byLinked, p.Linked, true, l)
			enterRow(x.byCAS, p.CAS, false, l)
			enterRow(x.byEC, p.EC, false, l)
			enterRow(x.byEC, p.MisprintedEC, false, l)
		}
	}
}

// enterRow enters a row under each of the names or numbers, once.
func enterRow(into map[string][]*annex.Limit, words []string, names bool, l *annex.Limit) {
	for _, w := range words {
		if names {
			w = ingredients.NameKey(w)
		}
		if list := into[w]; !slices.Contains(list, l) {
			into[w] = append(list, l)
		}
	}
}

// with returns the index with a maker's own rows of t, the first of them at a place:
// each under its names and under those that they stand for.
func (x *limitIndex) with(t *Tables, own []*annex.Limit, at int) *limitIndex {
	y := newLimitIndex(len(own))
	y.under = x
	for i, l := range own {
		y.place[l] = at + i
		y.enter(l)
		for _, n := range l.Names {
			for _, named := range t.Dictionary().Resolve(n, "", "").Names {
				enterRow(y.byName, []string{named.Name}, true, l)
				enterRow(y.byName, named.Also, true, l)
			}
		}
	}
	return y
}
