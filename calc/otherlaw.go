package calc

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// OtherVerdict says how a product stands against a rule outside Annexes II to VI.
type OtherVerdict string

// The verdicts on other law, opinions and proposals.
const (
	OtherKept     OtherVerdict = "kept"
	OtherExceeded OtherVerdict = "exceeded"
	OtherOpen     OtherVerdict = "open"    // what the papers say does not settle it
	OtherApplies  OtherVerdict = "applies" // it sets no figure
)

// OtherCheck is one rule outside the annexes that was considered for a product.
type OtherCheck struct {
	Rule      *law.OtherRule
	Substance string
	Content   ingredients.Range // % w/w of the mixture where it is highest, on the rule's basis
	WorstIn   string            // that portion; "" for the whole
	Verdict   OtherVerdict
	Coming    bool // law that begins after the day
}

// otherLaw compares the product with the rules outside the annexes: other law
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
// "proposal", "microplastics"; note "classification".
// Source: other-law.csv, polymers.csv.
func (run *limitRun) otherLaw() ([]OtherCheck, []ingredients.Finding) {
	var checks []OtherCheck
	var fs []ingredients.Finding
	for _, u := range slices.Concat(run.uses, run.others) {
		found, said := run.otherOf(u)
		checks, fs = append(checks, found...), append(fs, said...)
	}
	return checks, append(fs, run.particles()...)
}

