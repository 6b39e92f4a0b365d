package headroom

import (
	"slices"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/calc/standards"
	"gallipot/ingredients/exact"
)

// rulesOf gathers every rule with a bound, with what counts against it in one
// mixture.
func rulesOf(r *calc.Result, mix int) []ruleLoad {
	rules := certificateLoads(r, mix)
	rules = append(rules, limitLoads(r, mix)...)
	return append(rules, marginLoads(r, mix)...)
}

// certificateLoads are the certificates one by one, and their screening sum
// where several are in the mixture.
func certificateLoads(r *calc.Result, mix int) []ruleLoad {
	limits := map[string]exact.Num{}
	var rules []ruleLoad
	screen := ruleLoad{rule: "several fragrances together, Σ use ÷ limit", kind: ruleScreen, limit: exact.Int(1),
		load: newLoad()}
	for _, f := range r.Fragrances {
		switch {
		case f.LimitPct != nil:
			limits[f.Ingredient] = *f.LimitPct
		case f.Status == standards.FragranceNotPermitted:
			limits[f.Ingredient] = exact.Num{}
		}
	}
	for _, u := range formula.UseOf(r.Compositions[mix].Mixture) {
		limit, ok := limits[u.Ingredient]
		if !ok {
			continue
		}
		rule := ruleLoad{rule: "certificate of " + u.Ingredient + ", category " + r.Input.Type.FragranceCategory,
			kind: ruleCertificate, limit: limit, load: newLoad()}
		rule.add(u.Ingredient, u.Pct)
		rules = append(rules, rule)
		if !limit.IsZero() {
			screen.add(u.Ingredient, u.Pct.Quo(limit))
		}
	}
	if len(screen.by) > 1 {
		rules = append(rules, screen)
	}
	return rules
}

// limitLoads are the rows of the limit tables that compare a content.
func limitLoads(r *calc.Result, mix int) []ruleLoad {
	var rules []ruleLoad
	for _, c := range r.Limits {
		if c.LimitPct == nil || c.Shape.Kind != limits.CheckFigure && c.Shape.Kind != limits.CheckProhibited {
			continue
		}
		rule := ruleLoad{rule: "annex " + c.Row.Annex + "/" + c.Row.Entry + ", " + formula.JoinAnd(c.Substances),
			kind: ruleLimit, limit: *c.LimitPct, below: c.Row.Sum.Strict, load: newLoad()}
		switch {
		case c.OnlyTrace():
			rule.rule, rule.trace = rule.rule+" (a trace)", c.Substances
		case c.Verdict == limits.LimitUndecided:
			rule.rule += " (if it applies)"
		}
		for _, t := range c.Shape.Terms {
			s := t.U.PerComp[mix]
			if s == nil {
				continue
			}
			for _, p := range limits.PartsOf(s) {
				if t.Only == nil || t.Only[p.Ingredient] {
					rule.add(p.Ingredient, p.Pct.Max.Mul(t.Factor))
				}
			}
		}
		rules = append(rules, rule)
	}
	return rules
}

// marginLoads are the contents at which a margin of safety is just its target.
func marginLoads(r *calc.Result, mix int) []ruleLoad {
	var rules []ruleLoad
	comp := formula.JoinNumbers(r.Compositions)[mix]
	add := func(inci string, nano bool, highest *float64, what string) {
		if highest == nil {
			return
		}
		s := comp.Named(formula.SubstanceKey(inci, nano))
		if s == nil {
			return
		}
		rule := ruleLoad{rule: what + " of " + inci, kind: ruleMargin, limit: exactOf(*highest), load: newLoad()}
		for _, p := range limits.PartsOf(s) {
			rule.add(p.Ingredient, p.Pct.Max)
		}
		rules = append(rules, rule)
	}
	for _, m := range r.Margins {
		add(m.INCI, m.Nano, m.HighestPct, "margin of safety")
	}
	for _, a := range r.Aggregates {
		add(a.INCI, a.Nano, a.HighestPct, "aggregate margin")
	}
	return rules
}

