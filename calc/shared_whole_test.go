package calc_test

import (
	"math/big"
	"slices"
	"testing"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/masses"
	"gallipot/calc/plaintest"
	"gallipot/ingredients"
)

// weighing compares the masses of a batch: exact ones add up to the batch, and
// those of one balance are cut to its steps, the steps that are missing going one
// each to those that lost most.
func (s *exactScore) weighing(c *plaintest.Case, r *calc.Result) {
	b := masses.Balance{DivisionG: toNum(c.Division), FineG: toNumPtr(c.Fine), FineMaxG: toNumPtr(c.FineMost)}
	plan, _ := masses.PlanBatch(r.Recipe, toNum(c.Batch), b, table.Builtin())
	mixes := c.Mixtures()
	good := plaintest.Times(plaintest.Q(100, 1), c.Division)
	groups := map[string][]int{}
	exact := map[string]plaintest.Rat{}
	for i, l := range plan.Lines {
		g := plaintest.Dec(l.ExactG.Exact())
		if exact[l.Ingredient] == nil {
			exact[l.Ingredient] = new(big.Rat)
		}
		exact[l.Ingredient] = plaintest.Plus(exact[l.Ingredient], g)
		step, name := c.Division, "coarse"
		if c.Fine != nil && g.Cmp(good) < 0 && g.Cmp(c.FineMost) <= 0 {
			step, name = c.Fine, "fine"
		}
		s.num("step", step, l.StepG)
		groups[name] = append(groups[name], i)
	}
	for _, m := range mixes[0].Shares {
		if g := exact[m.Material]; g != nil {
			s.num("mass of "+m.Material, plaintest.Percent(mixes[0].Use(m.Material), c.Batch), toNum(g))
		} else if m.Pct.Sign() > 0 {
			s.fail("%s is not weighed", m.Material)
		}
	}
	for _, lines := range groups {
		s.rounded(plan, lines)
	}
}

func (s *exactScore) rounded(plan *masses.Plan, lines []int) {
	step := plaintest.Dec(plan.Lines[lines[0]].StepG.Exact())
	floor := func(r plaintest.Rat) plaintest.Rat {
		return plaintest.Times(new(big.Rat).SetInt(new(big.Int).Div(r.Num(), r.Denom())), step)
	}
	sum, given := new(big.Rat), new(big.Rat)
	out := map[int]plaintest.Rat{}
	for _, i := range lines {
		g := plaintest.Dec(plan.Lines[i].ExactG.Exact())
		sum = plaintest.Plus(sum, g)
		out[i] = floor(plaintest.Over(g, step))
		given = plaintest.Plus(given, out[i])
	}
	total := floor(plaintest.Plus(plaintest.Over(sum, step), plaintest.Q(1, 2)))
	lost := slices.Clone(lines)
	slices.SortStableFunc(lost, func(a, b int) int {
		return plaintest.Minus(plaintest.Dec(plan.Lines[b].ExactG.Exact()),
			out[b]).Cmp(plaintest.Minus(plaintest.Dec(plan.Lines[a].ExactG.Exact()), out[a]))
	})
	for _, i := range lost {
		if given.Cmp(total) < 0 {
			out[i], given = plaintest.Plus(out[i], step), plaintest.Plus(given, step)
		}
	}
	for _, i := range lines {
		s.num("weighed "+plan.Lines[i].Ingredient, out[i], plan.Lines[i].G)
	}
}

func exposureOf(t testing.TB, productType string, audience formula.Audience,
	own *formula.OwnExposure) (exposure.Exposure, []string) {
	t.Helper()
	e, fs := exposure.ExposureOf(formulatest.OfType(t, productType, audience, own))
	return e, formulatest.Codes(fs)
}

// limitCase is a product of water and a few materials.
type limitCase struct {
	product  string
	market   rows.Market
	day      int
	audience formula.Audience
	change   func(*formula.Product)
}

// of assesses the product with pairs of sheet and amount.
func (c limitCase) of(t testing.TB, parts ...any) *calc.Result {
	t.Helper()
	lines := []string{"water", "q.s."}
	sheets := []*ingredients.Sheet{formulatest.Material(t, "water", "solvent", "Aqua", "100")}
	for i := 0; i < len(parts); i += 2 {
		s := parts[i].(*ingredients.Sheet)
		sheets = append(sheets, s)
		lines = append(lines, s.ID, parts[i+1].(string))
	}
	p := formulatest.WithFormula(t, formula.Percent, lines...)
	no := false
	p.Professional = &no
	p.IntendedFor = formula.Adults
	if c.audience != "" {
		p.IntendedFor = c.audience
	}
	if c.change != nil {
		c.change(p)
	}
	if c.day == 0 {
		c.day = today
	}
	if c.market == "" {
		c.market = rows.EU
	}
	return calctest.Assess(t, p, &formula.Variant{}, c.product, c.market, c.day, sheets...)
}

const today = 20261125