// otherOf judges the rules that name one substance.
func (run *limitRun) otherOf(u *limitUse) (checks []OtherCheck, fs []ingredients.Finding) {
	in := run.in
	opinions := map[string][]*law.OtherRule{}
	var subjects []string
	for _, o := range in.Law.OtherRulesOf(u.s.INCI, list(u.s.CAS)) {
		if !o.For(in.Market) || o.InLimits {
			continue
		}
		switch o.Kind {
		case law.KindOpinion:
			if opinions[o.Subject] == nil {
				subjects = append(subjects, o.Subject)
			}
			opinions[o.Subject] = append(opinions[o.Subject], o)
		case law.KindProposal:
			if !u.isTrace() && o.About == law.AboutSubstance {
				checks = append(checks, run.otherCheck(o, u, OtherApplies))
				fs = append(fs, run.otherFinding(ingredients.Ask, "proposal", o, u, ingredients.With()))
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

func (run *limitRun) situationOf(u *limitUse) law.Situation {
	s := useSituation(run.in, run.base, u.s)
	s.Functions, s.FunctionsKnown = u.roles.all, u.roles.known
	return s
}

func (run *limitRun) otherCheck(o *law.OtherRule, u *limitUse, v OtherVerdict) OtherCheck {
	c := OtherCheck{Rule: o, Substance: u.name(), Verdict: v}
	c.Content, c.WorstIn, _ = worstOf(u.s, run.comps)
	if factor := run.otherFactor(o, u); factor != nil {
		c.Content = c.Content.Scale(*factor)
	}
	return c
}

// otherFactor converts a content to the basis of a rule by the factor that the
// annexes have for the substance; nil where it counts as it is.
func (run *limitRun) otherFactor(o *law.OtherRule, u *limitUse) *ingredients.Num {
	if o.Basis == "" {
		return nil
	}
	for _, m := range u.matches {
		if m.row.Annex == "V" && len(m.row.Basis.As) > 0 {
			if f, _, whole := run.matcher.factor(m.row, u.s.INCI); !whole {
				return &f
			}
		}
	}
	return nil
}

// breaks says whether a content breaks the figure of a rule.
func breaks(o *law.OtherRule, content ingredients.Num) bool {
	return o.LimitPct.Less(content) || o.Below && o.LimitPct.Equal(content)
}

// otherRule judges one rule of law.
func (run *limitRun) otherRule(o *law.OtherRule, u *limitUse) (OtherCheck, *ingredients.Finding, bool) {
	in := run.in
	a := o.Fits(in.Type.Key, run.situationOf(u))
	if a.Verdict == law.DoesNot {
		return OtherCheck{}, nil, false
	}
	c := run.otherCheck(o, u, OtherKept)
	c.Coming = !o.In(in.Market, in.Date)
	say := func(sev ingredients.Severity, code, form string) *ingredients.Finding {
		f := run.otherFinding(sev, code, o, u, ingredients.With().Range("content", c.Content, "%", ingredients.FourDigits)).As(form)
		return &f
	}
	switch {
	case o.About == law.AboutClassification:
		c.Verdict = OtherApplies
		return c, say(ingredients.Note, "classification", ""), true
	case o.About == law.AboutMixture:
		c.Verdict = OtherOpen
		return c, say(ingredients.Ask, "other-law-open", "mixture"), true
	case o.About != law.AboutSubstance || o.LimitPct == nil:
		return c, nil, false
	case !breaks(o, c.Content.Max):
		return c, nil, true
	case !breaks(o, c.Content.Min) || a.Verdict == law.Undecided:
		c.Verdict = OtherOpen
		return c, say(ingredients.Ask, "other-law-open", when(c.Coming, "coming", "")), true
	}
	c.Verdict = OtherExceeded
	if c.Coming {
		return c, say(ingredients.Ask, "other-law", "coming"), true
	}
	return c, say(ingredients.Stop, "other-law", ""), true
}

func when(is bool, then, otherwise string) string {
	if is {
		return then
	}
	return otherwise
}

// opinion judges the figures that one opinion gives for one substance: those for
// products of this kind, or that there is none.
func (run *limitRun) opinion(rows []*law.OtherRule, u *limitUse) (checks []OtherCheck, f *ingredients.Finding) {
	in := run.in
	if u.isTrace() && rows[0].About != law.AboutImpurity {
		return nil, nil
	}
	say := func(o *law.OtherRule, form string, c OtherCheck) {
		said := run.otherFinding(ingredients.Ask, "opinion", o, u, ingredients.With().Range("content", c.Content, "%", ingredients.FourDigits)).As(form)
		f = &said
	}
	fits := false
	for _, o := range rows {
		if o.Fits(in.Type.Key, run.situationOf(u)).Verdict == law.DoesNot {
			continue
		}
		fits = true
		c := run.otherCheck(o, u, OtherKept)
		switch {
		case o.LimitPct == nil:
			c.Verdict = OtherApplies
			say(o, "no-level", c)
		case breaks(o, c.Content.Max):
			c.Verdict = OtherExceeded
			say(o, "above", c)
		case o.NotIn != "" && run.comesAs(o.NotIn):
			c.Verdict = OtherOpen
			say(o, "not-in", c)
		case o.AdultsOnly && in.Product.IntendedFor != Adults:
			c.Verdict = OtherOpen
			say(o, "adults", c)
		}
		checks = append(checks, c)
	}
	if !fits && rows[0].OthersNotJudged {
		c := run.otherCheck(rows[0], u, OtherOpen)
		checks = append(checks, c)
		say(rows[0], "not-judged", c)
	}
	return checks, f
}

// comesAs says whether the product is, or may be, a spray or inhaled.
func (run *limitRun) comesAs(what string) bool {
	if what == "inhalable" {
		return run.base.Inhalable != law.No
	}
	return slices.Contains(run.base.Forms, what)
}

// otherFinding says what a rule has to do with a substance.
func (run *limitRun) otherFinding(sev ingredients.Severity, code string, o *law.OtherRule, u *limitUse, values ingredients.Values) ingredients.Finding {
	values = values.Quote("rule", o.Source).Name("area", o.Area)
	if o.LimitPct != nil {
		values = values.Figure("limit", o.Limit, o.Unit)
	}
	values = values.Quote("basis", o.Basis)
	if o.Kind == law.KindLaw && !o.From.IsZero() {
		values = values.Day("from", o.From)
	}
	values = values.Name("form", o.NotIn)
	if o.FromMemory() || o.LimitPct != nil && !o.FigureSeen {
		values = values.Term("unverified", "unverified", nil)
	}
	if o.Note != "" {
		values = values.Quote("remark", o.Note)
	}
	_, _, from := worstOf(u.s, run.comps)
	f := ingredients.NewFinding(sev, code, posOf(LimitCheck{Contributions: from}), values).On(u.name()).By(ingredients.TheAssessor)
	if code == "other-law" || code == "other-law-open" {
		f = f.By(ingredients.TheMaker)
	}
	f.Sum = run.in.termsOf(from)
	return f
}

// particles asks about synthetic polymers that are bought as solid particles: the
// name of a polymer does not say what it is bought as.
func (run *limitRun) particles() []ingredients.Finding {
	in := run.in
	var fs []ingredients.Finding
	for _, u := range slices.Concat(run.uses, run.others) {
		p := in.Law.PolymerOf(u.s.INCI)
		if p == nil || u.isTrace() {
			continue
		}
		for _, o := range in.Law.OtherRules() {
			if !o.For(in.Market) || !run.aboutParticle(o, p, u) || o.Fits(in.Type.Key, run.situationOf(u)).Verdict == law.DoesNot {
				continue
			}
			form, sev := string(o.About), ingredients.Ask
			coming := !o.In(in.Market, in.Date)
			if o.About == law.AboutBeads && run.scrubs(u) && !coming {
				form, sev = "scrub", ingredients.Stop
			}
			if coming {
				form += "-coming"
			}
			fs = append(fs, run.otherFinding(sev, "microplastics", o, u, ingredients.With()).As(form))
			if sev == ingredients.Stop {
				break
			}
		}
	}
	return fs
}

// aboutParticle says whether a rule on particles may be about a polymer.
func (run *limitRun) aboutParticle(o *law.OtherRule, p *law.Polymer, u *limitUse) bool {
	switch o.About {
	case law.AboutBeads:
		return p.Kind == law.PolymerBead || run.scrubs(u)
	case law.AboutCapsules:
		return p.Kind == law.PolymerCapsule
	case law.AboutGlitter:
		return p.Kind == law.PolymerGlitter
	case law.AboutParticles, law.AboutLabel:
		return p.Kind != law.PolymerCapsule
	}
	return false
}

// scrubs says whether a sheet that brings the substance calls it an abrasive.
func (run *limitRun) scrubs(u *limitUse) bool {
	for _, k := range u.s.Contributions {
		if s := run.in.Sheets[k.Ingredient]; s != nil && slices.ContainsFunc(s.Functions, func(f string) bool {
			return strings.EqualFold(f, "abrasive") || strings.EqualFold(f, "exfoliant") || strings.EqualFold(f, "exfoliating")
		}) {
			return true
		}
	}
	return false
}
