package limits

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/ingredients/exact"
)

// Checks judges every row in force on a day that names a substance of the
// product, in the order of the table.
func (run *Run) Checks(day exact.Date) []LimitCheck {
	checks := make([]LimitCheck, 0, len(run.named))
	all := make([]*LimitUse, len(run.named))
	for i, n := range run.named {
		all[i] = n.u
	}
	for from, to := 0, 0; from < len(run.named); from = to {
		for to = from + 1; to < len(run.named) && run.named[to].place == run.named[from].place; to++ {
		}
		if row := run.named[from].match.Row; run.inForce(row, day) {
			checks = run.rowChecks(checks, row, all[from:to:to], day)
		}
	}
	for i := range checks {
		checks[i].Shape.label = run.label(&checks[i])
	}
	return checks
}

// judgeRow applies the sum rule of a row: one check for all substances, or one
// for each. They are added to checks.
func (run *Run) judgeRow(checks []LimitCheck, row *annex.Limit, uses []*LimitUse, day exact.Date) []LimitCheck {
	switch row.Sum.Kind {
	case annex.SumAll, annex.SumLabel:
		return append(checks, run.sumCheck(row, uses, day))
	case annex.SumExclusive:
		return append(checks, run.exclusiveCheck(row, uses, day))
	}
	if row.Annex == "IV" && !row.Prohibited() {
		for i := range uses {
			checks = append(checks, run.colourCheck(row, uses[i:i+1:i+1], day))
		}
		return checks
	}
	if len(uses) == 1 {
		return append(checks, run.oneCheck(row, uses, day))
	}
	for _, same := range byNumber(uses) {
		checks = append(checks, run.oneCheck(row, same, day))
	}
	return checks
}

// byNumber puts uses with the same CAS number together: one substance that the
// sheets call by several names. A nano form stays apart.
func byNumber(uses []*LimitUse) [][]*LimitUse {
	var groups [][]*LimitUse
	for _, u := range uses {
		i := slices.IndexFunc(groups, func(g []*LimitUse) bool {
			return u.S.CAS != "" && g[0].S.CAS == u.S.CAS && g[0].S.Nano == u.S.Nano && g[0].IsTrace() == u.IsTrace()
		})
		if i < 0 {
			groups = append(groups, []*LimitUse{u})
			continue
		}
		groups[i] = append(groups[i], u)
	}
	return groups
}

// oneCheck compares one substance, under all the names it goes by, with a row.
func (run *Run) oneCheck(row *annex.Limit, same []*LimitUse, day exact.Date) LimitCheck {
	c := LimitCheck{Row: row, Substances: NamesOf(same), Verdict: LimitNotApplicable,
		Shape: checkShape{Kind: checkNone, Uses: same}}
	terms := room(&run.terms, len(same))[:0]
	var ruling answer
	var missing []string
	for _, u := range same {
		a := u.judge(row, run, day)
		if a.Verdict == law.DoesNot {
			c.Reason = a.why
			continue
		}
		// of one substance under two names, that which is sure to be prohibited speaks
		if len(terms) == 0 || row.Prohibited() && a.Verdict == law.Holds && ruling.Verdict != law.Holds {
			ruling, c.Shape.Doubt = a, a.doubt
			c.Shape.doubtful(u, row)
		}
		terms = append(terms, run.termOf(row, u, a.Verdict == law.Holds))
		missing = Union(missing, a.Missing)
	}
	if len(terms) == 0 {
		run.show(&c, same)
		return c
	}
	if entry := run.TraceEntry(row, terms[0].U, day); entry != "" {
		c.Reason = "a trace, which entry " + entry + " rules"
		run.show(&c, same)
		return c
	}
	if row.Prohibited() {
		return run.prohibit(c, terms, ruling)
	}
	return run.Compare(c, terms, missing, row.MaxPct, false)
}

// TraceEntry names the entry that a prohibition leaves traces to, where the use
// is one and that entry is in force for it.
func (run *Run) TraceEntry(row *annex.Limit, u *LimitUse, day exact.Date) string {
	if row.Traces == "" || !row.Prohibited() || !u.IsTrace() {
		return ""
	}
	for _, m := range u.Matches {
		if formula.EntryOf(m.Row) == row.Traces && run.inForce(m.Row, day) {
			return row.Traces
		}
	}
	return ""
}

// show fills in the content of a row that does not apply.
func (run *Run) show(c *LimitCheck, uses []*LimitUse) {
	terms := room(&run.terms, len(uses))[:0]
	for _, u := range uses {
		terms = append(terms, run.termOf(c.Row, u, true))
	}
	mix, counted := run.Worst(terms, false)
	run.fill(c, terms, mix, counted, c.Row.MaxPct)
	c.HighestPct = nil
}

func (run *Run) termOf(row *annex.Limit, u *LimitUse, sure bool) Term {
	f, remark, whole := run.Matcher.factor(row, u.S.INCI)
	return Term{U: u, Factor: f, remark: remark, whole: whole, Sure: sure, Own: true}
}

