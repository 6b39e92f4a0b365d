package plaintest

import (
	"math/big"
	"slices"
	"strconv"
)

// Mixtures resolves the formula, step by step as the file format words it.
func (c *Case) Mixtures() []mixture {
	if len(c.Portions) == 0 {
		return []mixture{{"", Q(100, 1), c.resolve(nil)}}
	}
	whole := mixture{share: Q(100, 1)}
	var parts []mixture
	for i := range c.Portions {
		p := &c.Portions[i]
		m := mixture{"portion " + strconv.Itoa(i+1), p.Share, c.resolve(p)}
		parts = append(parts, m)
		for _, s := range m.Shares {
			s.Pct = Percent(s.Pct, p.Share)
			same := slices.IndexFunc(whole.Shares, func(o lineShare) bool {
				return o.Material == s.Material &&
					o.line == s.line && o.added == s.added
			})
			if same < 0 {
				whole.Shares = append(whole.Shares, s)
				continue
			}
			whole.Shares[same].Pct = Plus(whole.Shares[same].Pct, s.Pct)
		}
	}
	return append([]mixture{whole}, parts...)
}

func (c *Case) resolve(p *onePortion) []lineShare {
	var out []lineShare
	rest, typed, empty := -1, new(big.Rat), new(big.Rat)
	for li, l := range c.Lines {
		fills := []Fill{{l.Material, Q(100, 1)}}
		if l.Slot != "" {
			fills = c.Fill[l.Slot]
			if p != nil && p.Fill[l.Slot] != nil {
				fills = p.Fill[l.Slot]
			}
		}
		if l.Rest {
			rest = len(out)
		}
		if len(fills) == 0 {
			empty.Add(empty, l.Amount)
			continue
		}
		for _, f := range fills {
			amount := new(big.Rat)
			if !l.Rest {
				amount = Percent(l.Amount, f.Share)
			}
			out = append(out, lineShare{f.Material, amount, false, li})
			typed.Add(typed, amount)
		}
	}
	switch {
	case c.Grams: // masses over their sum
		for i := range out {
			out[i].Pct = Over(Times(out[i].Pct, Q(100, 1)), typed)
		}
	case rest >= 0: // whatever is missing to 100, an empty slot's part too
		out[rest].Pct = Minus(Q(100, 1), typed)
	case empty.Sign() > 0: // nobody takes the place of what is left out
		for i := range out {
			out[i].Pct = Over(Times(out[i].Pct, Q(100, 1)), typed)
		}
	}
	if len(c.Then) == 0 {
		return out
	}
	total := Q(100, 1)
	for _, a := range c.Then {
		total.Add(total, a.Share)
	}
	for i := range out {
		out[i].Pct = Over(Times(out[i].Pct, Q(100, 1)), total)
	}
	for i, a := range c.Then {
		out = append(out, lineShare{a.Material, Over(Times(a.Share, Q(100, 1)), total), true, i})
	}
	return out
}

// tightened are the parts of a material with bounds that their sum of 100 leaves
// possible, the undeclared part at the end.
func (m *Material) tightened() []Part {
	parts := slices.Clone(m.Parts)
	switch {
	case len(parts) == 0:
		return []Part{{Name: m.Scent, pct: only(Q(100, 1))}}
	case !m.Complete && m.Scent != "":
		parts = append(parts, Part{Name: m.Scent, rest: true})
	case !m.Complete:
		parts = append(parts, Part{Name: "undeclared part of " + m.Id, rest: true, unknown: true})
	}
	return tightParts(parts)
}

// tightParts is the rule of the composition that adds up to 100:
// max(i) ≤ 100 − Σ min(others), min(i) ≥ 100 − Σ max(others); typical values go
// towards their bounds in proportion to the room there.
func tightParts(parts []Part) []Part {
	hundred := Q(100, 1)
	for i, p := range parts {
		if p.rest {
			left := hundred
			for j, o := range parts {
				if j != i {
					left = Minus(left, o.pct.Ty)
				}
			}
			parts[i].pct = Span{new(big.Rat), most(left, new(big.Rat)), hundred}
		}
	}
	out := slices.Clone(parts)
	sum := new(big.Rat)
	for i, p := range parts {
		low, high := new(big.Rat), new(big.Rat)
		for j, o := range parts {
			if j != i {
				low, high = Plus(low, o.pct.Lo), Plus(high, o.pct.Hi)
			}
		}
		lo, hi := most(p.pct.Lo, Minus(hundred, high)), least(p.pct.Hi, Minus(hundred, low))
		out[i].pct = Span{lo, least(most(p.pct.Ty, lo), hi), hi}
		sum = Plus(sum, out[i].pct.Ty)
	}
	missing := Minus(hundred, sum)
	if missing.Sign() != 0 {
		room := func(s Span) Rat {
			if missing.Sign() > 0 {
				return Minus(s.Hi, s.Ty)
			}
			return Minus(s.Ty, s.Lo)
		}
		all := new(big.Rat)
		for _, p := range out {
			all = Plus(all, room(p.pct))
		}
		for i, p := range out {
			out[i].pct.Ty = Plus(p.pct.Ty, Over(Times(missing, room(p.pct)), all))
		}
	}
	if last := len(out) - 1; parts[last].rest && parts[last].Text == "" && out[last].pct.Hi.Sign() == 0 {
		out = out[:last] // Nothing is undeclared after all
	}
	return out
}
