package calc

import (
	"math/big"
	"slices"

	"gallipot/calc/law"
)

// weighing compares the masses of a batch: exact ones add up to the batch, and
// those of one balance are cut to its steps, the steps that are missing going one
// each to those that lost most.
func (s *exactScore) weighing(c *exactCase, r *Result) {
	b := Balance{DivisionG: toNum(c.division), FineG: toNumPtr(c.fine), FineMaxG: toNumPtr(c.fineMost)}
	plan, _ := PlanBatch(r.Recipe, toNum(c.batch), b, law.Builtin())
	mixes := c.mixtures()
	good := times(q(100, 1), c.division)
	groups := map[string][]int{}
	exact := map[string]rat{}
	for i, l := range plan.Lines {
		g := dec(l.ExactG.Exact())
		if exact[l.Ingredient] == nil {
			exact[l.Ingredient] = new(big.Rat)
		}
		exact[l.Ingredient] = plus(exact[l.Ingredient], g)
		step, name := c.division, "coarse"
		if c.fine != nil && g.Cmp(good) < 0 && g.Cmp(c.fineMost) <= 0 {
			step, name = c.fine, "fine"
		}
		s.num("step", step, l.StepG)
		groups[name] = append(groups[name], i)
	}
	for _, m := range mixes[0].shares {
		if g := exact[m.material]; g != nil {
			s.num("mass of "+m.material, percent(mixes[0].use(m.material), c.batch), toNum(g))
		} else if m.pct.Sign() > 0 {
			s.fail("%s is not weighed", m.material)
		}
	}
	for _, lines := range groups {
		s.rounded(plan, lines)
	}
}

func (s *exactScore) rounded(plan *Plan, lines []int) {
	step := dec(plan.Lines[lines[0]].StepG.Exact())
	floor := func(r rat) rat { return times(new(big.Rat).SetInt(new(big.Int).Div(r.Num(), r.Denom())), step) }
	sum, given := new(big.Rat), new(big.Rat)
	out := map[int]rat{}
	for _, i := range lines {
		g := dec(plan.Lines[i].ExactG.Exact())
		sum = plus(sum, g)
		out[i] = floor(over(g, step))
		given = plus(given, out[i])
	}
	total := floor(plus(over(sum, step), q(1, 2)))
	lost := slices.Clone(lines)
	slices.SortStableFunc(lost, func(a, b int) int {
		return minus(dec(plan.Lines[b].ExactG.Exact()), out[b]).Cmp(minus(dec(plan.Lines[a].ExactG.Exact()), out[a]))
	})
	for _, i := range lost {
		if given.Cmp(total) < 0 {
			out[i], given = plus(out[i], step), plus(given, step)
		}
	}
	for _, i := range lines {
		s.num("weighed "+plan.Lines[i].Ingredient, out[i], plan.Lines[i].G)
	}
}
