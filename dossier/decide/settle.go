package decide

import (
	"slices"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Settle marks the asks that a decision of the product or of the workshop settles, and
// adds what there is to say about decisions that settle nothing.
//
// Findings: note "decision-changed", "decision-ended", "decision-unmatched"; ask
// "decision-unbound", "decision-on-stop".
func Settle(a *assess.Assessment, found []finding.Finding) []finding.Finding {
	s := &settling{a: a, day: a.Options.Date, found: found}
	s.by(a.Product.Decisions, a.Workshop.Decisions,
		func(d workshop.Decision) bool { return ofBatch(a, d.Subject) == nil })
	return append(s.found, s.said...)
}

// SettleBatch is Settle for what is asked about one batch of the product, by the
// decisions whose subject is the batch; what there is to say about them comes apart.
func SettleBatch(a *assess.Assessment, b *workshop.Batch,
	found []finding.Finding) (settled, said []finding.Finding) {
	s := &settling{a: a, day: a.Options.Date, found: found, only: []string{b.Variant}, batch: b.Code}
	s.by(a.Product.Decisions, a.Workshop.Decisions,
		func(d workshop.Decision) bool { return namesBatch(d.Subject, b.Code) })
	return s.found, s.said
}

// SettleLots is Settle for what is asked about the lots of a workshop: by its own
// decisions, since a lot is of no one product.
func SettleLots(w *workshop.Workshop, day exact.Date, found []finding.Finding) []finding.Finding {
	s := &settling{day: day, found: found, only: []string{""}}
	s.by(nil, w.Decisions, func(d workshop.Decision) bool { return d.Subject == "" || w.Lot(d.Subject) != nil })
	for i := range s.said {
		if lot := w.Lot(s.said[i].Subject); lot != nil {
			s.said[i].About.ID = lot.Code
		}
	}
	return append(s.found, s.said...)
}

// batchOf is the batch in whose record a finding stands, whatever the subject; nil for none.
func batchOf(a *assess.Assessment, f *finding.Finding) *workshop.Batch {
	for _, b := range a.Workshop.BatchesOf(a.Product.ID) {
		if b.Source.Name == f.Pos.File {
			return b
		}
	}
	return ofBatch(a, f.Subject)
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

// by goes through the decisions that are taken, of the product and of the whole workshop.
func (s *settling) by(product, shop []workshop.Decision, takes func(workshop.Decision) bool) {
	var own, all []workshop.Decision
	for _, d := range product {
		if takes(d) {
			own = append(own, d)
		}
	}
	all = slices.Clip(own)
	for _, d := range shop {
		if !s.day.Before(d.Date) && takes(d) {
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

// settling goes through the decisions of one product, of one batch of it, or of lots.
type settling struct {
	a     *assess.Assessment // nil for lots
	day   exact.Date
	only  []string // the variant of the batch; one without a name for lots
	batch string   // the batch, by which whatever is asked in its record is named; "" for none
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
	return !d.Until.IsZero() && !s.day.Before(d.Until)
}

// about are the findings of a kind that have the code and subject of a decision.
func (s *settling) about(d workshop.Decision, sev finding.Severity) (list []int) {
	for i := range s.found {
		f := &s.found[i]
		if f.Severity == sev && f.Code == d.Code && !f.Unread &&
			(s.batch != "" && namesBatch(d.Subject, s.batch) || Named(f, d.Subject)) {
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

// Named says whether a finding is about what a decision calls its subject.
func Named(f *finding.Finding, subject string) bool {
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
	if len(f.Markets) > 0 || s.a == nil {
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

// Can says whether something is asked that a decision can settle.
func Can(f *finding.Finding) bool {
	return f.Severity == finding.Ask && !f.Unread && !strings.HasPrefix(f.Code, "decision-")
}

// Stopped says whether a stop is called by a code and subject: none can be decided.
func Stopped(found []finding.Finding, code, subject string) bool {
	return slices.ContainsFunc(found, func(f finding.Finding) bool {
		return f.Severity == finding.Stop && f.Code == code && Named(&f, subject)
	})
}

// OnLot is a decision on a finding of a lot that nobody has put into words yet. Its
// subject is the number of the lot, which stays when a material is renamed.
func OnLot(f *finding.Finding, day exact.Date) workshop.Decision {
	return workshop.Decision{Code: f.Code, Subject: f.About.ID, Values: Mark(f), Date: day}
}

// On is a decision on a finding that nobody has put into words yet, with the batch as its
// subject where it stands in the record of one: for the variant named, or for those that the finding is about. ok is false where the finding is not
// about that variant, or shows the figures of another.
func On(a *assess.Assessment, f *finding.Finding, variant string) (d workshop.Decision, ok bool) {
	d = workshop.Decision{Code: f.Code, Subject: f.Subject, Values: Mark(f), Date: a.Options.Date,
		Markets: f.Markets}
	if len(d.Markets) == 0 && len(a.Markets) < len(a.Product.Markets) {
		for _, m := range a.Markets {
			d.Markets = append(d.Markets, string(m))
		}
	}
	if b := batchOf(a, f); b != nil { // a batch is of one variant
		d.Subject = "batch " + b.Code
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
