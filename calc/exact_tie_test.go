package calc

import (
	"maps"
	"math/big"
	"slices"
)

// tie moves one amount of the case so that a figure falls exactly onto what it
// is compared with, or a billionth of it above or below, and says which; "" where
// nothing can be moved. All figures are straight lines in the amount of a line
// while water gives way.
func (g *exactGenerator) tie() string {
	c := g.c
	switch g.IntN(4) {
	case 0:
		return ""
	case 1:
		return g.tieMargin()
	}
	x := newExactRun(c, g.book)
	name, read, bound := g.measure(x)
	if read == nil {
		return ""
	}
	bound = times(bound, pick(g, []rat{q(1, 1), q(1, 1), q(1_000_000_001, 1_000_000_000), q(999_999_999, 1_000_000_000)}))
	for _, i := range g.Perm(len(c.lines)) {
		line := &c.lines[i]
		if i == 0 || c.soap != nil {
			continue
		}
		was, water := line.amount, c.lines[0].amount
		move := func(by rat) bool {
			line.amount = plus(was, by)
			if !c.lines[0].rest {
				c.lines[0].amount = minus(water, by)
			}
			others := new(big.Rat)
			for _, l := range c.lines[1:] {
				others = plus(others, l.amount)
			}
			return line.amount.Sign() > 0 && (c.lines[0].rest && others.Cmp(q(100, 1)) < 0 || !c.lines[0].rest && c.lines[0].amount.Sign() > 0)
		}
		here, small := read(newExactRun(c, g.book)), over(was, q(1000, 1))
		if move(small) && here != nil {
			if there := read(newExactRun(c, g.book)); there != nil && there.Cmp(here) != 0 {
				if move(over(times(minus(bound, here), small), minus(there, here))) {
					if now := read(newExactRun(c, g.book)); now != nil && now.Cmp(bound) == 0 {
						return name
					}
				}
			}
		}
		line.amount, c.lines[0].amount = was, water
	}
	return ""
}

// measure chooses a figure of the case and what it is compared with.
func (g *exactGenerator) measure(x *exactRun) (name string, read func(*exactRun) rat, bound rat) {
	allergens := x.allergens()
	uses, _ := x.scents()
	switch kind := g.IntN(4); {
	case kind == 0 && len(allergens) > 0:
		a := pick(g, allergens)
		low := g.chance(3)
		return "allergen " + a.label, func(x *exactRun) rat {
			for _, b := range x.allergens() {
				if b.label == a.label && low {
					return b.worst.lo
				} else if b.label == a.label {
					return b.worst.hi
				}
			}
			return nil
		}, a.threshold
	case kind == 1 && len(uses) > 0:
		u := pick(g, uses)
		if u.ratio != nil {
			return "certificate of " + u.material, func(x *exactRun) rat {
				uses, _ := x.scents()
				for _, v := range uses {
					if v.material == u.material {
						return v.ratio
					}
				}
				return nil
			}, q(1, 1)
		}
	case kind == 2:
		entries := x.list(allergens)
		if i := g.IntN(len(entries)); i > 0 {
			e, before, order := entries[i], entries[i-1], g.chance(2)
			find := func(x *exactRun, name string) rat {
				for _, o := range x.list(x.allergens()) {
					if o.name == name {
						return o.pct.ty
					}
				}
				return nil
			}
			if order && before.pct.ty.Sign() > 0 && e.pct.ty.Sign() > 0 {
				return "order of " + e.name, func(x *exactRun) rat {
					a, b := find(x, before.name), find(x, e.name)
					if a == nil || b == nil {
						return nil
					}
					return plus(q(1, 1), minus(b, a))
				}, q(1, 1)
			}
			return "1 % of " + e.name, func(x *exactRun) rat { return find(x, e.name) }, g.book.fact("order-threshold")
		}
	}
	for key, l := range x.sortedLimits() {
		for _, r := range x.book.limits {
			plain := r["key"] == key || len(key) > len(r["key"]) && key[:len(r["key"])+1] == r["key"]+"|"
			if plain && r["max_pct"] != "" && r["max_pct"] != "0" && l.counted.Sign() > 0 && g.chance(2) {
				return "limit " + key, func(x *exactRun) rat { return x.limits()[key].counted }, dec(r["max_pct"])
			}
		}
	}
	return "", nil, nil
}

// sortedLimits returns the limits that count something, in the order of their keys.
func (x *exactRun) sortedLimits() func(yield func(string, exactLimit) bool) {
	limits := x.limits()
	return func(yield func(string, exactLimit) bool) {
		for _, key := range sortedKeys(limits) {
			if l := limits[key]; l.counted != nil && !yield(key, l) {
				return
			}
		}
	}
}

// tieMargin sets a point of departure so that a margin is exactly its target, or
// the dose exactly the threshold of concern.
func (g *exactGenerator) tieMargin() string {
	x := newExactRun(g.c, g.book)
	margins := x.margins(x.exposure())
	for _, m := range g.c.materials {
		for i := range m.tox {
			v := &m.tox[i]
			w := margins[x.name(v.name)]
			if w == nil || w.mos == nil || v.value == nil {
				continue
			}
			was := v.value
			v.value = over(times(v.value, w.goal), w.mos)
			if g.chance(4) {
				v.value = times(v.value, pick(g, []rat{q(1_000_000_001, 1_000_000_000), q(999_999_999, 1_000_000_000)}))
			}
			if n, exact := v.value.FloatPrec(); !exact || n > 12 { // no paper has more digits
				v.value = dec(v.value.FloatString(9))
			}
			again := x.margins(x.exposure())[x.name(v.name)]
			if v.value.Sign() > 0 && again.mos != nil && over(minus(again.mos, again.goal), again.goal).Cmp(q(1, 1_000_000)) < 0 {
				return "margin of " + v.name
			}
			v.value = was
		}
	}
	return ""
}

func sortedKeys(m map[string]exactLimit) []string { return slices.Sorted(maps.Keys(m)) }
