package limits

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/purpose"
	"gallipot/ingredients/exact"
)

// exclusiveCheck settles rows whose substances may not stand beside those of
// another row in one product.
//
// A substance that both rows name belongs to the row whose other substance comes
// in the same raw material: methylisothiazolinone that comes with its chlorinated
// partner is their mixture, and alone it is itself.
func (run *Run) exclusiveCheck(row *annex.Limit, uses []*LimitUse, day exact.Date) LimitCheck {
	c := LimitCheck{Row: row, Substances: NamesOf(uses), Verdict: LimitNotApplicable,
		Shape: checkShape{Kind: checkNone, Uses: uses}}
	var own, other []*LimitUse
	why := ""
	for _, u := range uses {
		a := u.judge(row, run, day)
		if a.Verdict == law.DoesNot {
			why = a.why
			continue
		}
		own = append(own, u)
	}
	if len(own) == 0 {
		c.Reason = why
		run.show(&c, uses)
		return c
	}
	var rivals []*annex.Limit
	for _, r := range run.Matcher.sumRows(row, run.In.Market, day) {
		if r == row {
			continue
		}
		for _, n := range run.usesOf(r) {
			// whatever the other row is for: its limit may not hold here, the ban on both does
			if !slices.Contains(other, n.u) {
				other = append(other, n.u)
				rivals = append(rivals, r)
			}
		}
	}
	onlyOwn, onlyOther := without(own, other), without(other, own)
	if len(onlyOwn) == 0 && len(onlyOther) == 0 {
		if r := narrower(row, rivals); r != nil {
			c.Reason = "alone it counts under entry " + formula.EntryOf(r)
			return c
		}
	}
	terms, away := run.shareOut(row, own, onlyOwn, onlyOther)
	if len(terms) == 0 {
		c.Reason = "it comes in together with " + formula.JoinAnd(NamesOf(onlyOther)) + " and counts there"
		return c
	}
	c = run.Compare(c, terms, nil, row.Sum.LimitPct, false)
	if c.Verdict == LimitExceeded || c.Verdict == LimitUndecided {
		return c
	}
	if len(onlyOwn) > 0 && (len(onlyOther) > 0 || away) || len(onlyOwn) == 0 && len(onlyOther) > 0 {
		c.Verdict, c.Shape.Kind = LimitExceeded, checkTogether
		c.Shape.Others = NamesOf(other)
		var entries []string
		for _, r := range rivals {
			entries = append(entries, formula.EntryOf(r))
		}
		slices.Sort(entries)
		entries = slices.Compact(entries)
		c.Shape.entries = entries
		c.Reason = "may not be used together with " + formula.JoinAnd(NamesOf(other)) + " of entry " +
			strings.Join(entries, ", ") + ": " + row.SumRule
		c.HighestPct = nil // less of it does not mend it
	}
	return c
}

// narrower returns a rival that names fewer substances: where only what both
// Name is there, that row is the one meant for it.
func narrower(row *annex.Limit, rivals []*annex.Limit) *annex.Limit {
	for _, r := range rivals {
		if len(r.Names) < len(row.Names) {
			return r
		}
	}
	return nil
}

// shareOut decides which materials count for a row with a rival. away says that
// a substance of both rows also comes in without the partner of this row.
func (run *Run) shareOut(row *annex.Limit, own, onlyOwn, onlyOther []*LimitUse) (terms []Term, away bool) {
	with, against := materialsOf(onlyOwn), materialsOf(onlyOther)
	for _, u := range own {
		t := run.termOf(row, u, true)
		if !slices.Contains(onlyOwn, u) {
			only := map[string]bool{}
			for name := range materialsOf([]*LimitUse{u}) {
				switch {
				case len(onlyOwn) > 0 && !with[name]:
					away = true
				case len(onlyOwn) == 0 && against[name]:
				default:
					only[name] = true
				}
			}
			if len(only) == 0 {
				continue
			}
			t.Only = only
		}
		terms = append(terms, t)
	}
	return terms, away
}

// materialsOf names the raw materials that bring any of the substances in.
func materialsOf(uses []*LimitUse) map[string]bool {
	out := map[string]bool{}
	for _, u := range uses {
		for _, k := range u.S.Contributions {
			out[k.Ingredient] = true
		}
	}
	return out
}

func without(a, b []*LimitUse) []*LimitUse {
	var out []*LimitUse
	for _, u := range a {
		if !slices.Contains(b, u) {
			out = append(out, u)
		}
	}
	return out
}

// colourCheck settles a row of the colourant list. The list permits: a colourant
// is allowed where one of its rows holds, and nowhere else.
func (run *Run) colourCheck(row *annex.Limit, one []*LimitUse, day exact.Date) LimitCheck {
	u := one[0]
	c := LimitCheck{Row: row, Substances: NamesOf(one), Verdict: LimitNotApplicable,
		Shape: checkShape{Kind: checkNone, Uses: one}}
	sure, may := u.HasRole(purpose.Colorant)
	terms := []Term{run.termOf(row, u, sure)}
	mix, counted := run.Worst(terms, false)
	run.fill(&c, terms, mix, counted, row.MaxPct)
	if !may {
		c.Reason = "it is not used as a colourant"
		return c
	}
	cond := law.JudgeCondition(row.Condition, *u.certain)
	if cond.Verdict == law.Holds {
		if row.MaxPct == nil {
			c.Verdict = LimitKept
			c.Reason = "listed as a colourant for use " + run.Matcher.where(row)
			c.Reason = run.remarks(c, terms)
			return c
		}
		return run.Compare(c, terms, []string{law.MissingFunction}, row.MaxPct, false)
	}
	if other := run.otherColourRow(row, u, day); other != "" {
		c.Reason = "row " + other + " permits it here"
		return c
	}
	c.Shape.Kind = CheckProhibited
	c.Shape.Certain = sure && u.isCertain()
	switch {
	case cond.Verdict == law.Undecided:
		c.Verdict, c.Missing = LimitUndecided, missingWords(cond.Missing)
		c.Shape.state, c.Shape.missing = "colourant-if", cond.Missing
		c.Reason = "listed as a colourant for use " + run.Matcher.where(row) +
			"; whether that is so depends on " + formula.JoinAnd(c.Missing)
	case sure:
		c.Verdict = LimitExceeded
		c.Reason = "listed as a colourant for use " + run.Matcher.where(row) +
			": it may not be used as a colourant here"
	default:
		c.Verdict, c.Missing = LimitUndecided, missingWords([]string{law.MissingFunction})
		c.Shape.state, c.Shape.missing = "colourant-maybe", []string{law.MissingFunction}
		c.Reason = "listed as a colourant for use " + run.Matcher.where(row) +
			"; whether it colours the product depends on " + formula.JoinAnd(c.Missing)
	}
	c.Reason = run.remarks(c, terms)
	return c
}

// otherColourRow names another row in force that permits the colourant.
func (run *Run) otherColourRow(row *annex.Limit, u *LimitUse, day exact.Date) string {
	for _, m := range u.Matches {
		if m.Row != row && m.Row.Annex == "IV" && !m.Row.Prohibited() && run.inForce(m.Row, day) &&
			law.JudgeCondition(m.Row.Condition, *u.certain).Verdict == law.Holds {
			return m.Row.Key
		}
	}
	return ""
}
