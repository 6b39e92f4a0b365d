package assess

import (
	"cmp"
	"fmt"
	"slices"

	"gallipot/calc/formula"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Day is the day on which a reading was taken at the earliest, for a test begun
// on a known day. A week is a rounded figure: what is read half a week before it
// is still of that week.
func Day(t *workshop.StabilityTest, r workshop.Reading) exact.Date {
	if t.Started.IsZero() || r.Week == nil {
		return 0
	}
	const halfWeek = 3 // days
	return After(t, *r.Week).AddDays(-halfWeek)
}

// After is the day some weeks after the start of a test, the last of the calendar
// where they lead beyond it.
func After(t *workshop.StabilityTest, weeks exact.Num) exact.Date {
	const lastDay, mostWeeks = 99991231, 521_775 // as many weeks as there are in 10 000 years
	if exact.Int(mostWeeks).Less(weeks) || lastDay < t.Started.AddDays(int(weeks.Mul(exact.Int(7)).Floor().Float())) {
		return lastDay
	}
	return t.Started.AddDays(int(weeks.Mul(exact.Int(7)).Floor().Float()))
}

// readingsAfter are the readings of days after a day.
func readingsAfter(t *workshop.StabilityTest, day exact.Date) (list []workshop.Reading) {
	for _, r := range t.Readings {
		if day.Before(Day(t, r)) {
			list = append(list, r)
		}
	}
	return list
}

// AsOf is the product with what its records show on a day: tests, papers,
// notices, assessments and reports dated later are left out, and so is a report
// dated before its effect. What speaks against the product stays whatever its
// date: failed tests, effects, complaints. Nothing later: the product itself.
//
// A test that rests on anything later is open, and one begun later has no report.
func AsOf(p *workshop.Product, day exact.Date) *workshop.Product {
	if day.IsZero() || len(Dated(p, day)) == 0 {
		return p
	}
	q, c := *p, *p.Product
	q.Product = &c
	q.Stability = slices.Clone(p.Stability)
	for i := range q.Stability {
		t := &q.Stability[i]
		begun := !day.Before(t.Started)
		if t.Verdict == "pass" && (!begun || len(readingsAfter(t, day)) > 0 || day.Before(passedOn(t))) {
			t.Verdict = "open"
		}
		if !begun && t.Verdict != "fail" {
			t.File = ""
		}
		t.Readings = slices.DeleteFunc(slices.Clone(t.Readings), func(r workshop.Reading) bool { return day.Before(Day(t, r)) })
	}
	q.Microbiology = slices.DeleteFunc(slices.Clone(p.Microbiology), func(m workshop.MicroTest) bool { return day.Before(m.Dated) && m.Verdict != "fail" })
	c.Evidence.ChallengeTests = slices.DeleteFunc(slices.Clone(c.Evidence.ChallengeTests), func(t formula.ChallengeTest) bool { return day.Before(t.Dated) && t.Verdict != "fail" })
	q.Documents = slices.DeleteFunc(slices.Clone(p.Documents), func(d ingredients.Document) bool { return !d.ThereOn(day) })
	q.Notifications = slices.DeleteFunc(slices.Clone(p.Notifications), func(n workshop.Notification) bool { return day.Before(n.Dated) })
	q.Assessments = slices.DeleteFunc(slices.Clone(p.Assessments), func(a workshop.Recorded) bool { return day.Before(a.Dated) })
	q.Complaints = slices.Clone(p.Complaints)
	for i := range q.Complaints {
		if x := &q.Complaints[i]; day.Before(x.Reported) || reportedTooEarly(x) {
			x.Reported = 0
		}
	}
	return &q
}

// passedOn is the day on which a test without readings that is said to have
// passed ends, as far as its start and length are known.
func passedOn(t *workshop.StabilityTest) exact.Date {
	if t.Verdict != "pass" || len(t.Readings) > 0 || t.Started.IsZero() || t.Weeks == nil {
		return 0
	}
	return After(t, *t.Weeks)
}

// reportedTooEarly says whether an effect is said to be reported before it was.
func reportedTooEarly(c *workshop.Complaint) bool {
	return !c.Reported.IsZero() && c.Reported.Before(c.Dated)
}

// later is one thing in the records that is dated after a day.
type later struct {
	pos  finding.Pos
	what string // "the count is dated"
	day  exact.Date
	then string // what follows from it; "" for what does not count
}

// Dated lists what the file of a product dates after a day, and what stands there
// in an order that cannot be.
func Dated(p *workshop.Product, day exact.Date) (list []later) {
	say := func(pos finding.Pos, d exact.Date, then, format string, args ...any) {
		if day.Before(d) {
			list = append(list, later{pos, fmt.Sprintf(format, args...), d, then})
		}
	}
	for i := range p.Stability {
		t := &p.Stability[i]
		if day.Before(t.Started) {
			say(t.Pos, t.Started, "nothing of it counts", "the storage test %s is begun on", t.Name())
			continue
		}
		say(t.Pos, passedOn(t), "its verdict does not count", "the storage test %s has passed, and its time ends on", t.Name())
		if ahead := readingsAfter(t, day); len(ahead) > 0 {
			then := ""
			if len(ahead) > 1 {
				then = "it and " + words.Count(len(ahead)-1, "other reading", "other readings") + " of that test do not count"
			}
			list = append(list, later{ahead[0].Pos, fmt.Sprintf("week %s of the storage test %s is", ahead[0].Week.Exact(), t.Name()), After(t, *ahead[0].Week), then})
		}
	}
	for _, m := range p.Microbiology {
		then := ""
		if m.Verdict == "fail" {
			then = "that it failed counts all the same"
		}
		say(m.Pos, m.Dated, then, "the test %q under microbiology is dated", m.Test)
	}
	for _, d := range p.Documents {
		say(d.Pos, d.Dated, "", "the %s is dated", cmp.Or(workshop.ProductDocumentKinds[d.Kind], d.Kind))
	}
	for _, n := range p.Notifications {
		say(n.Pos, n.Dated, "", "the notification in %s is dated", n.Market)
	}
	for _, a := range p.Assessments {
		say(a.Pos, a.Dated, "", "the assessment by %s is dated", a.Assessor)
	}
	for i := range p.Complaints {
		c := &p.Complaints[i]
		say(c.Pos, c.Dated, "it stays in the log", "the complaint is dated")
		if reportedTooEarly(c) {
			list = append(list, later{pos: c.ReportedPos, what: fmt.Sprintf("the effect of %s is said to be reported on %s, before it happened", c.Dated, c.Reported)})
			continue
		}
		say(c.ReportedPos, c.Reported, "it does not count as reported", "the report of the effect of %s is dated", c.Dated)
	}
	for _, s := range p.Sold {
		say(s.Pos, s.Until, "no rate is given for them", "units are said to be sold until")
	}
	return list
}

// DatedSheet lists what a sheet dates after a day.
func DatedSheet(s *ingredients.Sheet, day exact.Date) (list []later) {
	paper := map[string]exact.Date{}
	for _, d := range s.Documents {
		if !d.ThereOn(day) {
			paper[d.Kind] = d.Dated
			list = append(list, later{pos: d.Pos, what: fmt.Sprintf("the %s of %s is dated", workshop.DocumentName(d.Kind), s.ID), day: d.Dated})
		}
	}
	if d := s.Allergens; d != nil && day.Before(d.Dated) && paper["allergens"] != d.Dated {
		list = append(list, later{d.Pos, fmt.Sprintf("the allergen declaration of %s is dated", s.ID), d.Dated, "what it names counts, what it leaves out is not known"})
	}
	if c := s.FragranceLimits; c != nil && day.Before(c.Dated) && paper["certificate"] != c.Dated {
		list = append(list, later{c.Pos, fmt.Sprintf("the fragrance conformity certificate of %s is dated", s.ID), c.Dated, "its limits bind, and it does not count as a certificate"})
	}
	return list
}

// DateFindings ask about what the records date after the day of the run, and
// about orders that cannot be. On a day that was chosen, most of what is later
// will be right: there a file has one finding for all of it.
//
// Findings: ask "date-ahead", "date-order".
func (o Options) DateFindings(about string, list []later) (fs []finding.Finding) {
	today := "today, " + o.Date.String()
	fix := "correct the date; if the computer's clock is wrong, set it, or give the day with --date"
	if o.DateChosen {
		today = o.Date.String() + ", the day chosen for this run"
		fix = "correct what is wrong; what is right counts on a run for a later day"
	}
	ask := func(code string, pos finding.Pos, why, fix, format string, args ...any) {
		fs = append(fs, finding.Findingf(finding.Ask, code, pos, format, args...).On(about).AskOf(words.Maker).WithWhy("%s", why).WithFix("%s", fix))
	}
	var ahead []later
	for _, x := range list {
		if x.day.IsZero() {
			ask("date-order", x.pos, "a report follows what it reports", "correct the day that is wrong; a serious effect counts as not reported until then", "%s", x.what)
			continue
		}
		x.then = cmp.Or(x.then, "it does not count")
		ahead = append(ahead, x)
	}
	const why = "what has not happened yet shows nothing: it counts from its own day on"
	if o.DateChosen && len(ahead) > 1 {
		ask("date-ahead", ahead[0].pos, why, fix, "%d dates are after %s, and what they belong to does not count as evidence", len(ahead), today)
		for _, x := range ahead {
			f := &fs[len(fs)-1]
			f.Sum = append(f.Sum, finding.Term{Pos: x.pos, Text: fmt.Sprintf("%s %s: %s", x.what, x.day, x.then)})
		}
		return fs
	}
	for _, x := range ahead {
		ask("date-ahead", x.pos, why, fix, "%s %s, after %s: %s", x.what, x.day, today, x.then)
	}
	return fs
}
