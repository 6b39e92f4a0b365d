package masses

import (
	"fmt"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func planned(t testing.TB, p *formula.Product, v *formula.Variant, batch string, b Balance) (*Plan, []finding.Finding) {
	t.Helper()
	r, fs := formula.Resolve(p, v, tolerance)
	require.Empty(t, formulatest.Codes(fs))
	return PlanBatch(r, formulatest.Num(t, batch), b, table.Builtin())
}

func gramsText(p *Plan) []string {
	var out []string
	for _, l := range p.Lines {
		s := l.Ingredient + " " + l.G.Exact()
		if l.Portion != "" {
			s = l.Portion + ": " + s
		}
		out = append(out, s)
	}
	return out
}

// Three equal lines of 100 g on a balance of 0.1 g: 33.3 three times is 99.9, so
// the first of equals gets the missing step. By hand.
func TestThirdsKeepTheTotal(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Grams, "a", "1", "b", "1", "c", "1")
	plan, fs := planned(t, p, &formula.Variant{}, "100", Balance{DivisionG: formulatest.Num(t, "0.1")})
	assert.Equal(t, []string{"a 33.4", "b 33.3", "c 33.3"}, gramsText(plan))
	assert.Equal(t, "100", plan.TotalG.Exact())
	assert.Empty(t, fs)
}

// Batch of 500 g with 0.02 % dye on a balance of 0.1 g: 0.1 g, below 20 × 0.1 = 2 g.
// 0.8 % scent: 4 g, below 100 × 0.1 = 10 g. At 200 g the dye is 0.04 g and rounds to nothing.
func TestSmallMasses(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "scent", "0.8", "dye", "0.02")
	plan, fs := planned(t, p, &formula.Variant{}, "500", Balance{DivisionG: formulatest.Num(t, "0.1")})
	assert.Equal(t, []string{"base 495.9", "scent 4", "dye 0.1"}, gramsText(plan))
	assert.Equal(t, []string{"note below-good-load", "ask below-least-load"}, formulatest.Codes(fs))
	assert.Contains(t, wordstest.Said(fs[0]).Message, "uncertainty of 2.5 %") // 0.1 / 4
	_, fs = planned(t, p, &formula.Variant{}, "200", Balance{DivisionG: formulatest.Num(t, "0.1")})
	assert.Contains(t, formulatest.Codes(fs), "stop rounds-to-zero")

	fine, top := formulatest.Num(t, "0.01"), formulatest.Num(t, "200")
	plan, fs = planned(t, p, &formula.Variant{}, "500",
		Balance{DivisionG: formulatest.Num(t, "0.1"), FineG: &fine, FineMaxG: &top})
	assert.Equal(t, []string{"base 495.9", "scent 4", "dye 0.1"}, gramsText(plan))
	assert.Equal(t, []string{"ask below-least-load"}, formulatest.Codes(fs),
		"0.1 g on a balance of 0.01 g is below 20 × 0.01 = 0.2 g")
}

// TestPortions: 1000 g, 60 % violet and 40 % bronze of a base of 99 %, each with
// 0.8 % scent and 0.2 % colour. By hand: base 594 and 396, scent 4.8 and 3.2,
// colour 1.2 and 0.8.
func TestPortionsAreDivided(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "soap", "20", ":scent", "0.8", ":colour", "0.2")
	v := &formula.Variant{Portions: []formula.Portion{
		{Name: "violet", SharePct: formulatest.Num(t, "60"),
			Fill: []formula.Fill{formulatest.Fill("scent", "heather"), formulatest.Fill("colour", "mica")}},
		{Name: "bronze", SharePct: formulatest.Num(t, "40"),
			Fill: []formula.Fill{formulatest.Fill("scent", "gorse"), formulatest.Fill("colour", "bronze")}},
	}}
	plan, _ := planned(t, p, v, "1000", Balance{DivisionG: formulatest.Num(t, "0.1")})
	assert.Equal(t, []string{"water 790", "soap 200", "violet: heather 4.8", "violet: mica 1.2",
		"bronze: gorse 3.2", "bronze: bronze 0.8"}, gramsText(plan))
	require.Len(t, plan.Portions, 2)
	assert.Equal(t, "594", plan.Portions[0].BaseG.Exact())
	assert.Equal(t, "600", plan.Portions[0].TotalG.Exact())
	assert.Equal(t, "396", plan.Portions[1].BaseG.Exact())
	assert.Equal(t, "400", plan.Portions[1].TotalG.Exact())

	// a portion without colour takes 0.2 % more water: 0.2 % of 400 g = 0.8 g on top of the base
	v.Portions[1].Fill = v.Portions[1].Fill[:1]
	plan, _ = planned(t, p, v, "1000", Balance{DivisionG: formulatest.Num(t, "0.1")})
	assert.Equal(t, []string{"water 790", "soap 200", "violet: heather 4.8", "violet: mica 1.2",
		"bronze: water 0.8", "bronze: gorse 3.2"}, gramsText(plan))
	assert.Equal(t, "396", plan.Portions[1].BaseG.Exact())

	// the empty one first: the base is still what most lines have in common
	v.Portions[0], v.Portions[1] = v.Portions[1], v.Portions[0]
	plan, _ = planned(t, p, v, "1000", Balance{DivisionG: formulatest.Num(t, "0.1")})
	assert.Contains(t, gramsText(plan), "bronze: water 0.8")
	assert.Equal(t, "990", plan.BaseG.Exact())
}

