package masses

import (
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
)

// BaseBalance holds the base that was divided into portions against what was
// weighed into the pot.
type BaseBalance struct {
	InG   exact.Num   // g of base weighed in
	OutG  exact.Num   // g of base in the portions
	OverG exact.Num   // g, out − in; below 0 where base stayed in the pot
	StepG exact.Num   // g, what the steps of the balance explain, either way
	LessG exact.Num   // g that may stay in the pot before it is asked about
	Rule  *trade.Fact // the tolerance behind LessG; nil where the steps are wider
}

// TooMuch says whether more base was divided out than there was, which cannot be.
func (b BaseBalance) TooMuch() bool { return b.StepG.Less(b.OverG) }

// TooLittle says whether more base is gone than usually stays in a pot.
func (b BaseBalance) TooLittle() bool { return b.LessG.Less(b.OverG.Neg()) }

// BalanceBase adds up the base on both sides of its division.
//
//	over = Σ base in the portions − Σ base weighed in
//	steps = (base lines + portions) × division of the balance
//	less  = Σ base weighed in × tolerance of main lines / 100, at least the steps
//
// Units: g. ok is false for a batch of one mixture. How much base may stay in
// the pot is the tolerance of a main line, for want of a better figure.
//
// Source: facts.csv, row weigh-tolerance-main.
func BalanceBase(lines []MadeLine, portions []MadePortion, divisionG exact.Num,
	tables *table.Tables) (b BaseBalance, ok bool) {
	if len(portions) == 0 {
		return b, false
	}
	weighings := int64(len(portions))
	for _, l := range lines {
		if l.Portion == "" {
			b.InG = b.InG.Add(l.G)
			weighings++
		}
	}
	for _, p := range portions {
		b.OutG = b.OutG.Add(p.BaseG)
	}
	b.OverG = b.OutG.Sub(b.InG)
	b.StepG = exact.Int(weighings).Mul(divisionG)
	b.Rule = law.Fact(tables, "weigh-tolerance-main")
	if b.LessG = b.InG.Pct(b.Rule.Number); b.LessG.Less(b.StepG) {
		b.LessG, b.Rule = b.StepG, nil
	}
	return b, true
}

// BaseDeviation compares the base in one portion with its plan: a portion with
// less base than planned holds more of its scent and colour. Line is -1.
//
// Source: facts.csv, row weigh-tolerance-main.
func BaseDeviation(plannedG, g, divisionG exact.Num, tables *table.Tables) Deviation {
	d := deviationOf(plannedG, g, divisionG, law.Fact(tables, "weigh-tolerance-main"))
	d.Line = -1
	return d
}
