package otherlaw

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/calc/limits"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// verdict says how a product stands against a rule outside Annexes II to VI.
type verdict string

// The verdicts on other law, opinions and proposals.
const (
	otherKept     verdict = "kept"
	otherExceeded verdict = "exceeded"
	otherOpen     verdict = "open"    // what the papers say does not settle it
	otherApplies  verdict = "applies" // it sets no figure
)

// Check is one rule outside the annexes that was considered for a product.
type Check struct {
	Rule      *annex.OtherRule
	Substance string
	Content   exact.Range // % w/w of the mixture where it is highest, on the rule's basis
	WorstIn   string      // that portion; "" for the whole
	Verdict   verdict
	Coming    bool // law that begins after the day
}

// rules are those outside the annexes, beside the run of the annexes.
type rules struct{ *limits.Run }

// Against compares the product with the rules outside the annexes: other law
// that binds the market, opinions that are not law, classifications proposed, and
// synthetic polymer particles.
//
//	kept when content ≤ figure; a rule that says "below" is kept when content < figure
//
// An opinion or a proposal never stops anything and never lifts a limit. Law of a
// later day is asked about before it begins.
//
// Units: % w/w of the mixture where the content is highest; impurities count.
// Findings: stop "other-law"; ask "other-law", "other-law-open", "opinion",
// "proposal", "microplastics".
// Source: other-law.csv, polymers.csv.
func Against(limitRun *limits.Run) ([]Check, []finding.Finding) {
	run := rules{limitRun}
	var checks []Check
	var fs []finding.Finding
	for u := range run.Every() {
		found, said := run.otherOf(u)
		checks, fs = append(checks, found...), append(fs, said...)
	}
	return checks, append(fs, run.particles()...)
}

// namedMemory keeps the rules that name a substance, by its name and number.
type namedMemory struct {
	formula.Memo[[2]string, []*annex.OtherRule]
}

// otherOf judges the rules that name one substance.
func (run rules) otherOf(u *limits.LimitUse) (checks []Check, fs []finding.Finding) {
	in := run.In
	named := formula.MemoryOf[namedMemory](in.Session).Of([2]string{u.S.INCI, u.S.CAS}, func() []*annex.OtherRule {
		return in.Law.OtherRulesOf(u.S.INCI, formula.List(u.S.CAS))
	})
	if len(named) == 0 {
		return nil, nil
	}
	opinions := map[string][]*annex.OtherRule{}
	var subjects []string
	for _, o := range named {
		if !o.For(in.Market) || o.InLimits {
			continue
		}
		switch o.Kind {
		case annex.KindOpinion:
			if opinions[o.Subject] == nil {
				subjects = append(subjects, o.Subject)
			}
			opinions[o.Subject] = append(opinions[o.Subject], o)
		case annex.KindProposal:
			if !u.IsTrace() && o.About == annex.AboutSubstance {
				checks = append(checks, run.check(o, u, otherApplies))
				fs = append(fs, run.otherFinding(finding.Ask, "proposal", o, u, finding.With()))
			}
		default:
			c, f, ok := run.otherRule(o, u)
			if !ok {
				continue
			}
			checks = append(checks, c)
			if f != nil {
				fs = append(fs, *f)
			}
		}
	}
	for _, subject := range subjects {
		c, f := run.opinion(opinions[subject], u)
		checks = append(checks, c...)
		if f != nil {
			fs = append(fs, *f)
		}
	}
	return checks, fs
}

func (run rules) check(o *annex.OtherRule, u *limits.LimitUse, v verdict) Check {
	c := Check{Rule: o, Substance: u.Name(), Verdict: v}
	c.Content, c.WorstIn, _ = formula.WorstOf(u.S, run.Comps)
	if factor := run.otherFactor(o, u); factor != nil {
		c.Content = c.Content.Scale(*factor)
	}
	return c
}

// otherFactor converts a content to the basis of a rule by the factor that the
// annexes have for the substance; nil where it counts as it is.
func (run rules) otherFactor(o *annex.OtherRule, u *limits.LimitUse) *exact.Num {
	if o.Basis == "" {
		return nil
	}
	for _, m := range u.Matches {
		if m.Row.Annex == "V" && len(m.Row.Basis.As) > 0 {
			if f, whole := run.FactorOf(m.Row, u.S.INCI); !whole {
				return &f
			}
		}
	}
	return nil
}