// TestNothingShared: two portions that have no line in common have no base.
func TestNothingShared(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, ":all", "100")
	v := &formula.Variant{Portions: []formula.Portion{
		{Name: "a", SharePct: formulatest.Num(t, "50"), Fill: []formula.Fill{formulatest.Fill("all", "x")}},
		{Name: "b", SharePct: formulatest.Num(t, "50"), Fill: []formula.Fill{formulatest.Fill("all", "y")}}}}
	plan, _ := planned(t, p, v, "500", Balance{DivisionG: formulatest.Num(t, "1")})
	assert.Equal(t, []string{"a: x 250", "b: y 250"}, gramsText(plan))
	assert.Equal(t, "250", plan.Portions[1].TotalG.Exact())
	assert.True(t, plan.BaseG.IsZero())
}

// TestAdditionsComeLast: 4 parts on 100 in 520 g are 20 g on 500 g.
func TestAdditionsComeLast(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "scent", "1")
	v := &formula.Variant{ThenAdd: []formula.Addition{{Ingredient: "stone", Parts: formulatest.Num(t, "4")}}}
	plan, _ := planned(t, p, v, "520", Balance{DivisionG: formulatest.Num(t, "0.1")})
	assert.Equal(t, []string{"base 495", "scent 5", "stone 20"}, gramsText(plan))
	assert.Equal(t, "500", plan.BaseG.Exact())
}

// TestRoundedSheetsKeepTheTotal is the promise of the weighing sheet, over many
// random formulas, batches and balances: the sum of the lines is the batch
// rounded to the division, exactly; no line is a whole division away from its
// exact mass; portions add up to the base and to the whole.
func TestRoundedSheetsKeepTheTotal(t *testing.T) {
	rnd := rand.New(rand.NewSource(6))
	steps := []string{"0.01", "0.1", "0.2", "0.5", "1", "5"}
	for range 3000 {
		p := formulatest.WithFormula(t, formula.Percent, "q", "q.s.")
		left := 9000
		for i := range 1 + rnd.Intn(12) {
			n := 1 + rnd.Intn(max(left/4, 1))
			if left -= n; left <= 0 {
				break
			}
			line := formula.Line{Ingredient: fmt.Sprint("m", i),
				Amount: exact.Frac(int64(n), 100*int64(1+rnd.Intn(7))), Pos: exact.Pos{File: "f", Line: i + 20, Col: 1}}
			if rnd.Intn(4) == 0 {
				line.Slot, line.Ingredient = fmt.Sprint("s", i), ""
			}
			p.Formula.Phases[0].Lines = append(p.Formula.Phases[0].Lines, line)
		}
		v := &formula.Variant{}
		if parts := rnd.Intn(4); parts > 1 {
			left := int64(100)
			for i := range parts {
				share := left / int64(parts-i)
				left -= share
				part := formula.Portion{Name: fmt.Sprint("p", i), SharePct: exact.Int(share)}
				for _, l := range p.Formula.Phases[0].Lines {
					if l.Slot != "" && rnd.Intn(3) > 0 {
						part.Fill = append(part.Fill, formulatest.Fill(l.Slot, fmt.Sprint("x", rnd.Intn(5))))
					}
				}
				v.Portions = append(v.Portions, part)
			}
		}
		if rnd.Intn(3) == 0 {
			v.ThenAdd = []formula.Addition{{Ingredient: "stone", Parts: exact.Frac(int64(1+rnd.Intn(70)), 3)}}
		}
		step := formulatest.Num(t, steps[rnd.Intn(len(steps))])
		batch := exact.Frac(int64(20000+rnd.Intn(3000000)), int64(1+rnd.Intn(300)))
		recipe, _ := formula.Resolve(p, v, tolerance)
		plan, _ := PlanBatch(recipe, batch, Balance{DivisionG: step}, table.Builtin())
		holds(t, plan, batch, step)
	}
}

func holds(t *testing.T, plan *Plan, batch, step exact.Num) {
	t.Helper()
	var sum, exact, portions, bases exact.Num
	for _, l := range plan.Lines {
		require.True(t, isMultiple(l.G, step), "%s g in steps of %s", l.G, step)
		diff := l.G.Sub(l.ExactG)
		require.True(t, diff.Less(step) && step.Neg().Less(diff), "%s is %s g, exactly %s, step %s", l.Ingredient,
			l.G, l.ExactG, step)
		sum, exact = sum.Add(l.G), exact.Add(l.ExactG)
	}
	require.True(t, exact.Equal(batch), "the exact masses make %s of %s g", exact, batch)
	require.True(t, sum.Equal(roundToStep(batch, step)), "the lines make %s g of %s", sum, batch)
	require.True(t, sum.Equal(plan.TotalG))
	if len(plan.Portions) == 0 {
		return
	}
	for _, p := range plan.Portions {
		require.True(t, p.BaseG.Sign() >= 0 && isMultiple(p.BaseG, step))
		portions, bases = portions.Add(p.TotalG), bases.Add(p.BaseG)
	}
	require.True(t, bases.Equal(plan.BaseG), "the portions take %s g of %s g base", bases, plan.BaseG)
	require.True(t, portions.Equal(plan.TotalG), "the portions make %s g of %s g", portions, plan.TotalG)
}

