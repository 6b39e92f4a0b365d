package calc

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// exclusiveCheck settles rows whose substances may not stand beside those of
// another row in one product.
//
// A substance that both rows name belongs to the row whose other substance comes
// in the same raw material: methylisothiazolinone that comes with its chlorinated
// partner is their mixture, and alone it is itself.
func (run *limitRun) exclusiveCheck(row *law.Limit, uses []*limitUse, day ingredients.Date) LimitCheck {
	c := LimitCheck{Row: row, Substances: namesOf(uses), Verdict: LimitNotApplicable, shape: checkShape{kind: checkNone, uses: uses}}
	var own, other []*limitUse
	why := ""
	var missing []string
	for _, u := range uses {
		a := u.judge(row, run, day)
		if a.Verdict == law.DoesNot {
			why = a.why
			continue
		}
		missing = union(missing, a.Missing)
		own = append(own, u)
	}
	if len(own) == 0 {
		c.Reason = why
		run.show(&c, uses)
		return c
	}
	var rivals []*law.Limit
	for _, r := range run.matcher.sumRows(row, run.in.Market, day) {
		if r == row {
			continue
		}
		for _, u := range run.uses {
			// whatever the other row is for: its limit may not hold here, the ban on both does
			if u.match(r) != nil && !slices.Contains(other, u) {
				other = append(other, u)
				rivals = append(rivals, r)
			}
		}
	}
	onlyOwn, onlyOther := without(own, other), without(other, own)
	if len(onlyOwn) == 0 && len(onlyOther) == 0 {
		if r := narrower(row, rivals); r != nil {
			c.Reason = "alone it counts under entry " + entryOf(r)
			return c
		}
	}
	terms, away := run.shareOut(row, own, onlyOwn, onlyOther)
	if len(terms) == 0 {
		c.Reason = "it comes in together with " + joinAnd(namesOf(onlyOther)) + " and counts there"
		return c
	}
	c = run.compare(c, terms, missing, row.Sum.LimitPct, false)
	if c.Verdict == LimitExceeded || c.Verdict == LimitUndecided {
		return c
	}
	if len(onlyOwn) > 0 && (len(onlyOther) > 0 || away) || len(onlyOwn) == 0 && len(onlyOther) > 0 {
		c.Verdict, c.shape.kind = LimitExceeded, checkTogether
		c.shape.others = namesOf(other)
		var entries []string
		for _, r := range rivals {
			entries = append(entries, entryOf(r))
		}
		slices.Sort(entries)
		entries = slices.Compact(entries)
		c.shape.entries = entries
		c.Reason = "may not be used together with " + joinAnd(namesOf(other)) + " of entry " + strings.Join(entries, ", ") + ": " + row.SumRule
		c.HighestPct, c.Room = nil, nil
	}
	return c
}

// narrower returns a rival that names fewer substances: where only what both
// name is there, that row is the one meant for it.
func narrower(row *law.Limit, rivals []*law.Limit) *law.Limit {
	for _, r := range rivals {
		if len(r.Names) < len(row.Names) {
			return r
		}
	}
	return nil
}

// shareOut decides which materials count for a row with a rival. away says that
// a substance of both rows also comes in without the partner of this row.
func (run *limitRun) shareOut(row *law.Limit, own, onlyOwn, onlyOther []*limitUse) (terms []term, away bool) {
	with, against := materialsOf(onlyOwn), materialsOf(onlyOther)
	for _, u := range own {
		t := run.termOf(row, u, true)
		if !slices.Contains(onlyOwn, u) {
			only := map[string]bool{}
			for name := range materialsOf([]*limitUse{u}) {
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
			t.only = only
		}
		terms = append(terms, t)
	}
	return terms, away
}

// materialsOf names the raw materials that bring any of the substances in.
func materialsOf(uses []*limitUse) map[string]bool {
	out := map[string]bool{}
	for _, u := range uses {
		for _, k := range u.s.Contributions {
			out[k.Ingredient] = true
		}
	}
	return out
}

func without(a, b []*limitUse) []*limitUse {
	var out []*limitUse
	for _, u := range a {
		if !slices.Contains(b, u) {
			out = append(out, u)
		}
	}
	return out
}

// colourCheck settles a row of the colourant list. The list permits: a colourant
// is allowed where one of its rows holds, and nowhere else.
func (run *limitRun) colourCheck(row *law.Limit, u *limitUse, day ingredients.Date) LimitCheck {
	c := LimitCheck{Row: row, Substances: []string{u.name()}, Verdict: LimitNotApplicable, shape: checkShape{kind: checkNone, uses: []*limitUse{u}}}
	sure, may := u.hasRole(fnColorant)
	terms := []term{run.termOf(row, u, sure)}
	mix, counted := run.worst(terms, false)
	run.fill(&c, terms, mix, counted, row.MaxPct)
	if !may {
		c.Reason = "it is not used as a colourant"
		return c
	}
	cond := row.Condition.Judge(u.certain)
	if cond.Verdict == law.Holds {
		if row.MaxPct == nil {
			c.Verdict = LimitKept
			c.Reason = "listed as a colourant for use " + conditionWords(row.Condition)
			c.Reason = run.remarks(c, terms)
			return c
		}
		return run.compare(c, terms, []string{law.MissingFunction}, row.MaxPct, false)
	}
	if other := run.otherColourRow(row, u, day); other != "" {
		c.Reason = "row " + other + " permits it here"
		return c
	}
	c.shape.kind = checkProhibited
	c.shape.certain = sure && u.isCertain()
	switch {
	case cond.Verdict == law.Undecided:
		c.Verdict, c.Missing = LimitUndecided, missingWords(cond.Missing)
		c.shape.state, c.shape.missing = "colourant-if", cond.Missing
		c.Reason = "listed as a colourant for use " + conditionWords(row.Condition) + "; whether that is so depends on " + joinAnd(c.Missing)
	case sure:
		c.Verdict = LimitExceeded
		c.Reason = "listed as a colourant for use " + conditionWords(row.Condition) + ": it may not be used as a colourant here"
	default:
		c.Verdict, c.Missing = LimitUndecided, missingWords([]string{law.MissingFunction})
		c.shape.state, c.shape.missing = "colourant-maybe", []string{law.MissingFunction}
		c.Reason = "listed as a colourant for use " + conditionWords(row.Condition) + "; whether it colours the product depends on " + joinAnd(c.Missing)
	}
	c.Reason = run.remarks(c, terms)
	return c
}

// otherColourRow names another row in force that permits the colourant.
func (run *limitRun) otherColourRow(row *law.Limit, u *limitUse, day ingredients.Date) string {
	for _, m := range u.matches {
		if m.row != row && m.row.Annex == "IV" && !m.row.Prohibited() && run.inForce(m.row, day) && m.row.Condition.Judge(u.certain).Verdict == law.Holds {
			return m.row.Key
		}
	}
	return ""
}

// hasRole says whether a substance certainly has a function, and whether it may.
func (u *limitUse) hasRole(function string) (sure, may bool) {
	sure = slices.Contains(u.roles.main, function)
	return sure, sure || slices.Contains(u.roles.all, function) || !u.roles.known
}
