package masses

import (
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

// What is said of small masses: 20 divisions may be weighed, 100 are better
// (stability-micro.csv B17); at the figure itself nothing is said.
func TestSmallMassesInWords(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "scent", "0.8", "dye", "0.02")
	_, fs := planned(t, p, &formula.Variant{}, "500", Balance{DivisionG: formulatest.Num(t, "0.1")})
	require.Len(t, fs, 2)
	assert.Equal(t, "4 g weighed in steps of 0.1 g has an uncertainty of 2.5 %", wordstest.Said(fs[0]).Message)
	assert.Equal(t, "a finer balance or a premix would weigh it better", wordstest.Said(fs[0]).Fix)
	assert.Equal(t, "smallest load of a balance: 20 x readability, better 100; common practice, no source; stability-micro.csv B17 (facts.csv, row balance-least-load)", wordstest.Said(fs[0]).Why)
	assert.Equal(t, "scent", fs[0].Subject)
	assert.Equal(t, "0.1 g is below 2 g, the least that a balance in steps of 0.1 g can weigh",
		wordstest.Said(fs[1]).Message)
	assert.Equal(t, "weigh it on a finer balance, make a premix of it, or make a larger batch", wordstest.Said(fs[1]).Fix)
	_, fs = planned(t, p, &formula.Variant{}, "200", Balance{DivisionG: formulatest.Num(t, "0.1")})
	// 1.6 g of scent are below 2 g; 0.04 g of dye are none
	require.Equal(t, []string{"ask below-least-load", "stop rounds-to-zero"}, formulatest.Codes(fs))
	assert.Equal(t, "0.04 g cannot be weighed in steps of 0.1 g, so it would be left out", wordstest.Said(fs[1]).Message)

	// 2 g and 10 g are just enough for 20 and 100 divisions
	p = formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "two", "2", "ten", "10")
	_, fs = planned(t, p, &formula.Variant{}, "100", Balance{DivisionG: formulatest.Num(t, "0.1")})
	assert.Equal(t, []string{"note below-good-load"}, formulatest.Codes(fs))
	assert.Equal(t, "two", fs[0].Subject)
}

// The fine balance takes what is below 100 divisions of the coarse one and no more
// than it can carry: of 10, 9.99, 5 and 5.01 g, with 0.1 and 0.01 g and up to 5 g,
// only the 5 g.
func TestWhichBalance(t *testing.T) {
	fine, top := formulatest.Num(t, "0.01"), formulatest.Num(t, "5")
	b := Balance{DivisionG: formulatest.Num(t, "0.1"), FineG: &fine, FineMaxG: &top}
	for g, want := range map[string]string{"10": "0.1", "9.99": "0.1", "5": "0.01", "5.01": "0.1", "0.001": "0.01"} {
		assert.Equal(t, want, b.step(formulatest.Num(t, g), formulatest.Num(t, "100")).Exact(), g)
	}
	top = formulatest.Num(t, "50")
	for g, want := range map[string]string{"10": "0.1", "9.99": "0.01"} {
		assert.Equal(t, want, b.step(formulatest.Num(t, g), formulatest.Num(t, "100")).Exact(), g)
	}
	assert.Equal(t, "0.1", Balance{DivisionG: formulatest.Num(t, "0.1")}.step(formulatest.Num(t, "1"),
		formulatest.Num(t, "100")).Exact())

	// 3.333 g are weighed as 3.33, the rest as 96.7: the sum differs by less than 0.1 g
	plan, _ := planned(t, formulatest.WithFormula(t, formula.Grams, "base", "29", "scent", "1"),
		&formula.Variant{}, "100", b)
	assert.Equal(t, []string{"base 96.7", "scent 3.33"}, gramsText(plan))
	assert.Equal(t, "100.03", plan.TotalG.Exact())
	assert.Equal(t, "0.01", plan.Lines[1].StepG.Exact())
	assert.Equal(t, "100", plan.BatchG.Exact())
	assert.Equal(t, "10/3", plan.Lines[1].ExactG.Exact())
}

