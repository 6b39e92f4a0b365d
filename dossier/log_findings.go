package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// logFindings are what the records of a product say on their own: trends, counts,
// challenge tests and undesirable effects.
func (a *Assessment) logFindings() []ingredients.Finding {
	return slices.Concat(a.trendFindings(), a.microFindings(), a.effectFindings(), a.entered.soldFindings(), a.Options.dateFindings(a.Product.ID, a.entered.dated(a.Options.Date)))
}

// trendFindings look at where the lines through the readings lead.
//
// Findings: ask "trend-leaves-band" where the line of a room-temperature test
// leaves the specification before the period stated; note "durability-estimate"
// where that period rests on warm storage alone; note "reading-overdue".
func (a *Assessment) trendFindings() (fs []ingredients.Finding) {
	p, tables := a.Product, a.Options.Law
	life := a.supportedLife()
	stated := p.statedMonths()
	for _, l := range p.trends(tables) {
		if !l.fitted || !l.trend.Moves() || l.specific == nil || stated == 0 || l.test.TempC == nil {
			continue
		}
		span := calc.SupportedLife([]calc.Storage{{TempC: *l.test.TempC}}, tables).Spans[0]
		weeks := float64(stated) * 52 / 12
		if span.Kind != calc.StorageReal || l.inBand(l.trend.At(weeks)) {
			continue
		}
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "trend-leaves-band", l.test.Pos, "%s of the test %s moves by %s ± %s a week: the line is at %s after %s, the specification allows %s to %s",
			l.name, l.test.name(), FormatFloat(l.trend.Slope, 2), FormatFloat(l.trend.HalfWidth, 2), FormatFloat(l.trend.At(weeks), 3), count(stated, "month", "months"), l.specific.Min.Exact(), l.specific.Max.Exact()).
			On(p.ID).AskOf(assessorWord).WithWhy("least squares over %s; a line is no model of ageing, and no more than a reason to look", count(l.trend.N, "reading", "readings")).
			WithFix("go on reading, or state a shorter period"))
	}
	if stated > 0 && life.Accelerate != nil && *life.Accelerate >= float64(stated) && (life.Real == nil || *life.Real < float64(stated)-1e-6) {
		real := "none so far"
		if life.Real != nil {
			real = monthsDown(*life.Real)
		}
		rule := tables.Caution("T08").Text
		fs = append(fs, ingredients.Findingf(ingredients.Note, "durability-estimate", p.Durability.Pos, "the %s stated rest on the estimate from warm storage; in real time there are %s", count(stated, "month", "months"), real).
			On(p.ID).WithWhy("%s (stability-micro.csv, rows Q5 to Q7, D12; common practice)", strings.ToLower(rule[:1])+strings.TrimSuffix(rule[1:], ".")).
			WithFix("keep the test at room temperature running and enter its readings"))
	}
	overdue := 0
	var first dueReading
	for _, d := range p.due(tables, a.Options.Date) {
		if d.overdue {
			if overdue++; overdue == 1 {
				first = d
			}
		}
	}
	if overdue > 0 {
		fs = append(fs, ingredients.Findingf(ingredients.Note, "reading-overdue", first.test.Pos, "%s overdue, the first since %s: week %s of %s", count(overdue, "reading is", "readings are"), first.date, first.week.Exact(), first.test.name()).
			On(p.ID).WithFix("take it and enter it; gallipot stability %s --ics makes a calendar of those to come", p.ID))
	}
	return fs
}

// microFindings hold counts and challenge tests to their limits.
//
// Findings: stop "count-over-limit", ask within the scatter of counting; stop
// "challenge-differs" where the counts give less than the verdict stated, ask
// where they leave it open; ask "challenge-organisms".
func (a *Assessment) microFindings() (fs []ingredients.Finding) {
	p, tables := a.entered, a.Options.Law // a count that is too high is, whatever its date
	pt, ok := tables.ProductType(p.Type)
	if !ok {
		return nil
	}
	class := calc.MicroClass(p.Product, pt)
	for i := range p.Microbiology {
		m := &p.Microbiology[i]
		if m.Test == "count" && m.CFUPerG != nil {
			fs = append(fs, countFinding(p, m, calc.CheckCount(class, *m.CFUPerG, tables))...)
		}
		if len(m.Counts) > 0 {
			fs = append(fs, challengeFindings(p, m, calc.EvaluateChallenge(m.Counts, tables))...)
		}
	}
	return fs
}

