package calc

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// checks judges every row in force on a day that names a substance of the
// product, in the order of the table.
func (run *limitRun) checks(day ingredients.Date) []LimitCheck {
	byRow := map[*law.Limit][]*limitUse{}
	var rows []*law.Limit
	for _, u := range run.uses {
		for _, m := range u.matches {
			if !run.inForce(m.row, day) {
				continue
			}
			if byRow[m.row] == nil {
				rows = append(rows, m.row)
			}
			byRow[m.row] = append(byRow[m.row], u)
		}
	}
	slices.SortFunc(rows, func(a, b *law.Limit) int { return cmp.Compare(run.matcher.order[a], run.matcher.order[b]) })
	var checks []LimitCheck
	for _, row := range rows {
		checks = append(checks, run.rowChecks(row, byRow[row], day)...)
	}
	for i := range checks {
		checks[i].shape.label = run.label(&checks[i])
	}
	return checks
}

// rowChecks applies the sum rule of a row: one check for all substances, or one
// for each.
func (run *limitRun) rowChecks(row *law.Limit, uses []*limitUse, day ingredients.Date) []LimitCheck {
	switch row.Sum.Kind {
	case law.SumAll, law.SumLabel:
		return []LimitCheck{run.sumCheck(row, uses, day)}
	case law.SumExclusive:
		return []LimitCheck{run.exclusiveCheck(row, uses, day)}
	}
	var checks []LimitCheck
	if row.Annex == "IV" && !row.Prohibited() {
		for _, u := range uses {
			checks = append(checks, run.colourCheck(row, u, day))
		}
		return checks
	}
	for _, same := range byNumber(uses) {
		checks = append(checks, run.oneCheck(row, same, day))
	}
	return checks
}

// byNumber puts uses with the same CAS number together: one substance that the
// sheets call by several names. A nano form stays apart.
func byNumber(uses []*limitUse) [][]*limitUse {
	var groups [][]*limitUse
	for _, u := range uses {
		i := slices.IndexFunc(groups, func(g []*limitUse) bool {
			return u.s.CAS != "" && g[0].s.CAS == u.s.CAS && g[0].s.Nano == u.s.Nano && g[0].isTrace() == u.isTrace()
		})
		if i < 0 {
			groups = append(groups, []*limitUse{u})
			continue
		}
		groups[i] = append(groups[i], u)
	}
	return groups
}

// oneCheck compares one substance, under all the names it goes by, with a row.
func (run *limitRun) oneCheck(row *law.Limit, same []*limitUse, day ingredients.Date) LimitCheck {
	c := LimitCheck{Row: row, Substances: namesOf(same), Verdict: LimitNotApplicable, shape: checkShape{kind: checkNone, uses: same}}
	var terms []term
	var ruling answer
	var missing []string
	for _, u := range same {
		a := u.judge(row, run, day)
		if a.Verdict == law.DoesNot {
			c.Reason = a.why
			continue
		}
		if len(terms) == 0 {
			ruling, c.shape.doubt = a, a.doubt
			c.shape.doubtful(u, row)
		}
		terms = append(terms, run.termOf(row, u, a.Verdict == law.Holds))
		missing = union(missing, a.Missing)
	}
	if len(terms) == 0 {
		run.show(&c, same)
		return c
	}
	c.Reason = ""
	if entry := run.traceEntry(row, terms[0].u, day); entry != "" {
		c.Reason = "a trace, which entry " + entry + " rules"
		run.show(&c, same)
		return c
	}
	if row.Prohibited() {
		return run.prohibit(c, terms, ruling)
	}
	return run.compare(c, terms, missing, row.MaxPct, false)
}

// traceEntry names the entry that a prohibition leaves traces to, where the use
// is one and that entry is in force for it.
func (run *limitRun) traceEntry(row *law.Limit, u *limitUse, day ingredients.Date) string {
	if row.Traces == "" || !row.Prohibited() || !u.isTrace() {
		return ""
	}
	for _, m := range u.matches {
		if entryOf(m.row) == row.Traces && run.inForce(m.row, day) {
			return row.Traces
		}
	}
	return ""
}

// show fills in the content of a row that does not apply.
func (run *limitRun) show(c *LimitCheck, uses []*limitUse) {
	var terms []term
	for _, u := range uses {
		terms = append(terms, run.termOf(c.Row, u, true))
	}
	mix, counted := run.worst(terms, false)
	run.fill(c, terms, mix, counted, c.Row.MaxPct)
	c.HighestPct, c.Room = nil, nil
}

func (u *limitUse) name() string {
	if u.s.Nano {
		return u.s.INCI + " (nano)"
	}
	return u.s.INCI
}

func (run *limitRun) termOf(row *law.Limit, u *limitUse, sure bool) term {
	f, remark, whole := run.matcher.factor(row, u.s.INCI)
	return term{u: u, factor: f, remark: remark, whole: whole, sure: sure, own: true}
}