func TestRoundingByHand(t *testing.T) {
	for _, c := range []struct{ n, step, near, up string }{
		{"0.25", "0.1", "0.3", "0.3"}, {"0.24", "0.1", "0.2", "0.3"}, {"0.2", "0.1", "0.2", "0.2"},
		{"7", "5", "5", "10"}, {"7.5", "5", "10", "10"}, {"0", "5", "0", "0"},
	} {
		assert.Equal(t, c.near, roundToStep(formulatest.Num(t, c.n), formulatest.Num(t, c.step)).Exact(), c.n)
		assert.Equal(t, c.up, RoundUpToStep(formulatest.Num(t, c.n), formulatest.Num(t, c.step)).Exact(), c.n)
	}
	assert.True(t, isMultiple(formulatest.Num(t, "0.3"), formulatest.Num(t, "0.1")))
	assert.False(t, isMultiple(formulatest.Num(t, "0.35"), formulatest.Num(t, "0.1")))
	round := func(step, total string, numbers ...string) (out []string) {
		var exact []exact.Num
		for _, n := range numbers {
			exact = append(exact, formulatest.Num(t, n))
		}
		for _, n := range roundTogether(exact, formulatest.Num(t, step), formulatest.Num(t, total)) {
			out = append(out, n.Exact())
		}
		return out
	}
	// remainders 0.4, 0.9, 0.7 of 1: two steps are missing, to the second and the third
	assert.Equal(t, []string{"1", "3", "4"}, round("1", "8", "1.4", "2.9", "3.7"))
	// the first of equals
	assert.Equal(t, []string{"2", "1", "1"}, round("1", "4", "1.3333", "1.3333", "1.3333"))
	assert.Equal(t, []string{"2", "3"}, round("1", "5", "2", "3"))
	// 24 units of 120 g with 4 % loss: 2880 / 0.96 = 3000
	assert.Equal(t, "3000", Filling{NetG: formulatest.Num(t, "120"),
		LossPct: formulatest.Num(t, "4")}.BatchFor(24).Exact())
	assert.Equal(t, "2880", Filling{NetG: formulatest.Num(t, "120")}.BatchFor(24).Exact())
}

// Portions of different bases, by hand: oil 40 and 20, wax 50 and 25, the rest clay 10
// and 55. Lines that most have in common: ratio 1/2 for oil and wax. Base of the first
// portion: 40, 50 and, of clay, the 10 that are in it; of the second 20, 25, 5, and 50
// clay of its own. 1000 g, 60 to 40: base 600 + 200, clay 200.
func TestBaseInProportion(t *testing.T) {
	at := func(line int) exact.Pos { return exact.Pos{File: "f", Line: line} }
	mix := func(name, share string, oil, wax, clay string) formula.Mixture {
		return formula.Mixture{Name: name, SharePct: formulatest.Num(t, share), Shares: []formula.Share{
			{Ingredient: "oil", Pct: formulatest.Num(t, oil), Pos: at(1)},
			{Ingredient: "wax", Pct: formulatest.Num(t, wax), Pos: at(2)},
			{Ingredient: "clay", Pct: formulatest.Num(t, clay), Pos: at(3)}}}
	}
	r := &formula.Recipe{Portions: []formula.Mixture{mix("one", "60", "40", "50", "10"),
		mix("two", "40", "20", "25", "55")}}
	plan, _ := PlanBatch(r, formulatest.Num(t, "1000"), Balance{DivisionG: formulatest.Num(t, "1")},
		formulatest.OfType(t, "shower-gel", formula.Adults, nil).Law)
	assert.Equal(t, []string{"oil 320", "wax 400", "clay 80", "two: clay 200"}, gramsText(plan))
	require.Len(t, plan.Portions, 2)
	assert.Equal(t, []string{"600", "600", "200", "400"},
		[]string{plan.Portions[0].BaseG.Exact(), plan.Portions[0].TotalG.Exact(), plan.Portions[1].BaseG.Exact(),
			plan.Portions[1].TotalG.Exact()})
	assert.Equal(t, "800", plan.BaseG.Exact())
	assert.Equal(t, "1000", plan.TotalG.Exact())

	list := func(texts ...string) string {
		var ns []exact.Num
		for _, s := range texts {
			ns = append(ns, formulatest.Num(t, s))
		}
		return mostCommon(ns).Exact()
	}
	assert.Equal(t, "1", list())
	assert.Equal(t, "1", list("0.5", "0.5", "1"))
	assert.Equal(t, "0.5", list("2", "0.5", "0.5"))
	assert.Equal(t, "2", list("2", "0.5"), "the first of equals")
}

