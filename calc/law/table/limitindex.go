package table

import (
	"slices"

	"gallipot/calc/law/annex"
	"gallipot/ingredients"
)

// limitIndex finds the rules of [Tables.EveryLimit] by name and number.
type limitIndex struct {
	byName, byCAS, byEC chains
	byLinked            chains               // names tied to class entries of Annex II
	place               map[*annex.Limit]int // in the order of the tables
	under               *limitIndex          // that of the law below a maker's own rows; nil: none
	entries             *entries             // whose rules stand behind all others
	ready               entryWords           // by which they are found; "": they are entered as the others are
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
	return x.found(key, func(x *limitIndex) *chains { return &x.byName }, entryNamed)
}

// Linked returns the rules of class entries that an official list ties a name to.
func (x *limitIndex) Linked(key string) []*annex.Limit {
	return x.found(key, func(x *limitIndex) *chains { return &x.byLinked }, entryLinked)
}

// CAS returns the rules of a CAS number.
func (x *limitIndex) CAS(number string) []*annex.Limit {
	return x.found(number, func(x *limitIndex) *chains { return &x.byCAS }, entryCAS)
}

// EC returns the rules of an EC number.
func (x *limitIndex) EC(number string) []*annex.Limit {
	return x.found(number, func(x *limitIndex) *chains { return &x.byEC }, entryEC)
}

func (x *limitIndex) found(key string, in func(*limitIndex) *chains, which entryHas) []*annex.Limit {
	here := in(x).of(key)
	switch {
	case x.under != nil:
		return append(x.under.found(key, in, which), here...)
	case x.ready == "":
		return here
	}
	for i := range x.ready.of(which.word(key)) {
		if !which.has(x.entries.row(i), key) { // another of the same word
			continue
		}
		for _, l := range x.entries.leadsTo(i) {
			if !slices.Contains(here, l) {
				here = append(here, l)
			}
		}
	}
	return here
}

// Place returns where a rule stands in the order of the tables; false where it stands in
// none of them.
func (x *limitIndex) Place(l *annex.Limit) (at int, known bool) {
	if at, known = x.place[l]; known {
		return at, true
	}
	if x.under != nil {
		return x.under.Place(l)
	}
	const last = 1 << 30 // behind all of limits.csv and of a maker's own
	if at = x.entries.place(l); at < 0 {
		return 0, false
	}
	return last + at, true
}

// indexLimits leads the names and numbers of the annexes to their rules.
func (t *Tables) indexLimits() *limitIndex {
	names := 0
	for _, l := range t.Limits {
		names += len(l.Names)
	}
	x := newLimitIndex(names, len(t.Limits))
	x.entries = t.entries
	for i, l := range t.Limits {
		x.place[l] = i
		x.enter(l)
	}
	if t.ready != nil {
		x.ready = t.ready.entries
		return x
	}
	for i, p := range t.entries.all() {
		for _, l := range t.entries.leadsTo(i) {
			x.enterEntry(p, l)
		}
	}
	return x
}

func (x *limitIndex) enter(l *annex.Limit) {
	x.byName.enterNames(l.Names, l)
	x.byCAS.enterAll(l.CAS, l)
	x.byEC.enterAll(l.EC, l)
}

// enterEntry leads the names and numbers of an entry of Annex II to a rule. A name that
// an official list ties to a class entry leads to it too, see [ByLinkedName].
func (x *limitIndex) enterEntry(p *annex.Prohibition, l *annex.Limit) {
	x.byName.enterNames(p.Names, l)
	x.byName.enterNames(p.ChemicalNames, l)
	x.byLinked.enterNames(p.Linked, l)
	x.byCAS.enterAll(p.CAS, l)
	x.byEC.enterAll(p.EC, l)
	x.byEC.enterAll(p.MisprintedEC, l)
}

// entryHas is a way in which an entry of Annex II is found.
type entryHas struct {
	word func(key string) string // under which what is ready has it
	has  func(p *annex.Prohibition, key string) bool
}

var (
	entryNamed = entryHas{bareName, func(p *annex.Prohibition, key string) bool {
		return anyHasKey(p.Names, key) || anyHasKey(p.ChemicalNames, key)
	}}
	entryLinked = entryHas{bareName, func(p *annex.Prohibition, key string) bool { return anyHasKey(p.Linked, key) }}
	entryCAS    = entryHas{itself, func(p *annex.Prohibition, key string) bool { return slices.Contains(p.CAS, key) }}
	entryEC     = entryHas{itself, func(p *annex.Prohibition, key string) bool {
		return slices.Contains(p.EC, key) || slices.Contains(p.MisprintedEC, key)
	}}
)

func itself(key string) string { return key }

// anyHasKey says whether one of the names has a key.
func anyHasKey(names []string, key string) bool {
	return slices.ContainsFunc(names, func(n string) bool { return ingredients.HasKey(n, key) })
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