// TestFineBalance: with a second balance each group of lines keeps its own sum,
// and the whole is off by less than a division of the coarse one.
func TestFineBalance(t *testing.T) {
	rnd := rand.New(rand.NewSource(7))
	coarse, fine, top := formulatest.Num(t, "1"), formulatest.Num(t, "0.01"), formulatest.Num(t, "300")
	for range 500 {
		p := formulatest.WithFormula(t, formula.Percent, "q", "q.s.", "a", fmt.Sprint(1+rnd.Intn(30)), "b",
			fmt.Sprintf("0.%02d", 1+rnd.Intn(98)), "c", fmt.Sprintf("0.%03d", 1+rnd.Intn(998)))
		recipe, _ := formula.Resolve(p, &formula.Variant{}, tolerance)
		batch := exact.Int(int64(300 + rnd.Intn(5000)))
		plan, _ := PlanBatch(recipe, batch, Balance{DivisionG: coarse, FineG: &fine, FineMaxG: &top}, table.Builtin())
		diff := plan.TotalG.Sub(batch)
		require.True(t, diff.Less(coarse) && coarse.Neg().Less(diff))
		for _, l := range plan.Lines {
			require.True(t, isMultiple(l.G, l.StepG))
			off := l.G.Sub(l.ExactG)
			require.True(t, off.Less(l.StepG) && l.StepG.Neg().Less(off))
		}
	}
}

// TestCost: 0.5 kg at 6.40 and 0.1 kg at 62.00 are 3.20 + 6.20 = 9.40; 12 jars, each 0.7833.
func TestCost(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Grams, "glucoside", "500", "scent", "100")
	plan, _ := planned(t, p, &formula.Variant{}, "600", Balance{DivisionG: formulatest.Num(t, "1")})
	prices := map[string]*exact.Num{"glucoside": formulatest.Ptr(formulatest.Num(t, "6.40")),
		"scent": formulatest.Ptr(formulatest.Num(t, "62.00"))}
	c := CostOf(plan, func(id string) *exact.Num { return prices[id] }, 12)
	assert.Equal(t, "9.4", c.Batch.Exact())
	assert.Equal(t, "0.7833", c.PerUnit.Fixed(4))
	prices["scent"] = nil
	c = CostOf(plan, func(id string) *exact.Num { return prices[id] }, 12)
	assert.Nil(t, c.Batch)
	assert.Nil(t, c.PerUnit)
	assert.Equal(t, []string{"scent"}, c.Missing)
	assert.Equal(t, "3.2", c.Priced.Exact())
}

// 24 jars of 120 g at 3 % loss: 2880 / 0.97 = 2969.07 g.
func TestBatchFor(t *testing.T) {
	f := Filling{NetG: formulatest.Num(t, "120"), LossPct: formulatest.Num(t, "3")}
	assert.Equal(t, "2969.07", f.BatchFor(24).Fixed(2))
	assert.Equal(t, "2969.1", RoundUpToStep(f.BatchFor(24), formulatest.Num(t, "0.1")).Exact())
	assert.Equal(t, "120", f.PackG().Exact())
	f.LossPct = formulatest.Num(t, "0")
	assert.Equal(t, "2880", f.BatchFor(24).Exact())
}

// TestFillingWhatDries: bars of 95 g as sold, of which 12 % of the poured mass dries
// off. By hand: a pack is filled with 95 / 0.88 = 107.9545 g; 1466 g fill
// 1466 × 0.88 / 95 = 13.58, 13 whole ones; with 3 % on the tools 1466 × 0.97 × 0.88 / 95
// = 13.17, 13 too, and 1412 g 12.68, 12; 12 packs take 12 × 95 / 0.88 / 0.97 =
// 1335.52 g.
func TestFillingWhatDries(t *testing.T) {
	f := Filling{NetG: formulatest.Num(t, "95"), DryPct: formulatest.Num(t, "12")}
	assert.Equal(t, "107.9545", f.PackG().Fixed(4))
	assert.Equal(t, 13, f.Packs(formulatest.Num(t, "1466")))
	f.LossPct = formulatest.Num(t, "3")
	assert.Equal(t, 13, f.Packs(formulatest.Num(t, "1466")))
	assert.Equal(t, 12, f.Packs(formulatest.Num(t, "1412")))
	assert.Equal(t, "1335.52", f.BatchFor(12).Fixed(2))
	assert.Equal(t, 12, f.Packs(f.BatchFor(12)), "there and back")
}
