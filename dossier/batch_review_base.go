package dossier

import (
	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// base holds what was divided into portions against what was weighed into the
// pot; where that adds up, each portion against its plan.
//
// Findings: "batch-base", a stop where more was divided out than there was, an
// ask where more is gone than usually stays in a pot; ask "batch-off-plan".
func (r *reviewer) base() {
	lines, portions, complete := r.b.made()
	if !complete {
		return
	}
	sums, ok := calc.BalanceBase(lines, portions, r.divisionG(), r.law)
	if !ok {
		return
	}
	r.out.Base = &sums
	v := with().Num("out", sums.OutG, "g", ingredients.AsIs).Num("in", sums.InG, "g", ingredients.AsIs)
	switch {
	case sums.TooMuch():
		r.say(r.baseFinding(ingredients.Stop, v.Num("over", sums.OverG, "g", ingredients.AsIs).Num("steps", sums.StepG, "g", ingredients.AsIs)).As("too-much"))
	case sums.TooLittle():
		v = v.Num("missing", sums.OverG.Neg(), "g", ingredients.AsIs).Num("allowed", sums.LessG, "g", ingredients.ThreeDigits)
		f := r.baseFinding(ingredients.Ask, append(v, tolerance(sums.Rule)...)).As("too-little")
		if reasons := r.portionReasons(); len(reasons) > 0 {
			f.Severity = ingredients.Note
			f = f.And(with().Quotes("reasons", reasons))
		}
		r.say(f)
	default:
		r.portionsOffPlan()
	}
}

// baseFinding makes a finding that shows what was weighed in and what went out.
func (r *reviewer) baseFinding(sev ingredients.Severity, v ingredients.Values) ingredients.Finding {
	f := ingredients.NewFinding(sev, "batch-base", r.b.Portions[0].Pos, v).By(ingredients.TheMaker)
	for _, l := range r.b.Lines {
		if l.Portion == "" {
			f.Sum = append(f.Sum, ingredients.Term{Pos: l.Pos, Key: "base-in", Values: with().Num("mass", *l.WeighedG, "g", ingredients.AsIs).Is("material", r.w.material(l.Ingredient))})
		}
	}
	for _, p := range r.b.Portions {
		f.Sum = append(f.Sum, ingredients.Term{Pos: p.Pos, Key: "base-out", Values: with().Num("mass", *p.BaseG, "g", ingredients.AsIs).Name("portion", p.Name)})
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
		if d := calc.BaseDeviation(*p.PlannedG, *p.BaseG, r.divisionG(), r.law); !d.Within {
			r.say(r.planFinding(p.Pos, *p.PlannedG, *p.BaseG, d, p.Reason).As("base").On(p.Name))
		}
	}
}

// tolerance is the rule behind what a mass may be off by; nothing where it is the
// step of the balance.
func tolerance(rule *law.Fact) ingredients.Values {
	if rule == nil {
		return nil
	}
	return with().Source("law", ingredients.Values{{Kind: ingredients.KindTerm, Text: "tolerance", List: with().Figure("tolerance", rule.Value, rule.Unit).
		Quote("source", rule.Source).Name("row", rule.Key)}})
}
