package masses

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Balance is what a maker weighs on.
type Balance struct {
	DivisionG exact.Num  // g, smallest step
	FineG     *exact.Num // g, smallest step of a second balance; nil: there is none
	FineMaxG  *exact.Num // g, the most the second balance takes; nil with FineG nil
}

// step returns the division of the balance on which a mass is weighed: the fine
// one where it is needed and can take the mass.
func (b Balance) step(g, goodLoads exact.Num) exact.Num {
	if b.FineG != nil && g.Less(goodLoads.Mul(b.DivisionG)) && !b.FineMaxG.Less(g) {
		return *b.FineG
	}
	return b.DivisionG
}

// PlanLine is one thing to weigh.
type PlanLine struct {
	Ingredient string    `json:"ingredient"`
	Phase      string    `json:"phase,omitempty"`
	Slot       string    `json:"slot,omitempty"`
	Portion    string    `json:"portion,omitempty"` // "" for the base and for a batch of one mixture
	Added      bool      `json:"added,omitempty"`   // stirred in after the base is finished
	Pct        exact.Num `json:"pct"`               // % w/w of the whole batch
	ExactG     exact.Num `json:"exact_g"`           // g, not rounded
	G          exact.Num `json:"g"`                 // g, as weighed
	StepG      exact.Num `json:"step_g"`            // g, division of the balance
	Pos        exact.Pos `json:"-"`
}

// planPortion is one part of a batch that is divided before it is scented or
// coloured.
type planPortion struct {
	Name     string    `json:"name"`
	SharePct exact.Num `json:"share_pct"` // % of the batch
	BaseG    exact.Num `json:"base_g"`    // g of base to weigh into it
	TotalG   exact.Num `json:"total_g"`   // g with what is added to it
	exactG   exact.Num
}

// Plan says what to weigh for one batch.
type Plan struct {
	BatchG   exact.Num     `json:"batch_g"` // g, as asked for
	TotalG   exact.Num     `json:"total_g"` // g, sum of what is weighed
	BaseG    exact.Num     `json:"base_g"`  // g, sum of the lines before the base is divided
	Lines    []PlanLine    `json:"lines"`   // base in the order of the formula, then each portion's own, then additions
	Portions []planPortion `json:"portions,omitempty"`
}

// PlanBatch turns a recipe into masses for one batch.
//
//	mass(line) = share of the line × batch mass / 100, rounded to the balance
//
// All lines of one balance are rounded together by the largest remainder, so
// that their sum is the batch mass rounded to the division and no line is off
// by a whole step. Lines that are better weighed on the fine balance are rounded
// on their own; the total then may differ from the batch mass by less than a
// division of the coarse one.
//
// A batch that is filled in portions has a base, which is what all portions
// share, and each portion's own lines. A portion whose empty slot goes to the
// q.s. line has that extra there.
//
// Units: g. Findings: stop "rounds-to-zero"; ask "below-least-load" where a mass
// is below the smallest that the balance can weigh, note "below-good-load".
// Source: facts.csv, rows balance-least-load and balance-good-load.
func PlanBatch(r *formula.Recipe, batchG exact.Num, b Balance,
	tables *table.Tables) (*Plan, []finding.Finding) {
	p := &Plan{BatchG: batchG}
	if len(r.Portions) == 0 {
		for _, s := range r.Whole.Shares { // what is stirred in afterwards stands last
			p.addLine(s, "", s.Pct)
		}
	} else {
		p.split(r)
	}
	good := law.Fact(tables, "balance-good-load").Number
	var coarse, fine []int
	for i := range p.Lines {
		l := &p.Lines[i]
		l.ExactG = batchG.Pct(l.Pct)
		if l.StepG = b.step(l.ExactG, good); l.StepG.Less(b.DivisionG) {
			fine = append(fine, i)
		} else {
			coarse = append(coarse, i)
		}
	}
	for _, group := range [][]int{coarse, fine} {
		p.round(group)
	}
	p.sums(b)
	return p, p.loads(tables)
}