// sumTerms gathers what counts for a row with a sum: its own substances and
// those of the rows that its rule adds. missing are the facts that would decide
// the terms in doubt.
func (run *Run) sumTerms(row *annex.Limit, own []*LimitUse,
	day exact.Date) (terms []Term, missing []string, why string) {
	seen := func(u *LimitUse) bool { return slices.ContainsFunc(terms, func(t Term) bool { return t.U == u }) }
	take := func(r *annex.Limit, u *LimitUse, isOwn bool) {
		a := u.judge(r, run, day)
		if a.Verdict == law.DoesNot {
			if isOwn {
				why = a.why
			}
			return
		}
		if seen(u) {
			return
		}
		t := run.termOf(r, u, a.Verdict == law.Holds)
		t.Own = isOwn
		terms = append(terms, t)
		missing = Union(missing, a.Missing)
	}
	for _, u := range own {
		take(row, u, true)
	}
	if !slices.ContainsFunc(terms, func(t Term) bool { return t.Own }) {
		return nil, nil, why
	}
	for _, r := range run.Matcher.sumRows(row, run.In.Market, day) {
		if r == row {
			continue
		}
		for _, n := range run.usesOf(r) {
			take(r, n.u, false)
		}
	}
	return terms, missing, ""
}

// sumCheck compares the sum of several substances with a row.
func (run *Run) sumCheck(row *annex.Limit, uses []*LimitUse, day exact.Date) LimitCheck {
	c := LimitCheck{Row: row, Verdict: LimitNotApplicable, Shape: checkShape{Kind: checkNone, Uses: uses}}
	terms, missing, why := run.sumTerms(row, uses, day)
	if terms == nil {
		c.Substances, c.Reason = NamesOf(uses), why
		run.show(&c, uses)
		return c
	}
	c.Shape.Uses = nil
	for _, t := range terms {
		c.Substances = append(c.Substances, t.U.Name())
		c.Shape.Uses = append(c.Shape.Uses, t.U)
		if m := t.U.match(row); m != nil && m.doubt != "" {
			c.Shape.Doubt = m.doubt
			c.Shape.doubtful(t.U, row)
		}
	}
	if row.Sum.Kind == annex.SumLabel {
		return run.Compare(c, terms, missing, nil, false)
	}
	limit := row.Sum.LimitPct
	if row.MaxPct != nil && limit != nil && row.MaxPct.Less(*limit) {
		// a part of the sum has a lower limit of its own
		part := run.Compare(c, ownTerms(terms), missing, row.MaxPct, false)
		if part.Verdict != LimitKept {
			return part
		}
		whole := run.Compare(c, terms, missing, limit, row.Sum.Strict)
		if whole.Verdict != LimitKept {
			return whole
		}
		return part
	}
	return run.Compare(c, terms, missing, limit, row.Sum.Strict)
}

func ownTerms(terms []Term) []Term {
	var own []Term
	for _, t := range terms {
		if t.Own {
			own = append(own, t)
		}
	}
	return own
}

func NamesOf(uses []*LimitUse) (names []string) {
	if len(uses) == 1 {
		return uses[0].names
	}
	for _, u := range uses {
		names = append(names, u.Name())
	}
	return names
}

// Compare settles the verdict of a row with or without a figure.
func (run *Run) Compare(c LimitCheck, terms []Term, missing []string, limit *exact.Num,
	strict bool) LimitCheck {
	open := slices.ContainsFunc(terms, func(t Term) bool { return !t.Sure })
	mix, counted := run.Worst(terms, false)
	run.fill(&c, terms, mix, counted, limit)
	if limit == nil {
		c.Verdict = LimitNoFigure
		c.Reason = "it applies and sets no figure"
		if open {
			c.Verdict, c.Missing = LimitUndecided, missingWords(missing)
			c.Shape.state, c.Shape.missing = "no-figure", missing
			c.Reason = "it sets no figure; whether it applies depends on " + formula.JoinAnd(c.Missing)
		}
		c.Reason = run.remarks(c, terms)
		return c
	}
	c.Shape.Kind = CheckFigure
	if kind := c.Row.Basis.Kind; kind != annex.BasisSubstance {
		return run.residue(c, terms, kind, *limit)
	}
	over := func(r exact.Range) bool { return limit.Less(r.Max) || strict && !r.Max.Less(*limit) }
	sureMix, sure := run.Worst(terms, true)
	switch {
	case over(sure) && slices.ContainsFunc(sureTerms(terms), func(t Term) bool { return t.Own }):
		run.fill(&c, sureTerms(terms), sureMix, sure, limit)
		c.Verdict = LimitExceeded
		c.Reason = "more than " + limitText(c.Row, *limit, strict) + " in " + formula.PlaceName(c.WorstIn)
	case over(counted):
		if slices.ContainsFunc(terms, func(t Term) bool { return t.whole }) {
			missing = Union(missing, []string{missingFactor})
		}
		c.Verdict, c.Missing = LimitUndecided, missingWords(missing)
		c.Shape.state, c.Shape.missing = "if-it-counts", missing
		c.Reason = "more than " + limitText(c.Row, *limit, strict) + " if all of it counts, which depends on " +
			formula.JoinAnd(c.Missing)
	case open:
		c.Verdict, c.Shape.either = LimitKept, true
		c.Reason = "kept either way: at most " + limitText(c.Row, *limit, strict) + " even if it applies"
	default:
		c.Verdict, c.Reason = LimitKept, run.Matcher.keptWords(c.Row, limit, strict)
	}
	c.Reason = run.remarks(c, terms)
	return c
}

