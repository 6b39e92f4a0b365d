package decide

import (
	"slices"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Settle marks the asks that a decision of the product or of the workshop settles, and
// adds what there is to say about decisions that settle nothing.
//
// Findings: note "decision-changed", "decision-ended", "decision-unmatched"; ask
// "decision-unbound", "decision-on-stop".
func Settle(a *assess.Assessment, found []finding.Finding) []finding.Finding {
	s := &settling{a: a, found: found}
	s.by(func(d workshop.Decision) bool { return ofBatch(a, d.Subject) == nil })
	return append(s.found, s.said...)
}

// SettleBatch is Settle for what is asked about one batch of the product, by the
// decisions whose subject is the batch; what there is to say about them comes apart.
func SettleBatch(a *assess.Assessment, b *workshop.Batch,
	found []finding.Finding) (settled, said []finding.Finding) {
	s := &settling{a: a, found: found, only: []string{b.Variant}}
	s.by(func(d workshop.Decision) bool { return namesBatch(d.Subject, b.Code) })
	return s.found, s.said
}

// ofBatch is the batch of the product that the subject of a decision names; nil for none.
func ofBatch(a *assess.Assessment, subject string) *workshop.Batch {
	for _, b := range a.Workshop.BatchesOf(a.Product.ID) {
		if namesBatch(subject, b.Code) {
			return b
		}
	}
	return nil
}

// namesBatch says whether the subject of a decision is a batch, by its code or as check
// prints it.
func namesBatch(subject, code string) bool {
	subject = strings.TrimSpace(subject)
	return strings.EqualFold(subject, code) || strings.EqualFold(subject, "batch "+code)
}

// by goes through the decisions that are taken.
func (s *settling) by(takes func(workshop.Decision) bool) {
	var own, all []workshop.Decision
	for _, d := range s.a.Product.Decisions {
		if takes(d) {
			own = append(own, d)
		}
	}
	all = slices.Clip(own)
	for _, d := range s.a.Workshop.Decisions {
		if !s.a.Options.Date.Before(d.Date) && takes(d) {
			all = append(all, d)
		}
	}
	if len(all) > 0 {
		s.found = slices.Clone(s.found)
	}
	idle := map[int]bool{}
	for i, d := range all {
		idle[i] = !s.holds(d)
	}
	for i, d := range all { // a later decision on the same takes the place of one that no longer holds
		if idle[i] {
			s.idle(d, i < len(own))
		}
	}
}

// settling goes through the decisions of one product, or of one batch of it.
type settling struct {
	a     *assess.Assessment
	only  []string // the variant of the batch
	found []finding.Finding
	said  []finding.Finding
}

// holds settles what a decision is about, and says whether that was anything.
func (s *settling) holds(d workshop.Decision) (done bool) {
	if d.Values == "" || s.ended(d) {
		return false
	}
	for _, i := range s.about(d, finding.Ask) {
		if Mark(&s.found[i]) == d.Values {
			done = s.settle(i, d) || done
		}
	}
	return done
}

func (s *settling) ended(d workshop.Decision) bool {
	return !d.Until.IsZero() && !s.a.Options.Date.Before(d.Until)
}

// about are the findings of a kind that have the code and subject of a decision.
func (s *settling) about(d workshop.Decision, sev finding.Severity) (list []int) {
	for i := range s.found {
		f := &s.found[i]
		if f.Severity == sev && f.Code == d.Code && named(f, d.Subject) && !f.Unread {
			list = append(list, i)
		}
	}
	return list
}

// idle says why a decision settles nothing. Of a decision of the whole workshop that a
// product has no use for nothing is said.
func (s *settling) idle(d workshop.Decision, own bool) {
	open := s.about(d, finding.Ask)
	elsewhere := slices.ContainsFunc(open, func(i int) bool { return Mark(&s.found[i]) == d.Values })
	switch {
	case len(open) == 0:
		s.nothing(d, own)
	case s.ended(d):
		s.say(finding.Note, "decision-ended", "", d, workshop.With().Day("until", d.Until))
	case d.Values == "":
		s.say(finding.Ask, "decision-unbound", "", d, workshop.With().Name("values", Mark(&s.found[open[0]])))
	case !elsewhere:
		s.say(finding.Note, "decision-changed", "", d, nil)
	case own && s.whole():
		s.say(finding.Note, "decision-changed", "elsewhere", d, nil)
	}
}

// nothing is about a decision on what is not asked.
func (s *settling) nothing(d workshop.Decision, own bool) {
	codes := words.Codes()
	switch {
	case len(s.about(d, finding.Stop)) > 0:
		s.say(finding.Ask, "decision-on-stop", "", d, nil)
	case !own || !s.whole() || len(s.about(d, finding.Decided)) > 0:
	case len(s.about(d, finding.Note)) > 0:
		s.say(finding.Note, "decision-unmatched", "note", d, nil)
	case codes[d.Code] == nil:
		s.say(finding.Note, "decision-unmatched", "code", d, workshop.With().
			Name("near", source.Nearest(d.Code, sorted(codes))))
	default:
		s.say(finding.Note, "decision-unmatched", "", d, nil)
	}
}

// named says whether a finding is about what a decision calls its subject.
func named(f *finding.Finding, subject string) bool {
	subject = strings.TrimSpace(subject)
	return subject == "" || strings.EqualFold(subject, f.Subject) || strings.EqualFold(subject, f.About.ID)
}

// settle marks one finding, or the part of it that is about the variants decided on,
// and says whether it did.
func (s *settling) settle(i int, d workshop.Decision) bool {
	f := s.found[i]
	if len(d.Markets) > 0 && !contains(d.Markets, s.markets(f)) {
		return false
	}
	all := s.variants(f)
	covered, rest := split(all, d.Variants)
	switch {
	case len(covered) == 0, len(rest) > 0 && f.Worst != "":
		return false // the figures of a part of the variants are not those decided on
	case len(rest) > 0:
		left := f
		left.Variants = s.paths(rest)
		f.Variants = s.paths(covered)
		s.found = append(s.found, left)
	}
	f.Severity = finding.Decided
	f.Decided = &finding.Settled{Text: d.Text, By: d.By, Date: d.Date, Until: d.Until, Pos: d.Pos}
	s.found[i] = f
	return true
}

// split parts variants into those decided on, all where none is named, and the rest.
func split(all, on []string) (covered, rest []string) {
	for _, v := range all {
		if len(on) == 0 || slices.Contains(on, v) {
			covered = append(covered, v)
		} else {
			rest = append(rest, v)
		}
	}
	return covered, rest
}

func contains(list, all []string) bool {
	return !slices.ContainsFunc(all, func(x string) bool { return !slices.Contains(list, x) })
}

// variants are those that a finding concerns, by their ids.
func (s *settling) variants(f finding.Finding) (ids []string) {
	for _, v := range f.Variants {
		_, id, _ := strings.Cut(v, "/")
		ids = append(ids, id)
	}
	switch {
	case len(ids) > 0:
		return ids
	case s.only != nil:
		return s.only
	}
	return workshop.VariantIDs(s.a.Product.Variants)
}

func (s *settling) paths(ids []string) (out []string) {
	for _, id := range ids {
		out = append(out, s.a.Product.ID+"/"+id)
	}
	return out
}

func (s *settling) markets(f finding.Finding) []string {
	if len(f.Markets) > 0 {
		return f.Markets
	}
	var out []string
	for _, m := range s.a.Markets {
		out = append(out, string(m))
	}
	return out
}

// whole says whether all variants and markets of the product are looked at: only then
// can it be said that a decision is about nothing.
func (s *settling) whole() bool {
	for _, v := range s.a.Product.Variants {
		if len(s.a.ByVariant(v.ID)) == 0 {
			return false
		}
	}
	for _, m := range s.a.Product.Markets {
		if !slices.Contains(s.a.Markets, m) {
			return false
		}
	}
	return true
}

func sorted(codes map[string][]string) (names []string) {
	for name := range codes {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

func (s *settling) say(sev finding.Severity, code, form string, d workshop.Decision, v finding.Values) {
	v = v.Name("code", d.Code).Name("by", d.By).Day("date", d.Date)
	f := finding.NewFinding(sev, code, d.Pos, v).As(form).On(subjectOf(d)).By(finding.TheMaker)
	s.said = append(s.said, f.At(d.Pos.File, "decisions", nil))
}

// subjectOf names what was decided on.
func subjectOf(d workshop.Decision) string {
	if d.Subject == "" {
		return "the decision on " + d.Code
	}
	return d.Subject
}

// Open lists what is asked of a product and can be decided, in the order of check.
func Open(a *assess.Assessment) (list []finding.Finding) {
	for _, f := range a.Findings {
		if f.Severity == finding.Ask && !f.Unread && !strings.HasPrefix(f.Code, "decision-") {
			list = append(list, f)
		}
	}
	return list
}

// OpenOn are those of a code, and of a subject where one is named.
func OpenOn(a *assess.Assessment, code, subject string) []finding.Finding {
	return slices.DeleteFunc(Open(a), func(f finding.Finding) bool {
		return f.Code != code ||
			!named(&f, subject)
	})
}

// Stopped says whether a stop is called by a code and subject: none can be decided.
func Stopped(a *assess.Assessment, code, subject string) bool {
	return slices.ContainsFunc(a.Findings, func(f finding.Finding) bool {
		return f.Severity == finding.Stop && f.Code == code && named(&f, subject)
	})
}

// On is a decision on a finding that nobody has put into words yet: for the variant
// named, or for those that the finding is about. ok is false where the finding is not
// about that variant, or shows the figures of another.
func On(a *assess.Assessment, f *finding.Finding, variant string) (d workshop.Decision, ok bool) {
	d = workshop.Decision{Code: f.Code, Subject: f.Subject, Values: Mark(f), Date: a.Options.Date,
		Markets: f.Markets}
	if len(d.Markets) == 0 && len(a.Markets) < len(a.Product.Markets) {
		for _, m := range a.Markets {
			d.Markets = append(d.Markets, string(m))
		}
	}
	if b := ofBatch(a, f.Subject); b != nil { // a batch is of one variant
		return d, variant == "" || variant == b.Variant
	}
	if len(f.Variants) > 0 {
		d.Variants = (&settling{a: a}).variants(*f)
	}
	if variant == "" {
		return d, true
	}
	covered, rest := split((&settling{a: a}).variants(*f), []string{variant})
	d.Variants = []string{variant}
	return d, len(covered) > 0 && (len(rest) == 0 || f.Worst == "")
}
