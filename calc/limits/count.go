package limits

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law/annex"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

type factorKey struct {
	row  *annex.Limit
	name string
}

// factor is factorOf, found once for each row and name.
func (m *matcher) factor(row *annex.Limit, name string) (f exact.Num, remark string, whole bool) {
	known := m.factors.Of(factorKey{row, name}, func() (t Term) {
		t.Factor, t.remark, t.whole = m.factorOf(row, name)
		return t
	})
	return known.Factor, known.remark, known.whole
}

// factorOf returns the mass factor from a substance to the basis of a row, and a
// remark where it is not the table's. Where the row names none, another row with
// the same basis may; where none does, the substance is counted whole and whole
// is true.
func (m *matcher) factorOf(row *annex.Limit, name string) (f exact.Num, remark string, whole bool) {
	one := exact.Int(1)
	if row.Basis.Whole {
		return one, name + " is counted whole, the cautious reading of the row", false
	}
	if f, stated := row.Basis.Of(name); stated {
		return f, "", false
	}
	if f, ok := m.basis[basisKey(row.Basis, name)]; ok {
		return f, "", false
	}
	if row.Basis.Kind != annex.BasisSubstance || len(row.Basis.As) == 0 || row.Basis.Is(name) {
		return one, "", false
	}
	return one, "the table has no factor for " + name + ": it is counted whole", true
}

// in returns what the term counts in one mixture, % in the basis of the row.
func (t Term) in(mix int) exact.Range {
	s := t.U.PerComp[mix]
	if s == nil {
		return exact.Range{}
	}
	if t.Only == nil {
		return s.Total.Scale(t.Factor)
	}
	var sum exact.Range
	for _, part := range PartsOf(s) {
		if t.Only[part.Ingredient] {
			sum = sum.Add(part.Pct)
		}
	}
	return sum.Scale(t.Factor)
}

// total adds the terms in one mixture; sureOnly leaves out those in doubt and
// those that may count for less.
func total(terms []Term, mix int, sureOnly bool) exact.Range {
	var sum exact.Range
	for _, t := range terms {
		if t.Sure && !t.whole || !sureOnly {
			sum = sum.Add(t.in(mix))
		}
	}
	return sum
}

// Worst returns the mixture with the highest total, the whole product first.
func (run *Run) Worst(terms []Term, sureOnly bool) (int, exact.Range) {
	at, most := 0, total(terms, 0, sureOnly)
	for i := 1; i < len(run.Comps); i++ {
		if sum := total(terms, i, sureOnly); most.Max.Less(sum.Max) {
			at, most = i, sum
		}
	}
	return at, most
}

// partContent is what one raw material brings of a substance.
type partContent struct {
	Ingredient string
	Pct        exact.Range // % of the mixture
	pos        exact.Pos
}

// PartsOf splits the content of a substance by raw material. The parts add up to
// its Total: a declaration counts with what it has beyond the composition.
func PartsOf(s *formula.Substance) []partContent {
	var parts []partContent
	var listed exact.Range // by composition, in the line at hand
	for i, k := range s.Contributions {
		if i == 0 || k.LinePos != s.Contributions[i-1].LinePos || k.Ingredient != s.Contributions[i-1].Ingredient ||
			k.Route == formula.ByComposition && s.Contributions[i-1].Route != formula.ByComposition {
			listed = exact.Range{}
		}
		pct := k.Pct
		switch k.Route {
		case formula.ByComposition:
			listed = listed.Add(pct)
		case formula.ByDeclaration:
			pct = formula.Exceeding(pct, listed)
		}
		at := slices.IndexFunc(parts, func(p partContent) bool { return p.Ingredient == k.Ingredient })
		if at < 0 {
			at = len(parts)
			parts = append(parts, partContent{Ingredient: k.Ingredient, pos: k.LinePos})
		}
		parts[at].Pct = parts[at].Pct.Add(pct)
	}
	return parts
}

// fill writes content, arithmetic and what would pass into a check.
func (run *Run) fill(c *LimitCheck, terms []Term, mix int, counted exact.Range, limit *exact.Num) {
	c.Content, c.WorstIn, c.LimitPct = counted, run.Comps[mix].Mixture.Name, limit
	c.run, c.mix, c.Contributions, c.Shape.Terms = run, mix, nil, terms
	var plain exact.Range
	n := 0
	for _, t := range terms {
		if s := t.U.PerComp[mix]; s != nil {
			plain = plain.Add(s.Total)
			n += len(s.Contributions)
		}
	}
	for _, t := range terms {
		switch s := t.U.PerComp[mix]; {
		case s == nil:
		case len(s.Contributions) == n: // those of one substance are all
			c.Contributions = slices.Clip(s.Contributions)
		default:
			c.Contributions = append(slices.Grow(c.Contributions, n-len(c.Contributions)), s.Contributions...)
		}
	}
	c.Shape.plain = plain
	if limit == nil || limit.IsZero() || counted.Max.IsZero() {
		return
	}
	c.HighestPct = run.num(plain.Max.Mul(*limit).Quo(counted.Max))
}

// room computes for each raw material the most of it that keeps the limit while
// the others stay as they are.
//
//	at most = use × (limit − counted of the others) ÷ counted of it
func (run *Run) room(terms []Term, mix int, counted, limit exact.Num) []limitRoom {
	var rooms []limitRoom
	var own []exact.Num // counted of each
	for _, t := range terms {
		s := t.U.PerComp[mix]
		if s == nil {
			continue
		}
		for _, p := range PartsOf(s) {
			if t.Only != nil && !t.Only[p.Ingredient] {
				continue
			}
			at := slices.IndexFunc(rooms, func(r limitRoom) bool { return r.Ingredient == p.Ingredient })
			if at < 0 {
				at = len(rooms)
				rooms = append(rooms, limitRoom{Ingredient: p.Ingredient, Pos: p.pos})
				own = append(own, exact.Num{})
			}
			own[at] = own[at].Add(p.Pct.Max.Mul(t.Factor))
		}
	}
	for _, u := range run.Comps[mix].Uses() {
		for i := range rooms {
			if rooms[i].Ingredient == u.Ingredient {
				rooms[i].UsePct = u.Pct
			}
		}
	}
	var out []limitRoom
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

// basisTerm is one line of the arithmetic behind a counted content.
func basisTerm(row *annex.Limit, t Term, s *formula.Substance) finding.Term {
	name := s.INCI
	if s.Nano {
		name += " (nano)"
	}
	v := formula.With().Num("content", s.Total.Max, "%", finding.FourDigits).Name("substance", name).
		Quote("basis", row.Basis.Text)
	if !t.Factor.Equal(exact.Int(1)) {
		v = v.Num("factor", t.Factor, "", finding.AsIs).Num("result", s.Total.Max.Mul(t.Factor), "%",
			finding.FourDigits)
	}
	switch {
	case t.remark == "":
	case t.whole:
		v = v.Term("remark", "no-factor", formula.With().Name("substance", name))
	default:
		v = v.Term("remark", "counted-whole", formula.With().Name("substance", name))
	}
	return finding.Term{Key: "counted-as", Values: v}
}

// FactorOf converts the content of a substance to the basis of a row; whole says that
// there is no factor and it counts as it is.
func (run *Run) FactorOf(row *annex.Limit, inci string) (f exact.Num, whole bool) {
	f, _, whole = run.Matcher.factor(row, inci)
	return f, whole
}
