package limits

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// coming says what the rules of later days change: what is kept now and will not
// be, what will be undecided, and which words the label will need. Each change
// is reported for its first day.
func (run *Run) coming(checks []LimitCheck, now []finding.Finding) []finding.Finding {
	var fs []finding.Finding
	said := map[string]bool{}
	for _, f := range now {
		said[changeKey(f)] = true
	}
	stops := stopKeys(now)
	for _, day := range run.ChangeDays() {
		_, then := run.on(day)
		for _, f := range then {
			key := changeKey(f)
			if f.Code == "criterion" || said[key] {
				continue
			}
			said[key] = true
			if f.Code == "draft-law" { // names its day itself
				fs = append(fs, f)
				continue
			}
			fs = append(fs, comingFinding(f, day))
		}
		later := stopKeys(then)
		for _, stop := range stops {
			if !slices.Contains(later, stop) && !said["free|"+stop.what+stop.subject] {
				said["free|"+stop.what+stop.subject] = true
				fs = append(fs, finding.NewFinding(finding.Note, "coming-limit", run.In.Product.Pos, formula.With().
					Day("day", day)).As("free").On(stop.subject).
					By(finding.TheMaker).With(finding.Action{Kind: finding.ActionCheckOn, Day: day}))
			}
		}
	}
	return fs
}

// changeKey tells findings apart that say the same of another day.
func changeKey(f finding.Finding) string {
	key := f.Severity.String() + "|" + f.Code + "|" + f.Subject
	if f.Code == "label-wording" {
		key = f.Code + "|" + f.Form + "|" + f.Subject + "|" + f.Values.Key()
	}
	return key
}

// stopKey tells what stops a substance.
type stopKey struct{ what, subject string }

func stopKeys(fs []finding.Finding) []stopKey {
	var out []stopKey
	for _, f := range fs {
		if f.Severity == finding.Stop {
			out = append(out, stopKey{f.Code, f.Subject})
		}
	}
	return out
}

// ChangeDays lists the later days on which a row that names a substance of the
// product starts, or is no longer in force.
func (run *Run) ChangeDays() []exact.Date {
	var days []exact.Date
	add := func(d exact.Date) {
		if run.In.Date.Before(d) && !slices.Contains(days, d) {
			days = append(days, d)
		}
	}
	for _, u := range run.Uses {
		for _, m := range u.Matches {
			if !m.Row.From.IsZero() {
				add(m.Row.From)
			}
			if !m.Row.Until.IsZero() {
				add(m.Row.Until.AddDays(1))
			}
			if slices.Contains(m.Row.ReplacedIn, run.In.Market.Annexes()) {
				add(m.Row.Replaced)
			}
		}
	}
	for _, u := range slices.Concat(run.Uses, run.Others) {
		for _, e := range u.elements {
			if e.row.For(run.In.Market) && !e.row.From.IsZero() {
				add(e.row.From)
			}
		}
	}
	slices.Sort(days)
	return days
}

// comingFinding words a finding of a later day. What will be unlawful must be
// settled before; the rest is worth knowing.
func comingFinding(f finding.Finding, day exact.Date) finding.Finding {
	inner := f
	f.Inner, f.Form, f.Values = &inner, "", formula.With().Day("day", day)
	switch {
	case f.Code == "label-wording":
		f.Code, f.Severity = "coming-label", finding.Note
	case f.Severity == finding.Stop:
		f.Code, f.Severity = "coming-limit", finding.Ask
		f = f.By(finding.TheMaker)
	default:
		f.Code, f.Severity = "coming-limit", finding.Note
	}
	return f
}