func sureTerms(terms []Term) []Term {
	var out []Term
	for _, t := range terms {
		if t.Sure && !t.whole {
			out = append(out, t)
		}
	}
	return out
}

// keptWords says that a limit is kept, made once for each row.
func (m *matcher) keptWords(row *annex.Limit, limit *exact.Num, strict bool) string {
	return m.words().kept.Of(keptKey{row, *limit, strict}, func() string {
		if strict {
			return "below " + limit.Exact() + " %"
		}
		return "not more than " + limitText(row, *limit, strict)
	})
}

func limitText(row *annex.Limit, limit exact.Num, strict bool) string {
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
func (run *Run) remarks(c LimitCheck, terms []Term) string {
	if c.Shape.Doubt == "" && c.Row.Class == annex.NoClass && c.Row.OnlyForm == "" && !c.Row.Own &&
		!slices.ContainsFunc(terms, func(t Term) bool { return t.remark != "" }) {
		return c.Reason
	}
	parts := []string{c.Reason}
	for _, t := range terms {
		if t.remark != "" {
			parts = append(parts, t.remark)
		}
	}
	if c.Shape.Doubt != "" {
		parts = append(parts, c.Shape.Doubt)
	}
	if c.Row.Class != annex.NoClass {
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
func (run *Run) residue(c LimitCheck, terms []Term, kind annex.BasisKind, limit exact.Num) LimitCheck {
	c.Shape.Kind = checkResidue
	c.HighestPct = nil
	if kind != annex.BasisShare && !limit.Less(c.Content.Max) {
		c.Verdict = LimitKept
		c.Reason = "all of it is not more than " + limit.Exact() + " %, so the part that counts (" +
			c.Row.Basis.Text + ") is not either"
		c.Reason = run.remarks(c, terms)
		return c
	}
	c.Verdict = LimitUndecided
	switch kind {
	case annex.BasisMixture:
		c.Missing = []string{"how it is mixed for use"}
		c.Shape.state = "mixed"
		c.Reason = "the limit of " + limit.Exact() + " % counts the mixture the user makes; as sold it is more"
	default:
		c.Missing = []string{"the content that counts: " + c.Row.Basis.Text}
		c.Shape.state = "part"
		c.Reason = "the limit of " + limit.Exact() + " % counts not the substance but its " +
			strings.TrimPrefix(c.Row.Basis.Text, "as ")
	}
	c.Reason = run.remarks(c, terms)
	return c
}

// prohibit settles rows that allow nothing.
func (run *Run) prohibit(c LimitCheck, terms []Term, a answer) LimitCheck {
	mix, counted := run.Worst(terms, false)
	run.fill(&c, terms, mix, counted, c.Row.MaxPct)
	c.Shape.Kind = CheckProhibited
	c.Shape.traces, c.Shape.open = terms[0].U.IsTrace(), a.Verdict == law.Undecided
	c.Shape.Certain = slices.ContainsFunc(terms, func(t Term) bool {
		return (t.Sure || c.Shape.open) && t.U.isCertain()
	})
	switch {
	case a.Verdict == law.Undecided:
		c.Verdict, c.Missing = LimitUndecided, missingWords(a.Missing)
		c.Shape.state, c.Shape.missing = "not-permitted", a.Missing
		c.Reason = "not permitted " + run.Matcher.where(c.Row) + "; whether that applies depends on " +
			formula.JoinAnd(c.Missing)
	case c.Shape.traces:
		c.Verdict, c.Missing = LimitUndecided, []string{"whether the trace can be avoided"}
		c.Reason = "not permitted, and present as a trace only: Article 17 allows small traces that cannot be avoided in good practice, if the product stays safe"
	case c.Shape.Certain:
		c.Verdict = LimitExceeded
		c.Reason = "not permitted " + run.Matcher.where(c.Row)
	default:
		c.Verdict, c.Missing = LimitUndecided, []string{"whether it is in the material at all"}
		c.Reason = "not permitted " + run.Matcher.where(c.Row) +
			"; its range begins at 0, so it may not be there"
	}
	c.Reason = run.remarks(c, terms)
	return c
}

// doubtful notes the number that contradicts the name of a substance.
func (s *checkShape) doubtful(u *LimitUse, row *annex.Limit) {
	if m := u.match(row); m != nil && len(m.standsFor) > 0 {
		s.cas, s.standsFor = u.S.CAS, m.standsFor
	}
}

// isCertain says whether the substance is in the product, other than as a trace,
// whatever the ranges.
func (u *LimitUse) isCertain() bool {
	for _, s := range u.PerComp {
		if s == nil {
			continue
		}
		for _, k := range s.Contributions {
			if k.Route != formula.ByImpurity && (k.Pct.Min.Sign() > 0 || k.Present) {
				return true
			}
		}
	}
	return false
}