func (p *Plan) addLine(s formula.Share, portion string, pct exact.Num) {
	p.Lines = append(p.Lines, PlanLine{Ingredient: s.Ingredient, Phase: s.Phase, Slot: s.Slot, Portion: portion,
		Added: s.Added, Pct: pct, Pos: s.Pos})
}

// round sets the masses of some lines that are weighed on one balance.
func (p *Plan) round(lines []int) {
	if len(lines) == 0 {
		return
	}
	var exactValue []exact.Num
	var sum exact.Num
	for _, i := range lines {
		exactValue = append(exactValue, p.Lines[i].ExactG)
		sum = sum.Add(p.Lines[i].ExactG)
	}
	step := p.Lines[lines[0]].StepG
	for k, g := range roundTogether(exactValue, step, roundToStep(sum, step)) {
		p.Lines[lines[k]].G = g
	}
}

// sums adds up what the rounded lines come to, and divides the base.
func (p *Plan) sums(b Balance) {
	own := map[string]exact.Num{}
	for _, l := range p.Lines {
		p.TotalG = p.TotalG.Add(l.G)
		if l.Portion == "" && !l.Added {
			p.BaseG = p.BaseG.Add(l.G)
		} else {
			own[l.Portion] = own[l.Portion].Add(l.G)
		}
	}
	if len(p.Portions) == 0 {
		return
	}
	var exactValue []exact.Num
	var sum exact.Num
	for _, part := range p.Portions {
		exactValue = append(exactValue, part.exactG)
		sum = sum.Add(part.exactG)
	}
	for i := range exactValue { // to what was weighed, which rounding has moved a little
		if !sum.IsZero() { // portions may have nothing in common
			exactValue[i] = exactValue[i].Mul(p.BaseG).Quo(sum)
		}
	}
	step := b.DivisionG
	if !isMultiple(p.BaseG, step) {
		step = *b.FineG // some of the base was weighed on it
	}
	for i, g := range roundTogether(exactValue, step, p.BaseG) {
		part := &p.Portions[i]
		part.BaseG = g
		part.TotalG = g.Add(own[part.Name])
	}
}

func isMultiple(n, step exact.Num) bool { return roundToStep(n, step).Equal(n) }

// loads points out masses that the balance cannot weigh well.
func (p *Plan) loads(tables *table.Tables) []finding.Finding {
	least, good := law.Fact(tables, "balance-least-load"), law.Fact(tables, "balance-good-load")
	var in formula.Input
	var fs []finding.Finding
	for _, l := range p.Lines {
		smallest := least.Number.Mul(l.StepG)
		v := formula.With().Num("mass", l.G, "g", finding.AsIs).Num("step", l.StepG, "g", finding.AsIs)
		sev, code := finding.Note, "below-good-load"
		switch {
		case l.G.IsZero():
			sev, code = finding.Stop, "rounds-to-zero"
			v = formula.With().Num("mass", l.ExactG, "g", finding.ThreeDigits).Num("step", l.StepG, "g", finding.AsIs)
		case l.G.Less(smallest):
			sev, code, v = finding.Ask, "below-least-load", v.Num("least", smallest, "g", finding.AsIs)
		case l.G.Less(good.Number.Mul(l.StepG)):
			v = v.Num("uncertainty", formula.Hundred.Mul(l.StepG).Quo(l.G), "%", finding.Rounding(2))
		default:
			continue
		}
		v = v.Source("law", finding.Values{{Kind: finding.KindTerm, Text: "balance-rule", List: formula.With().
			Figure("least", least.Value, least.Unit).Figure("good", good.Value, "").
			Quote("source", least.Source).Name("row", least.Key)}})
		fs = append(fs, in.OnMaterial(finding.NewFinding(sev, code, l.Pos, v), l.Ingredient).By(finding.TheMaker))
	}
	return fs
}

// roundToStep rounds n to the nearest multiple of step, halves up. n must not be
// negative, step must be above 0.
func roundToStep(n, step exact.Num) exact.Num {
	return n.Quo(step).Add(exact.Frac(1, 2)).Floor().Mul(step)
}

