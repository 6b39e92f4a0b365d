package masses

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
)

// shareKey is a line of the formula with the material in it.
type shareKey struct {
	ingredient string
	pos        exact.Pos
}

// sharedBase is what all portions of a batch have in common, so that it is made
// in one go and then divided.
type sharedBase struct {
	lines   []shareKey // in the order of the first portion
	share   map[shareKey]formula.Share
	content []map[shareKey]exact.Num // % of each portion, without additions
	ratio   []exact.Num              // base in each portion, by that in the first
	pct     map[shareKey]exact.Num   // % of the first portion that is base
}

// findBase takes from each portion the lines that are in all of them, in the
// proportions that most of those lines have.
func findBase(portions []formula.Mixture) *sharedBase {
	b := &sharedBase{share: map[shareKey]formula.Share{}, pct: map[shareKey]exact.Num{}}
	for i, m := range portions {
		content := map[shareKey]exact.Num{}
		for _, s := range m.Shares {
			k := shareKey{s.Ingredient, s.Pos}
			if s.Added {
				continue
			}
			if _, met := content[k]; !met && i == 0 {
				b.lines = append(b.lines, k)
				b.share[k] = s
			}
			content[k] = content[k].Add(s.Pct)
		}
		b.content = append(b.content, content)
	}
	b.lines = slices.DeleteFunc(b.lines, func(k shareKey) bool {
		return slices.ContainsFunc(b.content, func(c map[shareKey]exact.Num) bool { return c[k].IsZero() })
	})
	for i := range portions {
		var ratios []exact.Num
		for _, k := range b.lines {
			ratios = append(ratios, b.content[i][k].Quo(b.content[0][k]))
		}
		b.ratio = append(b.ratio, mostCommon(ratios))
	}
	for _, k := range b.lines {
		b.pct[k] = b.content[0][k]
		for i := range portions {
			b.pct[k] = b.pct[k].Min(b.content[i][k].Quo(b.ratio[i]))
		}
	}
	return b
}

// inPortion returns how much base a portion holds of one line, % of the portion.
func (b *sharedBase) inPortion(i int, k shareKey) exact.Num { return b.pct[k].Mul(b.ratio[i]) }

// mostCommon returns 1 where it is in a list, else the value that stands there
// most often, the first of equals; 1 for an empty list. Lines with an amount of
// their own have the ratio 1 beside a q.s. line, which takes up empty slots.
func mostCommon(list []exact.Num) exact.Num {
	best, most := exact.Int(1), 0
	for _, n := range list {
		if n.Equal(exact.Int(1)) {
			return n
		}
		count := 0
		for _, m := range list {
			if m.Equal(n) {
				count++
			}
		}
		if count > most {
			best, most = n, count
		}
	}
	return best
}

// split lists the lines of the base and then what each portion has of its own.
func (p *Plan) split(r *formula.Recipe) {
	base := findBase(r.Portions)
	for _, k := range base.lines {
		var pct exact.Num
		for i, m := range r.Portions {
			pct = pct.Add(base.inPortion(i, k).Pct(m.SharePct))
		}
		p.addLine(base.share[k], "", pct)
	}
	for i, m := range r.Portions {
		part := planPortion{Name: m.Name, SharePct: m.SharePct}
		for _, k := range base.lines {
			part.exactG = part.exactG.Add(base.inPortion(i, k).Pct(m.SharePct).Pct(p.BatchG))
		}
		p.Portions = append(p.Portions, part)
		p.ownLines(base, i, m)
	}
}

// ownLines lists what a portion holds beyond the base, each line of the formula
// once.
func (p *Plan) ownLines(base *sharedBase, i int, m formula.Mixture) {
	done := map[shareKey]bool{}
	for _, s := range m.Shares {
		k := shareKey{s.Ingredient, s.Pos}
		pct := s.Pct
		if !s.Added {
			if done[k] {
				continue
			}
			done[k] = true
			pct = base.content[i][k].Sub(base.inPortion(i, k))
		}
		if pct.Sign() > 0 {
			p.addLine(s, m.Name, pct.Pct(m.SharePct))
		}
	}
}
