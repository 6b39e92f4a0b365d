package table

import (
	"gallipot/calc/law/annex"
	"gallipot/ingredients"
)

// limitIndex finds the rules of [Tables.EveryLimit] by name and number.
type limitIndex struct {
	byName, byCAS, byEC chains
	byLinked            chains               // names tied to class entries of Annex II
	place               map[*annex.Limit]int // in the order of the tables
	under               *limitIndex          // that of the law below a maker's own rows; nil: none
}

// chains hold the rules of each key, in the order they were entered. All stand in one
// slice: most keys have one.
type chains struct {
	ends  map[string]ends
	links []link
}

// ends are the places of the first and the last link of a chain.
type ends struct{ first, last int32 }

type link struct {
	rule *annex.Limit
	next int32 // -1: none
}

func newChains(room int) chains {
	return chains{ends: make(map[string]ends, room), links: make([]link, 0, room+room/2)}
}

// of returns the rules of a key.
func (c *chains) of(key string) []*annex.Limit {
	e, ok := c.ends[key]
	if !ok {
		return nil
	}
	var out []*annex.Limit
	for at := e.first; at >= 0; at = c.links[at].next {
		out = append(out, c.links[at].rule)
	}
	return out
}

// enter enters a rule under a key, once.
func (c *chains) enter(key string, l *annex.Limit) {
	e, met := c.ends[key]
	for at := e.first; met && at >= 0; at = c.links[at].next {
		if c.links[at].rule == l {
			return
		}
	}
	at := int32(len(c.links))
	c.links = append(c.links, link{l, -1})
	if met {
		c.links[e.last].next = at
	} else {
		e.first = at
	}
	c.ends[key] = ends{e.first, at}
}

// enterAll enters a rule under each of the numbers.
func (c *chains) enterAll(numbers []string, l *annex.Limit) {
	for _, n := range numbers {
		c.enter(n, l)
	}
}

// enterNames enters a rule under the key of each of the names.
func (c *chains) enterNames(names []string, l *annex.Limit) {
	for _, n := range names {
		c.enter(ingredients.NameKey(n), l)
	}
}

func newLimitIndex(names, numbers int) *limitIndex {
	return &limitIndex{byName: newChains(names), byCAS: newChains(numbers), byEC: newChains(numbers),
		byLinked: newChains(0), place: make(map[*annex.Limit]int, numbers)}
}

// Named returns the rules of a name's key.
func (x *limitIndex) Named(key string) []*annex.Limit {
	return x.found(key, func(x *limitIndex) *chains { return &x.byName })
}

// Linked returns the rules of class entries that an official list ties a name to.
func (x *limitIndex) Linked(key string) []*annex.Limit {
	return x.found(key, func(x *limitIndex) *chains { return &x.byLinked })
}

// CAS returns the rules of a CAS number.
func (x *limitIndex) CAS(number string) []*annex.Limit {
	return x.found(number, func(x *limitIndex) *chains { return &x.byCAS })
}

// EC returns the rules of an EC number.
func (x *limitIndex) EC(number string) []*annex.Limit {
	return x.found(number, func(x *limitIndex) *chains { return &x.byEC })
}

func (x *limitIndex) found(key string, in func(*limitIndex) *chains) []*annex.Limit {
	here := in(x).of(key)
	if x.under == nil {
		return here
	}
	return append(x.under.found(key, in), here...)
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
	names := 0
	for _, l := range t.EveryLimit() {
		names += len(l.Names)
	}
	x := newLimitIndex(names, len(t.Limits)+len(t.annexII))
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
	x.byName.enterNames(l.Names, l)
	x.byCAS.enterAll(l.CAS, l)
	x.byEC.enterAll(l.EC, l)
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
	var to []*annex.Limit
	for _, p := range t.prohibited {
		to = to[:0]
		if l := own[p.Key]; l != nil {
			to = append(to, l)
		}
		for _, key := range p.Limits {
			if l := byKey[key]; l != nil {
				to = append(to, l)
			}
		}
		for _, l := range to {
			x.byName.enterNames(p.Names, l)
			x.byName.enterNames(p.ChemicalNames, l)
			x.byLinked.enterNames(p.Linked, l)
			x.byCAS.enterAll(p.CAS, l)
			x.byEC.enterAll(p.EC, l)
			x.byEC.enterAll(p.MisprintedEC, l)
		}
	}
}

// with returns the index with a maker's own rows of t, the first of them at a place:
// each under its names and under those that they stand for.
func (x *limitIndex) with(t *Tables, own []*annex.Limit, at int) *limitIndex {
	y := newLimitIndex(len(own), len(own))
	y.under = x
	for i, l := range own {
		y.place[l] = at + i
		y.enter(l)
		for _, n := range l.Names {
			for _, named := range t.Dictionary().Resolve(n, "", "").Names {
				y.byName.enterNames([]string{named.Name}, l)
				y.byName.enterNames(named.Also, l)
			}
		}
	}
	return y
}
