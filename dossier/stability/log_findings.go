package stability

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Findings are what the records of a product say on their own: trends, counts,
// challenge tests and undesirable effects.
func Findings(a *assess.Assessment) []finding.Finding {
	return slices.Concat(trendFindings(a), microFindings(a), effectFindings(a), soldFindings(a.Entered), a.Options.DateFindings(a.Product.ID, assess.Dated(a.Entered, a.Options.Date)))
}

// trendFindings look at where the lines through the readings lead.
//
// Findings: ask "trend-leaves-band" where the line of a room-temperature test
// leaves the specification before the period stated; note "durability-estimate"
// where that period rests on warm storage alone; note "reading-overdue".
func trendFindings(a *assess.Assessment) (fs []finding.Finding) {
	p, tables := a.Product, a.Options.Law
	life := supportedLife(a)
	stated := statedMonths(p)
	for _, l := range trends(p, tables) {
		if !l.fitted || !l.trend.Moves() || l.specific == nil || stated == 0 || l.test.TempC == nil {
			continue
		}
		span := ageing.SupportedLife([]ageing.Storage{{TempC: *l.test.TempC}}, tables).Spans[0]
		weeks := float64(stated) * 52 / 12
		if span.Kind != ageing.StorageReal || l.inBand(l.trend.At(weeks)) {
			continue
		}
		fs = append(fs, finding.Findingf(finding.Ask, "trend-leaves-band", l.test.Pos, "%s of the test %s moves by %s ± %s a week: the line is at %s after %s, the specification allows %s to %s",
			l.Name, l.test.Name(), document.FormatFloat(l.trend.Slope, 2), document.FormatFloat(l.trend.HalfWidth, 2), document.FormatFloat(l.trend.At(weeks), 3), words.Count(stated, "month", "months"), l.specific.Min.Exact(), l.specific.Max.Exact()).
			On(p.ID).AskOf(words.Assessor).WithWhy("least squares over %s; a line is no model of ageing, and no more than a reason to look", words.Count(l.trend.N, "reading", "readings")).
			WithFix("go on reading, or state a shorter period"))
	}
	if stated > 0 && life.Accelerate != nil && *life.Accelerate >= float64(stated) && (life.Real == nil || *life.Real < float64(stated)-1e-6) {
		real := "none so far"
		if life.Real != nil {
			real = monthsDown(*life.Real)
		}
		rule := tables.Caution("T08").Text
		fs = append(fs, finding.Findingf(finding.Note, "durability-estimate", p.Durability.Pos, "the %s stated rest on the estimate from warm storage; in real time there are %s", words.Count(stated, "month", "months"), real).
			On(p.ID).WithWhy("%s (stability-micro.csv, rows Q5 to Q7, D12; common practice)", strings.ToLower(rule[:1])+strings.TrimSuffix(rule[1:], ".")).
			WithFix("keep the test at room temperature running and enter its readings"))
	}
	overdue := 0
	var first dueReading
	for _, d := range due(p, tables, a.Options.Date) {
		if d.Overdue {
			if overdue++; overdue == 1 {
				first = d
			}
		}
	}
	if overdue > 0 {
		fs = append(fs, finding.Findingf(finding.Note, "reading-overdue", first.Test.Pos, "%s overdue, the first since %s: week %s of %s", words.Count(overdue, "reading is", "readings are"), first.Date, first.Week.Exact(), first.Test.Name()).
			On(p.ID).WithFix("take it and enter it; gallipot stability %s --ics makes a calendar of those to come", p.ID))
	}
	return fs
}

// microFindings hold counts and challenge tests to their limits.
//
// Findings: stop "count-over-limit", ask within the scatter of counting; stop
// "challenge-differs" where the counts give less than the verdict stated, ask
// where they leave it open; ask "challenge-organisms".
func microFindings(a *assess.Assessment) (fs []finding.Finding) {
	p, tables := a.Entered, a.Options.Law // a count that is too high is, whatever its date
	pt, ok := law.ProductType(tables, p.Type)
	if !ok {
		return nil
	}
	class := ageing.MicroClass(p.Product, pt)
	for i := range p.Microbiology {
		m := &p.Microbiology[i]
		if m.Test == "count" && m.CFUPerG != nil {
			fs = append(fs, countFinding(p, m, ageing.CheckCount(class, *m.CFUPerG, tables))...)
		}
		if len(m.Counts) > 0 {
			fs = append(fs, challengeFindings(p, m, ageing.EvaluateChallenge(m.Counts, tables))...)
		}
	}
	return fs
}

