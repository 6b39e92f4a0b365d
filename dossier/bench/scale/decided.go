package scale

import (
	"strconv"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Places of the decision in a record.
const (
	decisionPath = "/release/decision"
	byPath       = "/release/by"
	datePath     = "/release/date"
)

// Most stops that a sentence names.
const mostNamed = 3

// assessed is the assessment of the product of a batch; nil where it cannot be computed.
func assessed(v *frame.Visit, b *workshop.Batch) *assess.Assessment {
	p := v.Workshop().Product(b.Product)
	if p == nil || len(v.Workshop().Computable([]*workshop.Product{p})) == 0 {
		return nil
	}
	return v.Shot.Assess(p)
}

// decided asks before a decision is written: who took it and on which day, and, of a release
// that a stop of the batch stands against, whether it is taken with that known. A record that
// was so before may still be filled in.
func decided(v *frame.Visit, old *workshop.Batch, g *edit.File) error {
	b, _ := workshop.ReadBatch(source.NewSource(old.Source.Name, g.Bytes()))
	if b == nil || b.Release.Decision == "" || sameDecision(old, b) {
		return nil
	}
	r := &frame.Refused{At: map[string]string{}}
	if strings.TrimSpace(b.Release.By) == "" {
		r.At[byPath] = "Who decided is not stated. Write the name of the person who answers for it."
	}
	if b.Release.Date.IsZero() {
		r.At[datePath] = "The day of the decision is not stated. Write it, such as 2026-11-29."
	}
	if len(r.At) > 0 {
		r.Trouble = *frame.TroubleOf(frame.Wrong("The decision is not written yet: name and day belong to it.",
			"Write under By who decided and under Day when; what was typed stays in its fields."))
		return r
	}
	if !b.Released() || v.Field("anyway") != "" {
		return nil
	}
	var stops []string
	names := v.Names()
	found, open := against(v, b)
	for _, f := range found {
		stops = append(stops, strings.TrimSuffix(names.Message(f), "."))
	}
	if open > 0 {
		stops = append([]string{openPoints(open)}, stops...)
	}
	if len(stops) == 0 {
		return nil
	}
	more := ""
	if len(stops) > mostNamed {
		stops, more = stops[:mostNamed], "; and more, listed on this page"
	}
	return frame.RefusedAt(decisionPath,
		"The release is not written yet: against it stands: "+strings.Join(stops, "; ")+more+".",
		"Put that right, or say below the decision that it is taken with this known.")
}

// against is what would stand against a batch if it were released: the stops, and how many points
// of its record are open.
func against(v *frame.Visit, b *workshop.Batch) (stops []finding.Finding, open int) {
	as := *b
	if as.Release.Decision = "released"; as.Release.Date.IsZero() {
		as.Release.Date = v.Shot.Options.Date
	}
	review := batch.Review(v.Workshop(), &as, assessed(v, b))
	for _, f := range review.Findings {
		if f.Severity == finding.Stop && f.Code != "batch-released-open" { // that is the open points
			stops = append(stops, f)
		}
	}
	return stops, review.OpenInRecord
}

func openPoints(n int) string {
	if n == 1 {
		return "1 point is open in its record"
	}
	return strconv.Itoa(n) + " points are open in its record"
}

// sameDecision says whether nothing of the decision has changed.
func sameDecision(a, b *workshop.Batch) bool {
	x, y := a.Release, b.Release
	return x.Decision == y.Decision && x.By == y.By && x.Date == y.Date
}
