package batch

import (
	"strings"

	"gallipot/calc/masses"
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
	switch {
	case sums.TooMuch():
		r.say(r.baseFinding(finding.Stop, "%s g of base went into the portions of batch %s and %s g were weighed in: %s g more than there was", sums.OutG.Exact(), r.b.Code, sums.InG.Exact(), sums.OverG.Exact()).
			WithWhy("no more can be divided out than was weighed in; the steps of the balance explain %s g. What each portion holds is not computed", sums.StepG.Exact()).
			WithFix("correct the mass that is wrong, under lines or portions"))
	case sums.TooLittle():
		f := r.baseFinding(finding.Ask, "%s g of base went into the portions of batch %s and %s g were weighed in: %s g are missing, allowed %s g", sums.OutG.Exact(), r.b.Code, sums.InG.Exact(), sums.OverG.Neg().Exact(), sums.LessG.Sig(3)).
			WithWhy("steps of the balance").
			WithFix("correct the mass that is wrong; where base stayed in the pot, write that on one of the portions (reason: …)")
		if sums.Rule != nil {
			f = f.WithWhy("working tolerance of %s %s; %s (facts.csv, row %s)", sums.Rule.Value, sums.Rule.Unit, sums.Rule.Source, sums.Rule.Key)
		}
		if reasons := r.portionReasons(); reasons != "" {
			f.Severity, f.Fix = finding.Note, "reason given: "+reasons
		}
		r.say(f)
	default:
		r.portionsOffPlan()
	}
}

// baseFinding makes a finding that shows what was weighed in and what went out.
func (r *reviewer) baseFinding(sev finding.Severity, format string, args ...any) finding.Finding {
	f := finding.Findingf(sev, "batch-base", r.b.Portions[0].Pos, format, args...)
	for _, l := range r.b.Lines {
		if l.Portion == "" {
			f.Sum = append(f.Sum, finding.Term{Pos: l.Pos, Text: "in: " + l.WeighedG.Exact() + " g " + l.Ingredient})
		}
	}
	for _, p := range r.b.Portions {
		f.Sum = append(f.Sum, finding.Term{Pos: p.Pos, Text: "out: " + p.BaseG.Exact() + " g to " + p.Name})
	}
	return f
}

func (r *reviewer) portionReasons() string {
	var all []string
	for _, p := range r.b.Portions {
		if p.Reason != "" {
			all = append(all, p.Reason)
		}
	}
	return strings.Join(all, "; ")
}

// portionsOffPlan holds the base in each portion to its plan.
func (r *reviewer) portionsOffPlan() {
	for _, p := range r.b.Portions {
		if p.PlannedG == nil {
			continue
		}
		if d := masses.BaseDeviation(*p.PlannedG, *p.BaseG, r.divisionG(), r.law); !d.Within {
			r.offPlan(p.Pos, p.Name, "base for "+p.Name, *p.PlannedG, *p.BaseG, d, p.Reason)
		}
	}
}