// Prices by hand: 0.8 kg at 4 and 0.2 kg at 30 are 9.20; of 8 units 1.15 each. A
// material twice without a price is named once, and the sum is unknown.
func TestCostByHand(t *testing.T) {
	plan, _ := planned(t, formulatest.WithFormula(t, formula.Percent, "water", "80", "oil", "20"),
		&formula.Variant{}, "1000", Balance{DivisionG: formulatest.Num(t, "0.1")})
	prices := map[string]string{"water": "4", "oil": "30"}
	price := func(id string) *exact.Num {
		if p, ok := prices[id]; ok {
			return formulatest.Ptr(formulatest.Num(t, p))
		}
		return nil
	}
	c := CostOf(plan, price, 8)
	assert.Equal(t, "9.2", c.Batch.Exact())
	assert.Equal(t, "1.15", c.PerUnit.Exact())
	assert.Empty(t, c.Missing)
	assert.Nil(t, CostOf(plan, price, 0).PerUnit)
	assert.Equal(t, "9.2", CostOf(plan, price, 1).PerUnit.Exact())
	delete(prices, "oil")
	plan.Lines = append(plan.Lines, plan.Lines[1])
	c = CostOf(plan, price, 8)
	assert.Nil(t, c.Batch)
	assert.Nil(t, c.PerUnit)
	assert.Equal(t, "3.2", c.Priced.Exact())
	assert.Equal(t, []string{"oil"}, c.Missing)
}

// Masses that a balance cannot weigh, with the digits of a weighing sheet: 2 g in steps
// of 0.1 g is 5 % uncertain, 3 g 3.3 %.
func TestLoadsInWords(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "a", "0.3")
	b := Balance{DivisionG: formulatest.Num(t, "0.1")}
	plan, fs := planned(t, p, &formula.Variant{}, "1000", b) // 3 g
	require.Len(t, plan.Lines, 2)
	require.Len(t, fs, 1)
	assert.Equal(t, "3 g weighed in steps of 0.1 g has an uncertainty of 3.3 %", wordstest.Said(fs[0]).Message)
	p = formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "a", "0.0012345")
	_, fs = planned(t, p, &formula.Variant{}, "1000", b) // 0.012345 g
	assert.Equal(t, "0.0123 g cannot be weighed in steps of 0.1 g, so it would be left out", wordstest.Said(fs[0]).Message)

	// what is stirred in after 100 is weighed last
	p = formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "a", "10")
	plan, _ = planned(t, p, &formula.Variant{ThenAdd: []formula.Addition{{Ingredient: "scent",
		Parts: formulatest.Num(t, "2")}}}, "1000", b)
	assert.Equal(t, "scent", plan.Lines[len(plan.Lines)-1].Ingredient)
}