func countFinding(p *workshop.Product, m *workshop.MicroTest, c ageing.CountCheck) []finding.Finding {
	if c.Verdict == ageing.MicroPass {
		return nil
	}
	f := finding.Findingf(finding.Stop, "count-over-limit", m.Pos, "the count of %s is %s CFU per g, allowed %s", words.OrWord(m.Dated.String(), "no date"), c.CFUPerG.Exact(), c.Limit.Value).On(p.ID).
		WithWhy("%s: %s (stability-micro.csv, row %s)", c.Limit.Condition, c.Limit.Source, c.Limit.Key).
		WithFix("do not sell that batch; find the source, and test again")
	if c.Verdict == ageing.MicroQuery {
		f.Severity = finding.Ask
		f = f.AskOf(words.Laboratory).WithFix("have it counted again: up to %s lies within the scatter of counting (row %s)", c.Scatter.Value, c.Scatter.Key)
	}
	return []finding.Finding{f}
}

func challengeFindings(p *workshop.Product, m *workshop.MicroTest, r *ageing.ChallengeResult) (fs []finding.Finding) {
	rank := map[string]int{"fail": 0, "B": 1, "A": 2}
	got := r.Verdict()
	why := "ISO 11930 as in stability-micro.csv, rows C1 to C20"
	switch {
	case got == "open":
		if len(r.Missing) == 0 {
			fs = append(fs, finding.Findingf(finding.Ask, "challenge-differs", m.Pos, "the report says %s, and the counts entered leave it open: %s", m.Verdict, openLines(r)).On(p.ID).AskOf(words.Laboratory).WithWhy("%s", why).
				WithFix("check the counts against the report, or ask the laboratory"))
		}
	case rank[got] < rank[m.Verdict]:
		fs = append(fs, finding.Findingf(finding.Stop, "challenge-differs", m.Pos, "the report says %s, and the counts entered give %s", m.Verdict, got).On(p.ID).WithWhy("%s", why).
			WithFix("check the counts against the report; if they are right, the verdict is not"))
	}
	if len(r.Missing) > 0 {
		fs = append(fs, finding.Findingf(finding.Ask, "challenge-organisms", m.Pos, "the challenge test has no counts of %s", words.JoinNames(r.Missing)).On(p.ID).AskOf(words.Laboratory).WithWhy("%s", why).
			WithFix("enter them from the report, or ask the laboratory why they were left out"))
	}
	return fs
}

// openLines words what keeps a challenge test open.
func openLines(r *ageing.ChallengeResult) string {
	var phrases []string
	for _, l := range r.Lines {
		if l.Verdict == ageing.MicroQuery {
			phrases = words.AddOnce(phrases, fmt.Sprintf("%s, day %d: %s", l.Organism, l.Criterion.Day, l.Why))
		}
	}
	return words.JoinNames(phrases)
}

// reportDays is how many days a report of a serious effect may take.
func reportDays(a *assess.Assessment) int { return evidence.New(a).ReportDays() }

// effectFindings look at the log of undesirable effects.
//
// Findings: stop "serious-effect-unreported" with the duty and its time limit;
// note "serious-effect-late"; ask "effect-batch-unknown" where a log of batches
// is kept and has no such batch.
func effectFindings(a *assess.Assessment) (fs []finding.Finding) {
	p := a.Product
	duty, days := a.Options.Law.DossierItem("X8"), reportDays(a)
	for _, c := range p.Complaints {
		limit := c.Dated.AddDays(days)
		switch {
		case c.Serious && c.Reported.IsZero():
			when := "latest on " + limit.String()
			if limit.Before(a.Options.Date) {
				when = "overdue since " + limit.String()
			}
			fs = append(fs, finding.Findingf(finding.Stop, "serious-effect-unreported", c.Pos, "a serious undesirable effect of %s is not reported to the authority: %s", c.Dated, when).On(p.ID).
				WithWhy("without delay; %s (dossier-contents.csv, rows X8 and X9; %d days by the Commission's guidelines, memory)", duty.Source, days).
				WithFix("report it now and enter the day under reported; in GB to the product-safety office, in the EU to the authority of the state where it happened"))
		case c.Serious && limit.Before(c.Reported):
			fs = append(fs, finding.Findingf(finding.Note, "serious-effect-late", c.Pos, "the serious undesirable effect of %s was reported on %s, later than %d days", c.Dated, c.Reported, days).On(p.ID).
				WithWhy("without delay; %s (dossier-contents.csv, row X9; %d days by the Commission's guidelines, memory)", duty.Source, days).WithFix("note the reason under outcome"))
		}
		if c.Batch != "" && len(a.Workshop.BatchRecords) > 0 && a.Workshop.Batch(c.Batch) == nil {
			f := finding.Findingf(finding.Ask, "effect-batch-unknown", c.Pos, "the complaint of %s names batch %s, and there is no record of it", c.Dated, c.Batch).On(p.ID).WithFix("correct the code, or put its record into batches/")
			if near := source.Nearest(c.Batch, a.Workshop.BatchCodes()); near != "" {
				f.Fix = "did you mean " + near + "? " + f.Fix
			}
			fs = append(fs, f)
		}
	}
	return fs
}
