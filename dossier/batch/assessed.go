package batch

import (
	"fmt"

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
	lack := r.lackOfAssessment(day)
	if lack == "" {
		return
	}
	r.out.Open = append(r.out.Open, lack)
	state, f := "is weighed", finding.Finding{}
	switch {
	case out:
		state, f.Severity, f.Pos = "is released", finding.Stop, b.Release.Pos
		if len(b.Sent) > 0 {
			state, f.Pos = "was sent out", b.Sent[0].Pos
		}
		f.Fix = "sell no more of it; decide with the assessor and the responsible person about what went out, and enter the assessment under assessments in " + r.out.Product.Source.Name
	case b.State() == "planned":
		return
	default:
		f.Severity, f.Pos = finding.Ask, b.Pos
		f.Fix = "send the assessor the pack and enter what was signed under assessments in " + r.out.Product.Source.Name + "; until then the batch serves tests alone"
	}
	f.Code, f.Message = "batch-not-assessed", fmt.Sprintf("batch %s %s, and %s", b.Code, state, lack)
	r.say(f.AskOf(words.Assessor).WithWhy("a product goes on the market only after its safety was assessed and the report set up; Regulation (EC) 1223/2009 Article 10(1)"))
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

// lackOfAssessment says what the batch lacks; "" when an assessment covers it.
func (r *reviewer) lackOfAssessment(day exact.Date) string {
	p, b := r.out.Product, r.b
	var covering *workshop.Recorded // the earliest that covers it
	for i := range p.Assessments {
		x := &p.Assessments[i]
		if r.covers(x) && (covering == nil || x.Dated.Before(covering.Dated)) {
			covering = x
		}
	}
	switch {
	case len(p.Assessments) == 0:
		return "no signed assessment of the product is on record"
	case covering == nil && b.Fingerprint != "" && b.Fingerprint != r.a.Fingerprint:
		return "no assessment on record is for the figures it was planned with, " + b.Fingerprint + ", or for those of today, " + r.a.Fingerprint
	case covering == nil:
		return "no assessment on record is for its figures, " + r.a.Fingerprint
	case !day.IsZero() && day.Before(covering.Dated):
		return fmt.Sprintf("its figures were assessed on %s, after it went out on %s", covering.Dated, day)
	}
	return ""
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
