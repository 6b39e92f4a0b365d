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

// changes lists the amounts of what is raised at which the label changes, between
// nothing and all there is room for. in has it in each mixture.
func changes(r *Result, in []*mover, allergens []allergenLoad, order []labelLoad) []LabelChange {
	var out []LabelChange
	for _, a := range allergens {
		if c, ok := a.change(r, in); ok {
			out = append(out, c)
		}
	}
	if m := in[0]; m != nil { // the order of the list is that of the whole product
		for _, l := range order {
			u, ok := m.solve(l.load, l.bound)
			if ok && u.Sign() >= 0 && !m.room.Less(u) {
				out = append(out, LabelChange{AtPct: u, UsePct: m.pct, What: l.what})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b LabelChange) int { return a.AtPct.Cmp(b.AtPct) })
	return out
}

// allergenLoad is a label name with what counts for it in each mixture that is
// compared: the portions where there are any, since one of them holds at least as
// much as the whole, else the whole.
type allergenLoad struct {
	AllergenTotal
	loads []load // by mixture
	first int    // of the mixtures that are compared
}

func allergenLoads(r *Result) []allergenLoad {
	members := make([]map[string][]*Substance, len(r.Compositions))
	for i, c := range r.Compositions {
		members[i] = AllergenMembers(r.Input, c)
	}
	all := make([]allergenLoad, len(r.Allergens))
	for k, a := range r.Allergens {
		all[k] = allergenLoad{AllergenTotal: a, first: min(1, len(members)-1)}
		for _, of := range members {
			l := newLoad()
			for _, s := range of[a.Row.Key] {
				for _, p := range partsOf(s) {
					l.add(p.ingredient, p.pct.Max)
				}
			}
			all[k].loads = append(all[k].loads, l)
		}
	}
	return all
}

// change finds the amount above which the name comes onto the label: where the
// first mixture reaches the threshold, if no other is above it then anyway.
func (a *allergenLoad) change(r *Result, in []*mover) (c LabelChange, ok bool) {
	var factor ingredients.Num // of the present use, the least
	at := 0
	for i := a.first; i < len(in); i++ {
		if in[i] == nil {
			continue
		}
		u, reached := in[i].solve(a.loads[i], a.ThresholdPct)
		if !reached || u.Sign() < 0 || in[i].room.Less(u) {
			continue
		}
		if f := u.Quo(in[i].pct); !ok || f.Less(factor) {
			ok, factor, at = true, f, i
			c = LabelChange{AtPct: u, UsePct: in[i].pct, Portion: r.Compositions[i].Mixture.Name, What: "above it " + a.LabelName + " is declared"}
		}
	}
	for i := a.first; i < len(in) && ok; i++ {
		content := a.loads[i].total
		if in[i] != nil {
			content = content.Add(in[i].slope(a.loads[i]).Mul(in[i].pct.Mul(factor).Sub(in[i].pct)))
		}
		ok = i == at || !a.ThresholdPct.Less(content)
	}
	return c, ok
}

// labelLoad is a load at whose bound the list of the whole product changes.
type labelLoad struct {
	load
	bound ingredients.Num
	what  string
}

// orderLoads lists what the order of the list turns on, whichever material moves.
func orderLoads(r *Result) []labelLoad {
	var out []labelLoad
	loads := entryLoads(r)
	sorted := r.Input.Law.Fact("order-threshold").Number
	for i, e := range r.List.Entries {
		if e.Kind == EntryColourant || e.Kind == EntryAllergen {
			continue
		}
		out = append(out, labelLoad{loads[i], sorted, "from it on " + e.Name + " is " + sorted.Exact() + " % and stands in order"})
		if i > 0 && r.List.Entries[i-1].Kind != EntryAllergen {
			difference := newLoad()
			for id, n := range loads[i].by {
				difference.add(id, n)
			}
			for id, n := range loads[i-1].by {
				difference.add(id, n.Neg())
			}
			out = append(out, labelLoad{difference, ingredients.Num{}, "above it " + e.Name + " stands before " + r.List.Entries[i-1].Name})
		}
	}
	return out
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