// breaks says whether a content breaks the figure of a rule.
func breaks(o *annex.OtherRule, content exact.Num) bool {
	return o.LimitPct.Less(content) || o.Below && o.LimitPct.Equal(content)
}

// otherRule judges one rule of law.
func (run rules) otherRule(o *annex.OtherRule, u *limits.LimitUse) (Check, *finding.Finding, bool) {
	in := run.In
	a := law.Fits(o, in.Type.Key, run.SituationOf(u))
	if a.Verdict == law.DoesNot {
		return Check{}, nil, false
	}
	c := run.check(o, u, otherKept)
	c.Coming = !o.In(in.Market, in.Date)
	say := func(sev finding.Severity, code, form string) *finding.Finding {
		f := run.otherFinding(sev, code, o, u, finding.With().Range("content", c.Content, "%",
			finding.FourDigits)).As(form)
		return &f
	}
	switch {
	case o.About == annex.AboutClassification:
		c.Verdict = otherApplies // law NAME and the pack list it; nothing follows for the product
		return c, nil, true
	case o.About == annex.AboutMixture:
		c.Verdict = otherOpen
		return c, say(finding.Ask, "other-law-open", "mixture"), true
	case o.About != annex.AboutSubstance || o.LimitPct == nil:
		return c, nil, false
	case !breaks(o, c.Content.Max):
		return c, nil, true
	case !breaks(o, c.Content.Min) || a.Verdict == law.Undecided:
		c.Verdict = otherOpen
		return c, say(finding.Ask, "other-law-open", when(c.Coming, "coming", "")), true
	}
	c.Verdict = otherExceeded
	if c.Coming {
		return c, say(finding.Ask, "other-law", "coming"), true
	}
	return c, say(finding.Stop, "other-law", ""), true
}

func when(is bool, then, otherwise string) string {
	if is {
		return then
	}
	return otherwise
}

// opinion judges the figures that one opinion gives for one substance: those for
// products of this kind, or that there is none.
func (run rules) opinion(rows []*annex.OtherRule, u *limits.LimitUse) (checks []Check, f *finding.Finding) {
	in := run.In
	if u.IsTrace() && rows[0].About != annex.AboutImpurity {
		return nil, nil
	}
	say := func(o *annex.OtherRule, form string, c Check) {
		values := finding.With().Range("content", c.Content, "%", finding.FourDigits)
		if form == "not-in" {
			values = values.Name("form", o.NotIn)
		}
		said := run.otherFinding(finding.Ask, "opinion", o, u, values).As(form)
		f = &said
	}
	fits := false
	for _, o := range rows {
		if law.Fits(o, in.Type.Key, run.SituationOf(u)).Verdict == law.DoesNot {
			continue
		}
		fits = true
		c := run.check(o, u, otherKept)
		switch {
		case o.LimitPct == nil:
			c.Verdict = otherApplies
			say(o, "no-level", c)
		case breaks(o, c.Content.Max):
			c.Verdict = otherExceeded
			say(o, "above", c)
		case o.NotIn != "" && run.ComesAs(o.NotIn):
			c.Verdict = otherOpen
			say(o, "not-in", c)
		case o.AdultsOnly && in.Product.IntendedFor != formula.Adults:
			c.Verdict = otherOpen
			say(o, "adults", c)
		}
		checks = append(checks, c)
	}
	if !fits && rows[0].OthersNotJudged {
		c := run.check(rows[0], u, otherOpen)
		checks = append(checks, c)
		say(rows[0], "not-judged", c)
	}
	return checks, f
}