// changes lists the amounts of what is raised at which the label changes, between
// nothing and all there is room for. in has it in each mixture.
func changes(r *calc.Result, in []*mover, allergens []allergenLoad, order []labelLoad) []LabelChange {
	var out []LabelChange
	for _, a := range allergens {
		if c, ok := a.change(r, in); ok {
			out = append(out, c)
		}
	}
	if m := in[0]; m != nil { // the order of the list is that of the whole product
		for _, l := range order {
			u, ok := m.solve(l.load, l.bound)
			if ok && u.Sign() >= 0 && !m.Room.Less(u) {
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
	listing.AllergenTotal
	loads []load // by mixture
	first int    // of the mixtures that are compared
}

func allergenLoads(r *calc.Result) []allergenLoad {
	members := make([]map[string][]*formula.Substance, len(r.Compositions))
	for i, c := range r.Compositions {
		members[i] = listing.AllergenMembers(r.Input, c)
	}
	all := make([]allergenLoad, len(r.Allergens))
	for k, a := range r.Allergens {
		all[k] = allergenLoad{AllergenTotal: a, first: min(1, len(members)-1)}
		for _, of := range members {
			l := newLoad()
			for _, s := range of[a.Row.Key] {
				for _, p := range limits.PartsOf(s) {
					l.add(p.Ingredient, p.Pct.Max)
				}
			}
			all[k].loads = append(all[k].loads, l)
		}
	}
	return all
}

// change finds the amount above which the name comes onto the label: where the
// first mixture reaches the threshold, if no other is above it then anyway.
func (a *allergenLoad) change(r *calc.Result, in []*mover) (c LabelChange, ok bool) {
	var factor exact.Num // of the present use, the least
	at := 0
	for i := a.first; i < len(in); i++ {
		if in[i] == nil {
			continue
		}
		u, reached := in[i].solve(a.loads[i], a.ThresholdPct)
		if !reached || u.Sign() < 0 || in[i].Room.Less(u) {
			continue
		}
		if f := u.Quo(in[i].pct); !ok || f.Less(factor) {
			ok, factor, at = true, f, i
			c = LabelChange{AtPct: u, UsePct: in[i].pct, Portion: r.Compositions[i].Mixture.Name, What: "above it " +
				a.LabelName + " is declared"}
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
	bound exact.Num
	what  string
}

// orderLoads lists what the order of the list turns on, whichever material moves.
func orderLoads(r *calc.Result) []labelLoad {
	var out []labelLoad
	loads := entryLoads(r)
	sorted := law.Fact(r.Input.Law, "order-threshold").Number
	for i, e := range r.List.Entries {
		if e.Kind == listing.EntryColourant || e.Kind == listing.EntryAllergen {
			continue
		}
		out = append(out, labelLoad{loads[i], sorted, "from it on " + e.Name + " is " + sorted.Exact() +
			" % and stands in order"})
		if i > 0 && r.List.Entries[i-1].Kind != listing.EntryAllergen {
			difference := newLoad()
			for id, n := range loads[i].by {
				difference.add(id, n)
			}
			for id, n := range loads[i-1].by {
				difference.add(id, n.Neg())
			}
			out = append(out, labelLoad{difference, exact.Num{}, "above it " + e.Name + " stands before " +
				r.List.Entries[i-1].Name})
		}
	}
	return out
}

// entryLoads are the typical contents of the list's entries by raw material.
func entryLoads(r *calc.Result) []load {
	loads := make([]load, len(r.List.Entries))
	uses := formula.UseOf(r.Whole().Mixture)
	for i, e := range r.List.Entries {
		loads[i] = newLoad()
		for _, u := range uses {
			m := r.Input.Materials[u.Ingredient]
			if m == nil {
				continue
			}
			for _, k := range e.Of(u.Ingredient) {
				loads[i].add(u.Ingredient, m.Parts[k].Pct.Typ.Pct(u.Pct))
			}
		}
	}
	return loads
}
