package plaintest

import (
	"maps"
	"math/big"
	"slices"
)

// Tie moves one amount of the case so that a figure falls exactly onto what it
// is compared with, or a billionth of it above or below, and says which; "" where
// Nothing can be moved. All figures are straight lines in the amount of a line
// while water gives way.
func (g *Generator) Tie() string {
	c := g.c
	switch g.IntN(4) {
	case 0:
		return ""
	case 1:
		return g.tieMargin()
	}
	x := NewRun(c, g.Book)
	name, read, bound := g.measure(x)
	if read == nil {
		return ""
	}
	bound = Times(bound,
		pick(g, []Rat{Q(1, 1), Q(1, 1), Q(1_000_000_001, 1_000_000_000), Q(999_999_999, 1_000_000_000)}))
	for _, i := range g.Perm(len(c.Lines)) {
		line := &c.Lines[i]
		if i == 0 || c.Soap != nil {
			continue
		}
		was, water := line.Amount, c.Lines[0].Amount
		move := func(by Rat) bool {
			line.Amount = Plus(was, by)
			if !c.Lines[0].Rest {
				c.Lines[0].Amount = Minus(water, by)
			}
			others := new(big.Rat)
			for _, l := range c.Lines[1:] {
				others = Plus(others, l.Amount)
			}
			return line.Amount.Sign() > 0 && (c.Lines[0].Rest && others.Cmp(Q(100, 1)) < 0 || !c.Lines[0].Rest &&
				c.Lines[0].Amount.Sign() > 0)
		}
		here, small := read(NewRun(c, g.Book)), Over(was, Q(1000, 1))
		if move(small) && here != nil {
			if there := read(NewRun(c, g.Book)); there != nil && there.Cmp(here) != 0 {
				if move(Over(Times(Minus(bound, here), small), Minus(there, here))) {
					if now := read(NewRun(c, g.Book)); now != nil && now.Cmp(bound) == 0 {
						return name
					}
				}
			}
		}
		line.Amount, c.Lines[0].Amount = was, water
	}
	return ""
}

// measure chooses a figure of the case and what it is compared with.
func (g *Generator) measure(x *Run) (name string, read func(*Run) Rat, bound Rat) {
	allergens := x.Allergens()
	uses, _ := x.Scents()
	switch kind := g.IntN(4); {
	case kind == 0 && len(allergens) > 0:
		a := pick(g, allergens)
		low := g.chance(3)
		return "allergen " + a.Label, func(x *Run) Rat {
			for _, b := range x.Allergens() {
				if b.Label == a.Label && low {
					return b.Worst.Lo
				} else if b.Label == a.Label {
					return b.Worst.Hi
				}
			}
			return nil
		}, a.Threshold
	case kind == 1 && len(uses) > 0:
		u := pick(g, uses)
		if u.Ratio != nil {
			return "certificate of " + u.Material, func(x *Run) Rat {
				uses, _ := x.Scents()
				for _, v := range uses {
					if v.Material == u.Material {
						return v.Ratio
					}
				}
				return nil
			}, Q(1, 1)
		}
	case kind == 2:
		entries := x.List(allergens)
		if i := g.IntN(len(entries)); i > 0 {
			e, before, order := entries[i], entries[i-1], g.chance(2)
			find := func(x *Run, name string) Rat {
				for _, o := range x.List(x.Allergens()) {
					if o.Name == name {
						return o.pct.Ty
					}
				}
				return nil
			}
			if order && before.pct.Ty.Sign() > 0 && e.pct.Ty.Sign() > 0 {
				return "order of " + e.Name, func(x *Run) Rat {
					a, b := find(x, before.Name), find(x, e.Name)
					if a == nil || b == nil {
						return nil
					}
					return Plus(Q(1, 1), Minus(b, a))
				}, Q(1, 1)
			}
			return "1 % of " + e.Name, func(x *Run) Rat { return find(x, e.Name) }, g.Book.fact("order-threshold")
		}
	}
	for key, l := range x.sortedLimits() {
		for _, r := range x.book.limits {
			plain := r["key"] == key || len(key) > len(r["key"]) && key[:len(r["key"])+1] == r["key"]+"|"
			if plain && r["max_pct"] != "" && r["max_pct"] != "0" && l.Counted.Sign() > 0 && g.chance(2) {
				return "limit " + key, func(x *Run) Rat { return x.Limits()[key].Counted }, Dec(r["max_pct"])
			}
		}
	}
	return "", nil, nil
}

// sortedLimits returns the limits that count something, in the order of their keys.
func (x *Run) sortedLimits() func(yield func(string, Limit) bool) {
	limits := x.Limits()
	return func(yield func(string, Limit) bool) {
		for _, key := range sortedKeys(limits) {
			if l := limits[key]; l.Counted != nil && !yield(key, l) {
				return
			}
		}
	}
}

// tieMargin sets a point of departure so that a margin is exactly its target, or
// the dose exactly the threshold of concern.
func (g *Generator) tieMargin() string {
	x := NewRun(g.c, g.Book)
	margins := x.Margins(x.Exposure())
	for _, m := range g.c.Materials {
		for i := range m.Tox {
			v := &m.Tox[i]
			w := margins[x.name(v.Name)]
			if w == nil || w.Mos == nil || v.Value == nil {
				continue
			}
			was := v.Value
			v.Value = Over(Times(v.Value, w.Goal), w.Mos)
			if g.chance(4) {
				v.Value = Times(v.Value, pick(g, []Rat{Q(1_000_000_001, 1_000_000_000), Q(999_999_999, 1_000_000_000)}))
			}
			if n, exact := v.Value.FloatPrec(); !exact || n > 12 { // no paper has more digits
				v.Value = Dec(v.Value.FloatString(9))
			}
			again := x.Margins(x.Exposure())[x.name(v.Name)]
			if v.Value.Sign() > 0 && again.Mos != nil && Over(Minus(again.Mos, again.Goal), again.Goal).
				Cmp(Q(1, 1_000_000)) < 0 {
				return "margin of " + v.Name
			}
			v.Value = was
		}
	}
	return ""
}

func sortedKeys(m map[string]Limit) []string { return slices.Sorted(maps.Keys(m)) }
