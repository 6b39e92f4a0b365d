package calc

import (
	"slices"

	"gallipot/ingredients"
)

// rulesOf gathers every rule with a bound, with what counts against it in one
// mixture.
func rulesOf(r *Result, mix int) []ruleLoad {
	rules := certificateLoads(r, mix)
	rules = append(rules, limitLoads(r, mix)...)
	return append(rules, marginLoads(r, mix)...)
}

// certificateLoads are the certificates one by one, and their screening sum
// where several are in the mixture.
func certificateLoads(r *Result, mix int) []ruleLoad {
	limits := map[string]ingredients.Num{}
	var rules []ruleLoad
	screen := ruleLoad{rule: "several fragrances together, Σ use ÷ limit", kind: RuleScreen, limit: ingredients.Int(1), load: newLoad()}
	for _, f := range r.Fragrances {
		switch {
		case f.LimitPct != nil:
			limits[f.Ingredient] = *f.LimitPct
		case f.Status == FragranceNotPermitted:
			limits[f.Ingredient] = ingredients.Num{}
		}
	}
	for _, u := range useOf(r.Compositions[mix].Mixture) {
		limit, ok := limits[u.ingredient]
		if !ok {
			continue
		}
		rule := ruleLoad{rule: "certificate of " + u.ingredient + ", category " + r.Input.Type.FragranceCategory, kind: RuleCertificate, limit: limit, load: newLoad()}
		rule.add(u.ingredient, u.pct)
		rules = append(rules, rule)
		if !limit.IsZero() {
			screen.add(u.ingredient, u.pct.Quo(limit))
		}
	}
	if len(screen.by) > 1 {
		rules = append(rules, screen)
	}
	return rules
}

// limitLoads are the rows of the limit tables that compare a content.
func limitLoads(r *Result, mix int) []ruleLoad {
	var rules []ruleLoad
	for _, c := range r.Limits {
		if c.LimitPct == nil || c.shape.kind != checkFigure && c.shape.kind != checkProhibited {
			continue
		}
		rule := ruleLoad{rule: "annex " + c.Row.Annex + "/" + c.Row.Entry + ", " + joinAnd(c.Substances), kind: RuleLimit, limit: *c.LimitPct, below: c.Row.Sum.Strict, load: newLoad()}
		if c.Verdict == LimitUndecided {
			rule.rule += " (if it applies)"
		}
		for _, t := range c.shape.terms {
			s := t.u.perComp[mix]
			if s == nil {
				continue
			}
			for _, p := range partsOf(s) {
				if t.only == nil || t.only[p.ingredient] {
					rule.add(p.ingredient, p.pct.Max.Mul(t.factor))
				}
			}
		}
		rules = append(rules, rule)
	}
	return rules
}

// marginLoads are the contents at which a margin of safety is just its target.
func marginLoads(r *Result, mix int) []ruleLoad {
	var rules []ruleLoad
	comp := joinNumbers(r.Compositions)[mix]
	add := func(inci string, nano bool, highest *float64, what string) {
		if highest == nil {
			return
		}
		s := comp.byKey[substanceKey(inci, nano)]
		if s == nil {
			return
		}
		rule := ruleLoad{rule: what + " of " + inci, kind: RuleMargin, limit: exactOf(*highest), load: newLoad()}
		for _, p := range partsOf(s) {
			rule.add(p.ingredient, p.pct.Max)
		}
		rules = append(rules, rule)
	}
	for _, m := range r.Margins {
		add(m.INCI, m.Nano, m.HighestPct, "margin of safety")
	}
	for _, a := range r.Aggregates {
		add(a.INCI, false, a.HighestPct, "aggregate margin")
	}
	return rules
}

// labelLoad is a load that changes the label of the whole product where it
// reaches its bound.
type labelLoad struct {
	load
	bound ingredients.Num
	what  string
}

// changes lists the amounts of a mover at which the label of the whole product
// changes, between nothing and all there is room for.
func (m *mover) changes(loads []labelLoad) []LabelChange {
	var out []LabelChange
	for _, l := range loads {
		u, ok := m.solve(l.load, l.bound)
		if ok && u.Sign() >= 0 && !m.room.Less(u) {
			out = append(out, LabelChange{u, l.what})
		}
	}
	slices.SortStableFunc(out, func(a, b LabelChange) int { return a.AtPct.Cmp(b.AtPct) })
	return out
}

// labelLoads lists what the label turns on, whichever material moves.
func labelLoads(r *Result) []labelLoad {
	var out []labelLoad
	at := func(l load, bound ingredients.Num, what string) { out = append(out, labelLoad{l, bound, what}) }
	for _, a := range r.Allergens {
		l := newLoad()
		for _, s := range r.Whole().Substances {
			if slices.ContainsFunc(a.Contributions, func(k Contribution) bool {
				return slices.ContainsFunc(s.Contributions, func(c Contribution) bool { return sameSource(c, k) })
			}) {
				for _, p := range partsOf(s) {
					l.add(p.ingredient, p.pct.Max)
				}
			}
		}
		at(l, a.ThresholdPct, "above it "+a.LabelName+" is declared")
	}
	loads := entryLoads(r)
	sorted := r.Input.Law.Fact("order-threshold").Number
	for i, e := range r.List.Entries {
		if e.Kind == EntryColourant || e.Kind == EntryAllergen {
			continue
		}
		at(loads[i], sorted, "from it on "+e.Name+" is "+sorted.Exact()+" % and stands in order")
		if i > 0 && r.List.Entries[i-1].Kind != EntryAllergen {
			difference := newLoad()
			for id, n := range loads[i].by {
				difference.add(id, n)
			}
			for id, n := range loads[i-1].by {
				difference.add(id, n.Neg())
			}
			at(difference, ingredients.Num{}, "above it "+e.Name+" stands before "+r.List.Entries[i-1].Name)
		}
	}
	return out
}

// sameSource says whether two contributions stem from the same line of a sheet.
func sameSource(a, b Contribution) bool {
	return a.SourcePos == b.SourcePos && a.Ingredient == b.Ingredient && a.Route == b.Route && a.Given == b.Given
}

// entryLoads are the typical contents of the list's entries by raw material.
func entryLoads(r *Result) []load {
	loads := make([]load, len(r.List.Entries))
	uses := useOf(r.Whole().Mixture)
	for i, e := range r.List.Entries {
		loads[i] = newLoad()
		for _, u := range uses {
			m := r.Input.Materials[u.ingredient]
			if m == nil {
				continue
			}
			for _, k := range e.from[u.ingredient] {
				loads[i].add(u.ingredient, m.Parts[k].Pct.Typ.Pct(u.pct))
			}
		}
	}
	return loads
}