// sumTerms gathers what counts for a row with a sum: its own substances and
// those of the rows that its rule adds. missing are the facts that would decide
// the terms in doubt.
func (run *limitRun) sumTerms(row *law.Limit, own []*limitUse, day ingredients.Date) (terms []term, missing []string, why string) {
	seen := map[*limitUse]bool{}
	take := func(r *law.Limit, u *limitUse, isOwn bool) {
		a := u.judge(r, run, day)
		if a.Verdict == law.DoesNot {
			if isOwn {
				why = a.why
			}
			return
		}
		if seen[u] {
			return
		}
		seen[u] = true
		t := run.termOf(r, u, a.Verdict == law.Holds)
		t.own = isOwn
		terms = append(terms, t)
		missing = union(missing, a.Missing)
	}
	for _, u := range own {
		take(row, u, true)
	}
	if !slices.ContainsFunc(terms, func(t term) bool { return t.own }) {
		return nil, nil, why
	}
	for _, r := range run.matcher.sumRows(row, run.in.Market, day) {
		if r == row {
			continue
		}
		for _, u := range run.uses {
			if u.match(r) != nil {
				take(r, u, false)
			}
		}
	}
	return terms, missing, ""
}

// sumCheck compares the sum of several substances with a row.
func (run *limitRun) sumCheck(row *law.Limit, uses []*limitUse, day ingredients.Date) LimitCheck {
	c := LimitCheck{Row: row, Verdict: LimitNotApplicable, shape: checkShape{kind: checkNone, uses: uses}}
	terms, missing, why := run.sumTerms(row, uses, day)
	if terms == nil {
		c.Substances, c.Reason = namesOf(uses), why
		run.show(&c, uses)
		return c
	}
	c.shape.uses = nil
	for _, t := range terms {
		c.Substances = append(c.Substances, t.u.name())
		c.shape.uses = append(c.shape.uses, t.u)
		if m := t.u.match(row); m != nil && m.doubt != "" {
			c.shape.doubt = m.doubt
			c.shape.doubtful(t.u, row)
		}
	}
	if row.Sum.Kind == law.SumLabel {
		return run.compare(c, terms, missing, nil, false)
	}
	limit := row.Sum.LimitPct
	if row.MaxPct != nil && limit != nil && row.MaxPct.Less(*limit) {
		// a part of the sum has a lower limit of its own
		part := run.compare(c, ownTerms(terms), missing, row.MaxPct, false)
		if part.Verdict != LimitKept {
			return part
		}
		whole := run.compare(c, terms, missing, limit, row.Sum.Strict)
		if whole.Verdict != LimitKept {
			return whole
		}
		return part
	}
	return run.compare(c, terms, missing, limit, row.Sum.Strict)
}

func ownTerms(terms []term) []term {
	var own []term
	for _, t := range terms {
		if t.own {
			own = append(own, t)
		}
	}
	return own
}

func namesOf(uses []*limitUse) []string {
	var names []string
	for _, u := range uses {
		names = append(names, u.name())
	}
	return names
}

// compare settles the verdict of a row with or without a figure.
func (run *limitRun) compare(c LimitCheck, terms []term, missing []string, limit *ingredients.Num, strict bool) LimitCheck {
	open := slices.ContainsFunc(terms, func(t term) bool { return !t.sure })
	mix, counted := run.worst(terms, false)
	run.fill(&c, terms, mix, counted, limit)
	if limit == nil {
		c.Verdict = LimitNoFigure
		c.Reason = "it applies and sets no figure"
		if open {
			c.Verdict, c.Missing = LimitUndecided, missingWords(missing)
			c.shape.state, c.shape.missing = "no-figure", missing
			c.Reason = "it sets no figure; whether it applies depends on " + joinAnd(c.Missing)
		}
		c.Reason = run.remarks(c, terms)
		return c
	}
	c.shape.kind = checkFigure
	if kind := c.Row.Basis.Kind; kind != law.BasisSubstance {
		return run.residue(c, terms, kind, *limit)
	}
	over := func(r ingredients.Range) bool { return limit.Less(r.Max) || strict && !r.Max.Less(*limit) }
	sureMix, sure := run.worst(terms, true)
	switch {
	case over(sure) && slices.ContainsFunc(sureTerms(terms), func(t term) bool { return t.own }):
		run.fill(&c, sureTerms(terms), sureMix, sure, limit)
		c.Verdict = LimitExceeded
		c.Reason = "more than " + limitText(c.Row, *limit, strict) + " in " + placeName(c.WorstIn)
	case over(counted):
		if slices.ContainsFunc(terms, func(t term) bool { return t.whole }) {
			missing = union(missing, []string{missingFactor})
		}
		c.Verdict, c.Missing = LimitUndecided, missingWords(missing)
		c.shape.state, c.shape.missing = "if-it-counts", missing
		c.Reason = "more than " + limitText(c.Row, *limit, strict) + " if all of it counts, which depends on " + joinAnd(c.Missing)
	case open:
		c.Verdict, c.shape.either = LimitKept, true
		c.Reason = "kept either way: at most " + limitText(c.Row, *limit, strict) + " even if it applies"
	default:
		c.Verdict = LimitKept
		c.Reason = "not more than " + limitText(c.Row, *limit, strict)
		if strict {
			c.Reason = "below " + limit.Exact() + " %"
		}
	}
	c.Reason = run.remarks(c, terms)
	return c
}