// Masses are told with the digits of the balance, the least load as it is.
func TestFiguresOfLoads(t *testing.T) {
	b := Balance{DivisionG: formulatest.Num(t, "0.25")}
	for pct, code := range map[string]string{"0.0012345": "rounds-to-zero", "0.1": "below-least-load",
		"0.55": "below-good-load"} {
		p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "a", pct)
		_, fs := planned(t, p, &formula.Variant{}, "1000", b)
		require.Len(t, fs, 1, pct)
		assert.Equal(t, code, fs[0].Code)
		for _, name := range []string{"mass", "step", "least"} {
			if v, ok := fs[0].Values.Get(name); ok && (name != "mass" || code != "rounds-to-zero") {
				assert.Equal(t, finding.AsIs, v.Round, name)
			}
		}
	}
	// a pack that lacks the last of twenty digits is not full
	assert.Equal(t, 12, Filling{NetG: formulatest.Num(t, "1")}.Packs(
		exact.Int(13).Sub(formulatest.Num(t, "0.0000000001").Mul(formulatest.Num(t, "0.0000000001")))))
}

// The same two portions the other way round, one of them with its clay in two shares of one
// line, and a third like the first; the base stands in the order of the first. By hand: base
// of the second is twice that of the first, 20, 25 and, of clay, 5; 50 clay beside it in the
// first and the third. 1000 g, 30, 40 and 30 %.
func TestBaseOfThreePortions(t *testing.T) {
	at := func(line int) exact.Pos { return exact.Pos{File: "f", Line: line} }
	small := func(name string) formula.Mixture {
		return formula.Mixture{Name: name, SharePct: formulatest.Num(t, "30"), Shares: []formula.Share{
			{Ingredient: "wax", Pct: formulatest.Num(t, "25"), Pos: at(2)},
			{Ingredient: "oil", Pct: formulatest.Num(t, "20"), Pos: at(1)},
			{Ingredient: "clay", Pct: formulatest.Num(t, "30"), Pos: at(3)},
			{Ingredient: "clay", Pct: formulatest.Num(t, "25"), Pos: at(3)}}}
	}
	large := formula.Mixture{Name: "two", SharePct: formulatest.Num(t, "40"), Shares: []formula.Share{
		{Ingredient: "oil", Pct: formulatest.Num(t, "40"), Pos: at(1)},
		{Ingredient: "wax", Pct: formulatest.Num(t, "50"), Pos: at(2)},
		{Ingredient: "clay", Pct: formulatest.Num(t, "10"), Pos: at(3)}}}
	r := &formula.Recipe{Portions: []formula.Mixture{small("one"), large, small("three")}}
	plan, _ := PlanBatch(r, formulatest.Num(t, "1000"), Balance{DivisionG: formulatest.Num(t, "1")}, table.Builtin())
	assert.Equal(t, []string{"wax 350", "oil 280", "clay 70", "one: clay 150", "three: clay 150"}, gramsText(plan))
	assert.Equal(t, []string{"150", "400", "150"}, []string{plan.Portions[0].BaseG.Exact(),
		plan.Portions[1].BaseG.Exact(), plan.Portions[2].BaseG.Exact()})
}

// A base of which part was weighed on the fine balance is divided on it, in proportion to what
// was weighed: 96.7 and 3.33 g for 96 2/3 and 3 1/3, of which 60 and 40 % are 60.018 and 40.012.
func TestBaseOfTheFineBalance(t *testing.T) {
	fine, top := formulatest.Num(t, "0.01"), formulatest.Num(t, "50")
	b := Balance{DivisionG: formulatest.Num(t, "0.1"), FineG: &fine, FineMaxG: &top}
	v := &formula.Variant{Portions: []formula.Portion{{Name: "a", SharePct: formulatest.Num(t, "60")},
		{Name: "b", SharePct: formulatest.Num(t, "40")}}}
	plan, _ := planned(t, formulatest.WithFormula(t, formula.Grams, "base", "29", "scent", "1"), v, "100", b)
	assert.Equal(t, []string{"base 96.7", "scent 3.33"}, gramsText(plan))
	assert.Equal(t, []string{"60.02", "40.01"}, []string{plan.Portions[0].BaseG.Exact(), plan.Portions[1].BaseG.Exact()})
}
