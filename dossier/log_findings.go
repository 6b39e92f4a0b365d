package dossier

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// logFindings are what the records of a product say on their own: trends, counts,
// challenge tests and undesirable effects.
func (a *Assessment) logFindings() []ingredients.Finding {
	return slices.Concat(a.trendFindings(), a.microFindings(), a.effectFindings(), a.entered.soldFindings(), a.Options.dateFindings(a.Product.about, a.entered.dated(a.Options.Date)))
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
		fs = append(fs, p.about(ingredients.NewFinding(ingredients.Ask, "trend-leaves-band", l.test.Pos,
			with().Name("property", l.name).Quote("test", l.test.name()).Figure("slope", FormatFloat(l.trend.Slope, 2), "").Figure("half_width", FormatFloat(l.trend.HalfWidth, 2), "").
				Figure("at_end", FormatFloat(l.trend.At(weeks), 3), "").Count("months", stated).Range("band", ingredients.Range{Min: l.specific.Min, Max: l.specific.Max}, "", ingredients.AsIs).
				Count("readings", l.trend.N))).By(ingredients.TheAssessor).At(p.file(), "durability", nil))
	}
	if stated > 0 && life.Accelerate != nil && *life.Accelerate >= float64(stated) && (life.Real == nil || *life.Real < float64(stated)-1e-6) {
		v := with().Count("months", stated)
		if life.Real != nil {
			v = v.Quote("real", monthsDown(*life.Real))
		}
		rule := tables.Caution("T08").Text
		fs = append(fs, p.about(ingredients.NewFinding(ingredients.Note, "durability-estimate", p.Durability.Pos,
			v.Quote("rule", strings.ToLower(rule[:1])+strings.TrimSuffix(rule[1:], ".")))).At(p.file(), "stability", nil))
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
		fs = append(fs, p.about(ingredients.NewFinding(ingredients.Note, "reading-overdue", first.test.Pos,
			with().Count("overdue", overdue).Day("since", first.date).Num("week", first.week, "", ingredients.AsIs).Quote("test", first.test.name()))).
			At(p.file(), "stability.readings", nil).With(ingredients.Action{Kind: ingredients.ActionCalendar, Product: p.ID}))
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
	v := with().Day("dated", m.Dated).Num("count", c.CFUPerG, "CFU/g", ingredients.AsIs).Quote("limit", c.Limit.Value).Quote("condition", c.Limit.Condition).
		Source("law", tableRow("stability-micro.csv", &c.Limit.Row))
	f := p.about(ingredients.NewFinding(ingredients.Stop, "count-over-limit", m.Pos, v)).At(p.file(), "microbiology", nil)
	if c.Verdict == calc.MicroQuery {
		f.Severity = ingredients.Ask
		f = f.As("scatter").By(ingredients.ALaboratory).And(with().Quote("scatter", c.Scatter.Value).Name("scatter_row", c.Scatter.Key))
	}
	return []ingredients.Finding{f}
}

func challengeFindings(p *Product, m *MicroTest, r *calc.ChallengeResult) (fs []ingredients.Finding) {
	rank := map[string]int{"fail": 0, "B": 1, "A": 2}
	got := r.Verdict()
	say := func(sev ingredients.Severity, code, form string, v ingredients.Values) {
		f := p.about(ingredients.NewFinding(sev, code, m.Pos, v)).As(form).At(p.file(), "microbiology.counts", nil)
		if sev == ingredients.Ask {
			f = f.By(ingredients.ALaboratory)
		}
		fs = append(fs, f)
	}
	stated := with().Name("stated", m.Verdict)
	switch {
	case got == "open":
		if len(r.Missing) == 0 {
			say(ingredients.Ask, "challenge-differs", "open", stated.Those("open", openLines(r)))
		}
	case rank[got] < rank[m.Verdict]:
		say(ingredients.Stop, "challenge-differs", "", stated.Name("found", got))
	}
	if len(r.Missing) > 0 {
		say(ingredients.Ask, "challenge-organisms", "", with().Names("organisms", r.Missing))
	}
	return fs
}

// openLines are what keeps a challenge test open.
func openLines(r *calc.ChallengeResult) ingredients.Values {
	var list ingredients.Values
	for _, l := range r.Lines {
		if l.Verdict == calc.MicroQuery {
			list = list.Term("", "open-count", with().Name("organism", l.Organism).Count("day", l.Criterion.Day).Quote("why", l.Why))
		}
	}
	return uniqueValues(list)
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
		v := with().Day("effect", c.Dated)
		rests := ingredients.Values{{Kind: ingredients.KindQuote, Text: duty.Source}}
		switch {
		case c.Serious && c.Reported.IsZero():
			form := ""
			if limit.Before(a.Options.Date) {
				form = "overdue"
			}
			fs = append(fs, p.about(ingredients.NewFinding(ingredients.Stop, "serious-effect-unreported", c.Pos, v.Day("latest", limit).Count("days", days).Source("law", rests))).As(form).
				At(p.file(), "complaints.reported", nil))
		case c.Serious && limit.Before(c.Reported):
			fs = append(fs, p.about(ingredients.NewFinding(ingredients.Note, "serious-effect-late", c.Pos, v.Day("reported", c.Reported).Count("days", days).Source("law", rests))).
				At(p.file(), "complaints.outcome", nil))
		}
		if c.Batch != "" && len(a.Workshop.BatchRecords) > 0 && a.Workshop.Batch(c.Batch) == nil {
			near := ingredients.Nearest(c.Batch, a.Workshop.BatchCodes())
			fs = append(fs, p.about(ingredients.NewFinding(ingredients.Ask, "effect-batch-unknown", c.Pos, v.Name("batch", c.Batch).Name("near", near))).
				At(p.file(), "complaints.batch", with().Name("batch", near)))
		}
	}
	return fs
}