func sureTerms(terms []term) []term {
	var out []term
	for _, t := range terms {
		if t.sure && !t.whole {
			out = append(out, t)
		}
	}
	return out
}

func limitText(row *law.Limit, limit ingredients.Num, strict bool) string {
	text := limit.Exact() + " %"
	if strict {
		text = "just below " + text
	}
	if row.Basis.Text != "" {
		text += " " + row.Basis.Text
	}
	return text
}

// remarks adds to a reason what a reader must know of the row and its matches.
func (run *limitRun) remarks(c LimitCheck, terms []term) string {
	parts := []string{c.Reason}
	for _, t := range terms {
		if t.remark != "" {
			parts = append(parts, t.remark)
		}
	}
	if c.shape.doubt != "" {
		parts = append(parts, c.shape.doubt)
	}
	if c.Row.Class != law.NoClass {
		parts = append(parts, "the entry is a class and wider than the names listed")
	}
	if only := c.Row.OnlyForm; only != "" {
		parts = append(parts, "the row is for nothing but "+only)
	}
	if c.Row.Own {
		parts = append([]string{"your own rule"}, parts...)
	}
	return strings.Join(parts, "; ")
}

// residue settles rows whose limit does not count the substance itself.
func (run *limitRun) residue(c LimitCheck, terms []term, kind law.BasisKind, limit ingredients.Num) LimitCheck {
	c.shape.kind = checkResidue
	c.HighestPct, c.Room = nil, nil
	if kind != law.BasisShare && !limit.Less(c.Content.Max) {
		c.Verdict = LimitKept
		c.Reason = "all of it is not more than " + limit.Exact() + " %, so the part that counts (" + c.Row.Basis.Text + ") is not either"
		c.Reason = run.remarks(c, terms)
		return c
	}
	c.Verdict = LimitUndecided
	switch kind {
	case law.BasisMixture:
		c.Missing = []string{"how it is mixed for use"}
		c.shape.state = "mixed"
		c.Reason = "the limit of " + limit.Exact() + " % counts the mixture the user makes; as sold it is more"
	default:
		c.Missing = []string{"the content that counts: " + c.Row.Basis.Text}
		c.shape.state = "part"
		c.Reason = "the limit of " + limit.Exact() + " % counts not the substance but its " + strings.TrimPrefix(c.Row.Basis.Text, "as ")
	}
	c.Reason = run.remarks(c, terms)
	return c
}

// prohibit settles rows that allow nothing.
func (run *limitRun) prohibit(c LimitCheck, terms []term, a answer) LimitCheck {
	u := terms[0].u
	mix, counted := run.worst(terms, false)
	run.fill(&c, terms, mix, counted, c.Row.MaxPct)
	c.shape.kind = checkProhibited
	c.shape.traces, c.shape.certain, c.shape.open = u.isTrace(), u.isCertain(), a.Verdict == law.Undecided
	switch {
	case a.Verdict == law.Undecided:
		c.Verdict, c.Missing = LimitUndecided, missingWords(a.Missing)
		c.shape.state, c.shape.missing = "not-permitted", a.Missing
		c.Reason = "not permitted " + conditionWords(c.Row.Condition) + "; whether that applies depends on " + joinAnd(c.Missing)
	case c.shape.traces:
		c.Verdict, c.Missing = LimitUndecided, []string{"whether the trace can be avoided"}
		c.Reason = "not permitted, and present as a trace only: Article 17 allows small traces that cannot be avoided in good practice, if the product stays safe"
	case c.shape.certain:
		c.Verdict = LimitExceeded
		c.Reason = "not permitted " + conditionWords(c.Row.Condition)
	default:
		c.Verdict, c.Missing = LimitUndecided, []string{"whether it is in the material at all"}
		c.Reason = "not permitted " + conditionWords(c.Row.Condition) + "; its range begins at 0, so it may not be there"
	}
	c.Reason = run.remarks(c, terms)
	return c
}

// doubtful notes the number that contradicts the name of a substance.
func (s *checkShape) doubtful(u *limitUse, row *law.Limit) {
	if m := u.match(row); m != nil && len(m.standsFor) > 0 {
		s.cas, s.standsFor = u.s.CAS, m.standsFor
	}
}

// isCertain says whether the substance is in the product, other than as a trace,
// whatever the ranges.
func (u *limitUse) isCertain() bool {
	for _, s := range u.perComp {
		if s == nil {
			continue
		}
		for _, k := range s.Contributions {
			if k.Route != ByImpurity && (k.Pct.Min.Sign() > 0 || k.present) {
				return true
			}
		}
	}
	return false
}
