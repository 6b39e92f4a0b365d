package calc

import (
	"slices"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// factor returns the mass factor from a substance to the basis of a row, and a
// remark where it is not the table's. Where the row names none, another row with
// the same basis may; where none does, the substance is counted whole and whole
// is true.
func (m *matcher) factor(row *law.Limit, name string) (f ingredients.Num, remark string, whole bool) {
	one := ingredients.Int(1)
	if row.Basis.Whole {
		return one, name + " is counted whole, the cautious reading of the row", false
	}
	if f, stated := row.Basis.Of(name); stated {
		return f, "", false
	}
	if f, ok := m.basis[basisKey(row.Basis, name)]; ok {
		return f, "", false
	}
	if row.Basis.Kind != law.BasisSubstance || len(row.Basis.As) == 0 || row.Basis.Is(name) {
		return one, "", false
	}
	return one, "the table has no factor for " + name + ": it is counted whole", true
}

// term is one substance that counts for a row.
type term struct {
	u      *limitUse
	factor ingredients.Num
	remark string
	sure   bool // its condition holds; false: it may hold
	whole  bool // the table has no factor: it is counted whole, and may count for less
	own    bool // the row itself names it; false: it is added by the sum rule
	// only limits what counts to some materials; nil counts all.
	only map[string]bool
}

// in returns what the term counts in one mixture, % in the basis of the row.
func (t term) in(mix int) ingredients.Range {
	s := t.u.perComp[mix]
	if s == nil {
		return ingredients.Range{}
	}
	if t.only == nil {
		return s.Total.Scale(t.factor)
	}
	var sum ingredients.Range
	for _, part := range partsOf(s) {
		if t.only[part.ingredient] {
			sum = sum.Add(part.pct)
		}
	}
	return sum.Scale(t.factor)
}

// total adds the terms in one mixture; sureOnly leaves out those in doubt and
// those that may count for less.
func total(terms []term, mix int, sureOnly bool) ingredients.Range {
	var sum ingredients.Range
	for _, t := range terms {
		if t.sure && !t.whole || !sureOnly {
			sum = sum.Add(t.in(mix))
		}
	}
	return sum
}

// worst returns the mixture with the highest total, the whole product first.
func (run *limitRun) worst(terms []term, sureOnly bool) (int, ingredients.Range) {
	at, most := 0, total(terms, 0, sureOnly)
	for i := 1; i < len(run.comps); i++ {
		if sum := total(terms, i, sureOnly); most.Max.Less(sum.Max) {
			at, most = i, sum
		}
	}
	return at, most
}

// partContent is what one raw material brings of a substance.
type partContent struct {
	ingredient string
	pct        ingredients.Range // % of the mixture
	pos        ingredients.Pos
}

// partsOf splits the content of a substance by raw material. The parts add up to
// its Total: a declaration counts with what it has beyond the composition.
func partsOf(s *Substance) []partContent {
	var parts []partContent
	var listed ingredients.Range // by composition, in the line at hand
	for i, k := range s.Contributions {
		if i == 0 || k.LinePos != s.Contributions[i-1].LinePos || k.Ingredient != s.Contributions[i-1].Ingredient ||
			k.Route == ByComposition && s.Contributions[i-1].Route != ByComposition {
			listed = ingredients.Range{}
		}
		pct := k.Pct
		switch k.Route {
		case ByComposition:
			listed = listed.Add(pct)
		case ByDeclaration:
			pct = exceeding(pct, listed)
		}
		at := slices.IndexFunc(parts, func(p partContent) bool { return p.ingredient == k.Ingredient })
		if at < 0 {
			at = len(parts)
			parts = append(parts, partContent{ingredient: k.Ingredient, pos: k.LinePos})
		}
		parts[at].pct = parts[at].pct.Add(pct)
	}
	return parts
}

// fill writes content, arithmetic and what would pass into a check.
func (run *limitRun) fill(c *LimitCheck, terms []term, mix int, counted ingredients.Range, limit *ingredients.Num) {
	c.Content, c.WorstIn, c.LimitPct = counted, run.comps[mix].Mixture.Name, limit
	c.Contributions, c.Basis, c.shape.terms = nil, nil, terms
	var plain ingredients.Range
	for _, t := range terms {
		s := t.u.perComp[mix]
		if s == nil {
			continue
		}
		plain = plain.Add(s.Total)
		c.Contributions = append(c.Contributions, s.Contributions...)
		if c.Row.Basis.Text != "" || len(terms) > 1 {
			c.Basis = append(c.Basis, ingredients.Term{Text: basisText(c.Row, t, s)})
		}
	}
	c.shape.plain = plain
	if limit == nil || limit.IsZero() || counted.Max.IsZero() {
		return
	}
	highest := plain.Max.Mul(*limit).Quo(counted.Max)
	c.HighestPct = &highest
	c.Room = run.room(terms, mix, counted.Max, *limit)
}

// basisText writes one line of the arithmetic behind a counted content.
func basisText(row *law.Limit, t term, s *Substance) string {
	name := s.INCI
	if s.Nano {
		name += " (nano)"
	}
	text := s.Total.Max.Sig(4) + " % " + name
	if !t.factor.Equal(ingredients.Int(1)) {
		text += " × " + t.factor.Exact() + " = " + s.Total.Max.Mul(t.factor).Sig(4) + " %"
	}
	if row.Basis.Text != "" {
		text += " " + row.Basis.Text
	}
	if t.remark != "" {
		text += " (" + t.remark + ")"
	}
	return text
}

// room computes for each raw material the most of it that keeps the limit while
// the others stay as they are.
//
//	at most = use × (limit − counted of the others) ÷ counted of it
func (run *limitRun) room(terms []term, mix int, counted, limit ingredients.Num) []LimitRoom {
	var rooms []LimitRoom
	var own []ingredients.Num // counted of each
	for _, t := range terms {
		s := t.u.perComp[mix]
		if s == nil {
			continue
		}
		for _, p := range partsOf(s) {
			if t.only != nil && !t.only[p.ingredient] {
				continue
			}
			at := slices.IndexFunc(rooms, func(r LimitRoom) bool { return r.Ingredient == p.ingredient })
			if at < 0 {
				at = len(rooms)
				rooms = append(rooms, LimitRoom{Ingredient: p.ingredient, Pos: p.pos})
				own = append(own, ingredients.Num{})
			}
			own[at] = own[at].Add(p.pct.Max.Mul(t.factor))
		}
	}
	for _, u := range useOf(run.comps[mix].Mixture) {
		for i := range rooms {
			if rooms[i].Ingredient == u.ingredient {
				rooms[i].UsePct = u.pct
			}
		}
	}
	var out []LimitRoom
	for i, r := range rooms {
		if own[i].IsZero() {
			continue
		}
		if left := limit.Sub(counted.Sub(own[i])); left.Sign() > 0 {
			most := r.UsePct.Mul(left).Quo(own[i])
			r.AtMostPct = &most
		}
		out = append(out, r)
	}
	return out
}