func countFinding(p *Product, m *MicroTest, c calc.CountCheck) []ingredients.Finding {
	if c.Verdict == calc.MicroPass {
		return nil
	}
	f := ingredients.Findingf(ingredients.Stop, "count-over-limit", m.Pos, "the count of %s is %s CFU per g, allowed %s", orWord(m.Dated.String(), "no date"), c.CFUPerG.Exact(), c.Limit.Value).On(p.ID).
		WithWhy("%s: %s (stability-micro.csv, row %s)", c.Limit.Condition, c.Limit.Source, c.Limit.Key).
		WithFix("do not sell that batch; find the source, and test again")
	if c.Verdict == calc.MicroQuery {
		f.Severity = ingredients.Ask
		f = f.AskOf(laboratoryWord).WithFix("have it counted again: up to %s lies within the scatter of counting (row %s)", c.Scatter.Value, c.Scatter.Key)
	}
	return []ingredients.Finding{f}
}

func challengeFindings(p *Product, m *MicroTest, r *calc.ChallengeResult) (fs []ingredients.Finding) {
	rank := map[string]int{"fail": 0, "B": 1, "A": 2}
	got := r.Verdict()
	why := "ISO 11930 as in stability-micro.csv, rows C1 to C20"
	switch {
	case got == "open":
		if len(r.Missing) == 0 {
			fs = append(fs, ingredients.Findingf(ingredients.Ask, "challenge-differs", m.Pos, "the report says %s, and the counts entered leave it open: %s", m.Verdict, openLines(r)).On(p.ID).AskOf(laboratoryWord).WithWhy("%s", why).
				WithFix("check the counts against the report, or ask the laboratory"))
		}
	case rank[got] < rank[m.Verdict]:
		fs = append(fs, ingredients.Findingf(ingredients.Stop, "challenge-differs", m.Pos, "the report says %s, and the counts entered give %s", m.Verdict, got).On(p.ID).WithWhy("%s", why).
			WithFix("check the counts against the report; if they are right, the verdict is not"))
	}
	if len(r.Missing) > 0 {
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "challenge-organisms", m.Pos, "the challenge test has no counts of %s", joinNames(r.Missing)).On(p.ID).AskOf(laboratoryWord).WithWhy("%s", why).
			WithFix("enter them from the report, or ask the laboratory why they were left out"))
	}
	return fs
}

// openLines words what keeps a challenge test open.
func openLines(r *calc.ChallengeResult) string {
	var words []string
	for _, l := range r.Lines {
		if l.Verdict == calc.MicroQuery {
			words = addOnce(words, fmt.Sprintf("%s, day %d: %s", l.Organism, l.Criterion.Day, l.Why))
		}
	}
	return joinNames(words)
}

// reportDays is how many days a report of a serious effect may take.
func (a *Assessment) reportDays() int { return newFiling(a).reportDays() }

// effectFindings look at the log of undesirable effects.
//
// Findings: stop "serious-effect-unreported" with the duty and its time limit;
// note "serious-effect-late"; ask "effect-batch-unknown" where a log of batches
// is kept and has no such batch.
func (a *Assessment) effectFindings() (fs []ingredients.Finding) {
	p := a.Product
	duty, days := a.Options.Law.DossierItem("X8"), a.reportDays()
	for _, c := range p.Complaints {
		limit := c.Dated.AddDays(days)
		switch {
		case c.Serious && c.Reported.IsZero():
			when := "latest on " + limit.String()
			if limit.Before(a.Options.Date) {
				when = "overdue since " + limit.String()
			}
			fs = append(fs, ingredients.Findingf(ingredients.Stop, "serious-effect-unreported", c.Pos, "a serious undesirable effect of %s is not reported to the authority: %s", c.Dated, when).On(p.ID).
				WithWhy("without delay; %s (dossier-contents.csv, rows X8 and X9; %d days by the Commission's guidelines, memory)", duty.Source, days).
				WithFix("report it now and enter the day under reported; in GB to the product-safety office, in the EU to the authority of the state where it happened"))
		case c.Serious && limit.Before(c.Reported):
			fs = append(fs, ingredients.Findingf(ingredients.Note, "serious-effect-late", c.Pos, "the serious undesirable effect of %s was reported on %s, later than %d days", c.Dated, c.Reported, days).On(p.ID).
				WithWhy("without delay; %s (dossier-contents.csv, row X9; %d days by the Commission's guidelines, memory)", duty.Source, days).WithFix("note the reason under outcome"))
		}
		if c.Batch != "" && len(a.Workshop.BatchRecords) > 0 && a.Workshop.Batch(c.Batch) == nil {
			f := ingredients.Findingf(ingredients.Ask, "effect-batch-unknown", c.Pos, "the complaint of %s names batch %s, and there is no record of it", c.Dated, c.Batch).On(p.ID).WithFix("correct the code, or put its record into batches/")
			if near := ingredients.Nearest(c.Batch, a.Workshop.BatchCodes()); near != "" {
				f.Fix = "did you mean " + near + "? " + f.Fix
			}
			fs = append(fs, f)
		}
	}
	return fs
}
