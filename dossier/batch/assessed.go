package batch

import (
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// assessed asks for the signed assessment that a batch rests on: one for the
// figures that the batch was planned with, or for those of today where the
// formula is still at the batch's revision, signed no later than the first day
// on which anything of the batch went out.
//
// Findings: "batch-not-assessed", an ask for what is only made, a stop for what
// is released or sent out. A batch that is planned says it in Open alone; one
// that was rejected and never sent out needs none.
// Source: Regulation (EC) 1223/2009 Article 10(1), in the EU and in Great Britain.
func (r *reviewer) assessed() {
	b := r.b
	if r.out.Variant == nil || b.Release.Decision == "rejected" && len(b.Sent) == 0 {
		return
	}
	out, day := wentOut(b)
	lack, v := r.lackOfAssessment(day)
	if lack == "" {
		return
	}
	r.out.Open = append(r.out.Open, words.Term(lack, v, words.Terminal))
	v = workshop.With().Term("lack", lack, v)
	say := func(sev finding.Severity, form string, pos exact.Pos) {
		r.say(finding.NewFinding(sev, "batch-not-assessed", pos, v).As(form).By(finding.TheAssessor).
			At(r.out.Product.Source.Name, "assessments", nil))
	}
	switch {
	case out && len(b.Sent) > 0:
		say(finding.Stop, "sent", b.Sent[0].Pos)
	case out:
		say(finding.Stop, "released", b.Release.Pos)
	case b.State() == "planned":
	default:
		say(finding.Ask, "made", b.Pos)
	}
}

// wentOut says whether a batch was released or sent out, and the first day on
// which it was; zero where no day is written down.
func wentOut(b *workshop.Batch) (out bool, first exact.Date) {
	var days []exact.Date
	if b.Released() {
		out, days = true, append(days, b.Release.Date)
	}
	for _, s := range b.Sent {
		out, days = true, append(days, s.Date)
	}
	for _, d := range days {
		if !d.IsZero() && (first.IsZero() || d.Before(first)) {
			first = d
		}
	}
	return out, first
}

// lackOfAssessment says what the batch lacks, as a term; "" when an assessment
// covers it.
func (r *reviewer) lackOfAssessment(day exact.Date) (string, finding.Values) {
	p, b := r.out.Product, r.b
	var covering *workshop.Recorded // the earliest that covers it
	for i := range p.Assessments {
		x := &p.Assessments[i]
		if x.IsSigned() && r.covers(x) && (covering == nil || x.Dated.Before(covering.Dated)) {
			covering = x
		}
	}
	switch {
	case len(p.Assessments) == 0:
		return "no-assessment", nil
	case covering == nil && b.Fingerprint != "" && b.Fingerprint != r.a.Fingerprint:
		return "no-assessment-of-either", workshop.With().Name("planned", b.Fingerprint).
			Name("today", r.a.Fingerprint)
	case covering == nil:
		return "no-assessment-of-these", workshop.With().Name("figures", r.a.Fingerprint)
	case !day.IsZero() && day.Before(covering.Dated):
		return "assessed-later", workshop.With().Day("assessed", covering.Dated).Day("out", day)
	}
	return "", nil
}

// covers says whether an assessment is for the figures of the batch. Of a record
// without a fingerprint whose formula has moved on, the revision has to do.
func (r *reviewer) covers(x *workshop.Recorded) bool {
	b := r.b
	current := b.Revision == 0 || b.Revision == r.out.Product.Revision
	switch {
	case current && x.Fingerprint == r.a.Fingerprint:
		return true
	case b.Fingerprint != "":
		return x.Fingerprint == b.Fingerprint
	}
	return !current && x.Revision == b.Revision
}