// RoundUpToStep rounds n up to a multiple of step.
func RoundUpToStep(n, step exact.Num) exact.Num {
	whole := n.Quo(step).Floor()
	if whole.Mul(step).Less(n) {
		whole = whole.Add(exact.Int(1))
	}
	return whole.Mul(step)
}

// roundTogether rounds numbers to multiples of step so that they add up to
// total, by the largest remainder: each is cut to a multiple, and the steps that
// are then missing go one each to those that lost most, the first of equals.
//
// total must be a multiple of step that lies within half a step of the sum of
// the numbers. No result is a whole step or more away from its number.
func roundTogether(exactValue []exact.Num, step, total exact.Num) []exact.Num {
	out := make([]exact.Num, len(exactValue))
	rest := make([]exact.Num, len(exactValue))
	order := make([]int, len(exactValue))
	missing := total
	for i, n := range exactValue {
		out[i] = n.Quo(step).Floor().Mul(step)
		rest[i] = n.Sub(out[i])
		order[i] = i
		missing = missing.Sub(out[i])
	}
	slices.SortStableFunc(order, func(a, b int) int { return rest[b].Cmp(rest[a]) })
	for _, i := range order {
		if missing.Less(step) {
			break
		}
		out[i] = out[i].Add(step)
		missing = missing.Sub(step)
	}
	return out
}

// Filling is what a batch loses on its way into packs that hold the net content
// when they are sold.
type Filling struct {
	NetG    exact.Num // g, net content of a pack as sold
	LossPct exact.Num // % of the batch that stays on pots and tools, from 0 to below 100
	DryPct  exact.Num // % of what is filled that dries off before sale, from 0 to below 100
}

// PackG is what a pack has to hold when it is filled.
//
//	fill = net content / (1 − drying)
//
// Units: g, not rounded.
func (f Filling) PackG() exact.Num {
	return f.NetG.Mul(formula.Hundred).Quo(formula.Hundred.Sub(f.DryPct))
}

// BatchFor returns the mass of a batch that fills a number of packs.
//
//	batch = packs × net content / (1 − drying) / (1 − loss)
//
// Units: g, not rounded.
func (f Filling) BatchFor(packs int) exact.Num {
	return exact.Int(int64(packs)).Mul(f.PackG()).Mul(formula.Hundred).Quo(formula.Hundred.Sub(f.LossPct))
}

// Packs is how many whole packs a batch fills.
//
//	packs = ⌊batch × (1 − loss) × (1 − drying) / net content⌋
func (f Filling) Packs(batchG exact.Num) int {
	return int(batchG.Pct(formula.Hundred.Sub(f.LossPct)).Quo(f.PackG()).Floor().Float())
}

// Cost is what the raw materials of a batch cost, in the maker's currency.
type Cost struct {
	Batch   *exact.Num `json:"batch"`    // nil where a price is missing
	PerUnit *exact.Num `json:"per_unit"` // nil where a price is missing or nothing is filled
	Priced  exact.Num  `json:"priced"`   // sum of the lines with a price
	Missing []string   `json:"missing"`  // materials without a price, each once
}

// CostOf adds up price × mass. A missing price is named and makes the sum
// unknown; it never counts as 0.
//
// Units: prices per kg, masses in g. units is how many are filled; 0 when
// unknown.
func CostOf(p *Plan, pricePerKg func(ingredient string) *exact.Num, units int) Cost {
	c := Cost{Missing: []string{}}
	for _, l := range p.Lines {
		price := pricePerKg(l.Ingredient)
		if price == nil {
			if !slices.Contains(c.Missing, l.Ingredient) {
				c.Missing = append(c.Missing, l.Ingredient)
			}
			continue
		}
		c.Priced = c.Priced.Add(price.Mul(l.G).Quo(exact.Int(1000)))
	}
	if len(c.Missing) > 0 {
		return c
	}
	sum := c.Priced
	c.Batch = &sum
	if units > 0 {
		each := sum.Quo(exact.Int(int64(units)))
		c.PerUnit = &each
	}
	return c
}
