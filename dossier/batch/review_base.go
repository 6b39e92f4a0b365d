package batch

import (
	"gallipot/calc/law/trade"
	"gallipot/calc/masses"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// base holds what was divided into portions against what was weighed into the
// pot; where that adds up, each portion against its plan.
//
// Findings: "batch-base", a stop where more was divided out than there was, an
// ask where more is gone than usually stays in a pot; ask "batch-off-plan".
func (r *reviewer) base() {
	lines, portions, complete := r.b.Made()
	if !complete {
		return
	}
	sums, ok := masses.BalanceBase(lines, portions, r.divisionG(), r.law)
	if !ok {
		return
	}
	r.out.Base = &sums
	v := workshop.With().Num("out", sums.OutG, "g", finding.AsIs).Num("in", sums.InG, "g", finding.AsIs)
	switch {
	case sums.TooMuch():
		r.say(r.baseFinding(finding.Stop, v.Num("over", sums.OverG, "g", finding.AsIs).Num("steps", sums.StepG, "g",
			finding.AsIs)).As("too-much"))
	case sums.TooLittle():
		v = v.Num("missing", sums.OverG.Neg(), "g", finding.AsIs).Num("allowed", sums.LessG, "g",
			finding.ThreeDigits)
		f := r.baseFinding(finding.Ask, append(v, tolerance(sums.Rule)...)).As("too-little")
		if reasons := r.portionReasons(); len(reasons) > 0 {
			f.Severity = finding.Note
			f = f.And(workshop.With().Quotes("reasons", reasons))
		}
		r.say(f)
	default:
		r.portionsOffPlan()
	}
}

// baseFinding makes a finding that shows what was weighed in and what went out.
func (r *reviewer) baseFinding(sev finding.Severity, v finding.Values) finding.Finding {
	f := finding.NewFinding(sev, "batch-base", r.b.Portions[0].Pos, v).By(finding.TheMaker)
	for _, l := range r.b.Lines {
		if l.Portion == "" {
			f.Sum = append(f.Sum, finding.Term{Pos: l.Pos, Key: "base-in", Values: workshop.With().
				Num("mass", *l.WeighedG, "g", finding.AsIs).Is("material", r.w.Material(l.Ingredient))})
		}
	}
	for _, p := range r.b.Portions {
		f.Sum = append(f.Sum, finding.Term{Pos: p.Pos, Key: "base-out", Values: workshop.With().
			Num("mass", *p.BaseG, "g", finding.AsIs).Name("portion", p.Name)})
	}
	return f
}

func (r *reviewer) portionReasons() []string {
	var all []string
	for _, p := range r.b.Portions {
		if p.Reason != "" {
			all = append(all, p.Reason)
		}
	}
	return all
}

// portionsOffPlan holds the base in each portion to its plan.
func (r *reviewer) portionsOffPlan() {
	for _, p := range r.b.Portions {
		if p.PlannedG == nil {
			continue
		}
		if d := masses.BaseDeviation(*p.PlannedG, *p.BaseG, r.divisionG(), r.law); !d.Within {
			r.say(r.planFinding(p.Pos, *p.PlannedG, *p.BaseG, d, p.Reason).As("base").On(p.Name))
		}
	}
}

// tolerance is the rule behind what a mass may be off by; nothing where it is the
// step of the balance.
func tolerance(rule *trade.Fact) finding.Values {
	if rule == nil {
		return nil
	}
	return workshop.With().
		Source("law",
			finding.Values{{Kind: finding.KindTerm, Text: "tolerance", List: workshop.With().
				Figure("tolerance", rule.Value, rule.Unit).
				Quote("source", rule.Source).Name("row", rule.Key)}})
}

// sums holds what was planned to the lines, what was rejected to what was filled, and the
// revision to those there are.
//
// Findings: ask or stop "batch-sums", ask "batch-revision".
func (r *reviewer) sums() {
	b := r.b
	var lines exact.Num
	planned := b.BatchG != nil && len(b.Lines) > 0
	for _, l := range b.Lines {
		if l.PlannedG == nil { // weighed in by need
			planned = false
			continue
		}
		lines = lines.Add(*l.PlannedG)
	}
	steps := exact.Int(int64(len(b.Lines))).Mul(r.divisionG())
	if planned && steps.Less(lines.Sub(*b.BatchG).Max(b.BatchG.Sub(lines))) {
		r.say(finding.NewFinding(finding.Ask, "batch-sums", b.Lines[0].Pos, workshop.With().
			Num("batch", *b.BatchG, "g", finding.AsIs).Num("lines", lines, "g", finding.AsIs).
			Num("steps", steps, "g", finding.AsIs)).As("planned").At(b.Source.Name, "batch_g", nil))
	}
	if y := b.Yield; y.FilledUnits != nil && y.RejectedUnits != nil && *y.FilledUnits < *y.RejectedUnits {
		r.say(finding.NewFinding(finding.Stop, "batch-sums", y.Pos, workshop.With().
			Count("rejected", *y.RejectedUnits).Count("filled", *y.FilledUnits)).As("rejected").
			At(b.Source.Name, "yield.rejected_units", nil))
	}
	if p := r.out.Product; p != nil && p.Revision > 0 && p.Revision < b.Revision {
		r.say(finding.NewFinding(finding.Ask, "batch-revision", b.Pos, workshop.With().
			Count("revision", b.Revision).Count("now", p.Revision).Name("product", p.Source.Name)).
			At(b.Source.Name, "revision", nil))
	}
}