// otherFinding says what a rule has to do with a substance.
func (run rules) otherFinding(sev finding.Severity, code string, o *annex.OtherRule, u *limits.LimitUse,
	values finding.Values) finding.Finding {
	values = values.Source("rule", run.ruleSource(o))
	isOther := code == "other-law" || code == "other-law-open"
	if isOther {
		values = values.Name("area", o.Area)
	}
	if o.LimitPct != nil && (code != "microplastics" || !o.LimitPct.IsZero()) {
		values = values.Figure("limit", o.Limit, o.Unit).Flag(o.Below && isOther, "strictly")
	}
	values = values.Quote("basis", o.Basis)
	cause := o.Kind + "/" + o.About
	if !o.In(run.In.Market, run.In.Date) { // law that has not begun
		values = values.Day("from", o.From)
		cause += "/" + o.From.String() // what holds in another market already is another cause
	}
	worst, _, from := formula.WorstOf(u.S, run.Comps)
	f := finding.NewFinding(sev, code, limits.PosOf(limits.LimitCheck{Contributions: from}), values).
		On(u.Name()).By(finding.TheAssessor)
	if isOther {
		f = f.By(finding.TheMaker)
	}
	f.Sum, f.Grade, f.Cause = run.In.TermsOf(from), &worst.Max, cause
	return f
}

// ruleSource says what a finding rests on: the act or opinion, its market and day.
func (run rules) ruleSource(o *annex.OtherRule) finding.Values {
	v := formula.With().Quote("source", o.Source).Names("markets", formula.MarketNames(o.Markets))
	if o.Kind == annex.KindLaw {
		v = v.Day("from", o.From)
	}
	if o.FromMemory() || o.LimitPct != nil && !o.FigureSeen {
		v = v.Term("unverified", "unverified", nil)
	}
	for _, remark := range o.Remarks() {
		v = v.Quote("remark", remark)
	}
	return finding.Values{{Kind: finding.KindTerm, Text: "other-rule", List: v}}
}

// comingForms are the forms of a finding about a rule on particles that is not yet in force.
var comingForms = map[string]string{
	annex.AboutBeads: "beads-coming", annex.AboutParticles: "particles-coming", annex.AboutCapsules: "capsules-coming",
	annex.AboutGlitter: "glitter-coming", annex.AboutLabel: "label-coming",
}

// particles asks about synthetic polymers that are bought as solid particles: the
// Name of a polymer does not say what it is bought as.
func (run rules) particles() []finding.Finding {
	in := run.In
	var fs []finding.Finding
	for u := range run.Every() {
		p := in.Law.PolymerOf(u.S.INCI)
		if p == nil || u.IsTrace() {
			continue
		}
		for _, o := range in.Law.OtherRules() {
			if !o.For(in.Market) || !run.aboutParticle(o, p, u) || law.Fits(o, in.Type.Key, run.SituationOf(u)).
				Verdict == law.DoesNot {
				continue
			}
			form, sev := string(o.About), finding.Ask
			coming := !o.In(in.Market, in.Date)
			if (o.About == annex.AboutBeads || o.About == annex.AboutParticles) && run.scrubs(u) && !coming {
				form, sev = "scrub", finding.Stop
			}
			if coming {
				form = comingForms[o.About]
			}
			fs = append(fs, run.otherFinding(sev, "microplastics", o, u, finding.With()).As(form))
			if sev == finding.Stop {
				break
			}
		}
	}
	return fs
}

// aboutParticle says whether a rule on particles may be about a polymer.
func (run rules) aboutParticle(o *annex.OtherRule, p *trade.Polymer, u *limits.LimitUse) bool {
	switch o.About {
	case annex.AboutBeads:
		return p.Kind == trade.PolymerBead || run.scrubs(u)
	case annex.AboutCapsules:
		return p.Kind == trade.PolymerCapsule
	case annex.AboutGlitter:
		return p.Kind == trade.PolymerGlitter
	case annex.AboutParticles, annex.AboutLabel:
		return p.Kind != trade.PolymerCapsule
	}
	return false
}

// scrubs says whether a sheet that brings the substance calls it an abrasive.
func (run rules) scrubs(u *limits.LimitUse) bool {
	for _, k := range u.S.Contributions {
		if s := run.In.Sheets[k.Ingredient]; s != nil &&
			slices.ContainsFunc(s.Functions, run.In.Law.Words(rows.WordsScrubbing).In) {
			return true
		}
	}
	return false
}
