package assess

import (
	"cmp"
	"slices"

	"gallipot/calc/formula"
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
	if exact.Int(mostWeeks).Less(weeks) ||
		lastDay < t.Started.AddDays(int(weeks.Mul(exact.Int(7)).Floor().Float())) {
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
		t.Readings = slices.DeleteFunc(slices.Clone(t.Readings),
			func(r workshop.Reading) bool { return day.Before(Day(t, r)) })
	}
	q.Microbiology = slices.DeleteFunc(slices.Clone(p.Microbiology),
		func(m workshop.MicroTest) bool { return day.Before(m.Dated) && m.Verdict != "fail" })
	c.Evidence.ChallengeTests = slices.DeleteFunc(slices.Clone(c.Evidence.ChallengeTests),
		func(t formula.ChallengeTest) bool { return day.Before(t.Dated) && t.Verdict != "fail" })
	q.Documents = slices.DeleteFunc(slices.Clone(p.Documents),
		func(d ingredients.Document) bool { return !d.ThereOn(day) })
	q.Notifications = slices.DeleteFunc(slices.Clone(p.Notifications),
		func(n workshop.Notification) bool { return day.Before(n.Dated) })
	q.Assessments = slices.DeleteFunc(slices.Clone(p.Assessments),
		func(a workshop.Recorded) bool { return day.Before(a.Dated) })
	q.Decisions = slices.DeleteFunc(slices.Clone(p.Decisions),
		func(d workshop.Decision) bool { return day.Before(d.Date) })
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
	pos    exact.Pos
	what   string // term for what it is, such as test-begun
	of     finding.Values
	day    exact.Date // zero: the order of two days cannot be
	then   string     // term for what follows from it; "" for what does not count
	others int        // how many more do not count
}

// Dated lists what the file of a product dates after a day, and what stands there
// in an order that cannot be.
func Dated(p *workshop.Product, day exact.Date) (list []later) {
	say := func(pos exact.Pos, d exact.Date, then, what string, v finding.Values) {
		if day.Before(d) {
			list = append(list, later{pos: pos, what: what, of: v, day: d, then: then})
		}
	}
	for i := range p.Stability {
		t := &p.Stability[i]
		test := workshop.With().Quote("test", t.Name())
		if day.Before(t.Started) {
			say(t.Pos, t.Started, "nothing-counts", "test-begun", test)
			continue
		}
		say(t.Pos, passedOn(t), "verdict-does-not-count", "test-ends", test)
		if ahead := readingsAfter(t, day); len(ahead) > 0 {
			x := later{pos: ahead[0].Pos, what: "reading-week", of: test.Num("week", *ahead[0].Week, "", finding.AsIs),
				day: After(t, *ahead[0].Week)}
			if len(ahead) > 1 {
				x.then, x.others = "others-do-not-count", len(ahead)-1
			}
			list = append(list, x)
		}
	}
	for _, m := range p.Microbiology {
		then := ""
		if m.Verdict == "fail" {
			then = "failed-all-the-same"
		}
		say(m.Pos, m.Dated, then, "microbiology-dated", workshop.With().Name("test", m.Test))
	}
	for _, d := range p.Documents {
		say(d.Pos, d.Dated, "", "document-dated", workshop.With().
			Name("document", cmp.Or(workshop.ProductDocumentKinds[d.Kind], d.Kind)))
	}
	for _, n := range p.Notifications {
		say(n.Pos, n.Dated, "", "notification-dated", workshop.With().Name("market", n.Market))
	}
	for _, a := range p.Assessments {
		say(a.Pos, a.Dated, "", "assessment-dated", workshop.With().Name("assessor", a.Assessor))
	}
	for _, d := range p.Decisions {
		say(d.Pos, d.Date, "", "decision-dated", workshop.With().Quote("by", d.By))
	}
	for i := range p.Complaints {
		c := &p.Complaints[i]
		say(c.Pos, c.Dated, "stays-in-log", "complaint-dated", nil)
		if reportedTooEarly(c) {
			list = append(list, later{pos: c.ReportedPos, of: workshop.With().Day("effect", c.Dated).
				Day("reported", c.Reported)})
			continue
		}
		say(c.ReportedPos, c.Reported, "does-not-count-as-reported", "report-dated", workshop.With().
			Day("effect", c.Dated))
	}
	for _, s := range p.Sold {
		say(s.Pos, s.Until, "no-rate", "sold-until", nil)
	}
	return list
}

// DatedSheet lists what a sheet dates after a day.
func DatedSheet(s *ingredients.Sheet, day exact.Date) (list []later) {
	paper := map[string]exact.Date{}
	say := func(pos exact.Pos, kind string, d exact.Date, then string) {
		list = append(list, later{pos: pos, what: "document-dated", of: workshop.With().
			Name("document", workshop.DocumentName(kind)), day: d, then: then})
	}
	for _, d := range s.Documents {
		if !d.ThereOn(day) {
			paper[d.Kind] = d.Dated
			say(d.Pos, d.Kind, d.Dated, "")
		}
	}
	if d := s.Allergens; d != nil && day.Before(d.Dated) && paper["allergens"] != d.Dated {
		say(d.Pos, "allergens", d.Dated, "names-count")
	}
	if c := s.FragranceLimits; c != nil && day.Before(c.Dated) && paper["certificate"] != c.Dated {
		say(c.Pos, "certificate", c.Dated, "limits-bind")
	}
	return list
}

// DateFindings ask about what the records date after the day of the run, and
// about orders that cannot be. On a day that was chosen, most of what is later
// will be right: there a file has one finding for all of it.
//
// Findings: ask "date-ahead", "date-order".
func (o Options) DateFindings(about func(finding.Finding) finding.Finding,
	list []later) (fs []finding.Finding) {
	form := ""
	if o.DateChosen {
		form = "chosen"
	}
	ask := func(code, form string, pos exact.Pos, v finding.Values) *finding.Finding {
		f := about(finding.NewFinding(finding.Ask, code, pos, v)).As(form).By(finding.TheMaker).
			At(pos.File, "dated", nil)
		if code == "date-ahead" && form == "" {
			f = f.With(finding.Action{Kind: finding.ActionDay})
		}
		fs = append(fs, f)
		return &fs[len(fs)-1]
	}
	var ahead []later
	for _, x := range list {
		if x.day.IsZero() {
			ask("date-order", "", x.pos, x.of)
			continue
		}
		ahead = append(ahead, x)
	}
	if o.DateChosen && len(ahead) > 1 {
		f := ask("date-ahead", "several", ahead[0].pos, workshop.With().Count("dates", len(ahead)).
			Day("today", o.Date))
		for _, x := range ahead {
			f.Sum = append(f.Sum, finding.Term{Pos: x.pos, Key: "dated-ahead", Values: x.values()})
		}
		return fs
	}
	for _, x := range ahead {
		ask("date-ahead", form, x.pos, x.values().Day("today", o.Date))
	}
	return fs
}

// values are what is dated, its day and what follows from it.
func (x later) values() finding.Values {
	then := workshop.With()
	if x.others > 0 {
		then = then.Count("others", x.others)
	}
	return workshop.With().Term("what", x.what, x.of).Day("day", x.day).
		Term("then", cmp.Or(x.then, "does-not-count"), then)
}
