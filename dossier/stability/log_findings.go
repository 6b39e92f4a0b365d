package stability

import (
	"slices"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Findings are what the records of a product say on their own: trends, counts,
// challenge tests and undesirable effects.
func Findings(a *assess.Assessment) []finding.Finding {
	return slices.Concat(trendFindings(a), microFindings(a), variantFindings(a), effectFindings(a),
		soldFindings(a.Entered), a.Options.DateFindings(a.Product.About, assess.Dated(a.Entered, a.Options.Date)))
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
		fs = append(fs, p.About(finding.NewFinding(finding.Ask, "trend-leaves-band", l.test.Pos,
			workshop.With().Name("property", l.Name).Quote("test", l.test.Name()).
				Figure("slope", document.FormatFloat(l.trend.Slope, 2), "").
				Figure("half_width", document.FormatFloat(l.trend.HalfWidth, 2), "").
				Figure("at_end", document.FormatFloat(l.trend.At(weeks), 3), "").Count("months", stated).
				Range("band", exact.Range{Min: l.specific.Min, Max: l.specific.Max}, "", finding.AsIs).
				Count("readings", l.trend.N))).By(finding.TheAssessor).At(p.File(), "durability", nil))
	}
	if stated > 0 && life.Accelerate != nil && *life.Accelerate >= float64(stated) &&
		(life.Real == nil || *life.Real < float64(stated)-1e-6) {
		v := workshop.With().Count("months", stated)
		if life.Real != nil {
			v = v.Quote("real", monthsDown(*life.Real))
		}
		rule := law.Caution(tables, "T08").Text
		fs = append(fs, p.About(finding.NewFinding(finding.Note, "durability-estimate", p.Durability.Pos,
			v.Quote("rule", strings.ToLower(rule[:1])+strings.TrimSuffix(rule[1:], ".")))).
			At(p.File(), "stability", nil))
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
		fs = append(fs, p.About(finding.NewFinding(finding.Note, "reading-overdue", first.Test.Pos,
			workshop.With().Count("overdue", overdue).Day("since", first.Date).Num("week", first.Week, "",
				finding.AsIs).Quote("test", first.Test.Name()))).
			At(p.File(), "stability.readings", nil).With(finding.Action{Kind: finding.ActionCalendar, Product: p.ID}))
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
	v := workshop.With().Day("dated", m.Dated).Num("count", c.CFUPerG, "CFU/g", finding.AsIs).
		Quote("limit", c.Limit.Value).Quote("condition", c.Limit.Condition).
		Source("law", workshop.TableRow("stability-micro.csv", &c.Limit.Row))
	f := p.About(finding.NewFinding(finding.Stop, "count-over-limit", m.Pos, v)).
		At(p.File(), "microbiology", nil)
	if c.Verdict == ageing.MicroQuery {
		f.Severity = finding.Ask
		f = f.As("scatter").By(finding.ALaboratory).And(workshop.With().Quote("scatter", c.Scatter.Value).
			Name("scatter_row", c.Scatter.Key))
	}
	return []finding.Finding{f}
}

func challengeFindings(p *workshop.Product, m *workshop.MicroTest,
	r *ageing.ChallengeResult) (fs []finding.Finding) {
	rank := map[string]int{"fail": 0, "B": 1, "A": 2}
	got := r.Verdict()
	say := func(sev finding.Severity, code, form string, v finding.Values) {
		f := p.About(finding.NewFinding(sev, code, m.Pos, v)).As(form).At(p.File(), "microbiology.counts", nil)
		if sev == finding.Ask {
			f = f.By(finding.ALaboratory)
		}
		fs = append(fs, f)
	}
	stated := workshop.With().Name("stated", m.Verdict)
	switch {
	case got == "open":
		if len(r.Missing) == 0 {
			say(finding.Ask, "challenge-differs", "open", stated.Those("open", openLines(r)))
		}
	case rank[got] < rank[m.Verdict]:
		say(finding.Stop, "challenge-differs", "", stated.Name("found", got))
	}
	if len(r.Missing) > 0 {
		say(finding.Ask, "challenge-organisms", "", workshop.With().Names("organisms", r.Missing))
	}
	return fs
}

// openLines are what keeps a challenge test open.
func openLines(r *ageing.ChallengeResult) finding.Values {
	var list finding.Values
	for _, l := range r.Lines {
		if l.Verdict == ageing.MicroQuery {
			list = list.Term("", "open-count", workshop.With().Name("organism", l.Organism).
				Count("day", l.Criterion.Day).Quote("why", l.Why))
		}
	}
	return words.UniqueValues(list)
}

// effectFindings look at the log of undesirable effects.
//
// Findings: stop "serious-effect-unreported" with the duty and its time limit;
// note "serious-effect-late"; ask "effect-batch-unknown" where a log of batches
// is kept and has no such batch.
func effectFindings(a *assess.Assessment) (fs []finding.Finding) {
	p := a.Product
	duty, days := law.DossierItem(a.Options.Law, "X8"), evidence.ReportDays(a.Options.Law)
	for _, c := range p.Complaints {
		limit := c.Dated.AddDays(days)
		v := workshop.With().Day("effect", c.Dated)
		rests := finding.Values{{Kind: finding.KindQuote, Text: duty.Source}}
		switch {
		case c.Serious && c.Reported.IsZero():
			form := ""
			if limit.Before(a.Options.Date) {
				form = "overdue"
			}
			fs = append(fs, p.About(finding.NewFinding(finding.Stop, "serious-effect-unreported", c.Pos,
				v.Day("latest", limit).Count("days", days).Source("law", rests))).As(form).
				At(p.File(), "complaints.reported", nil))
		case c.Serious && limit.Before(c.Reported):
			fs = append(fs,
				p.About(finding.NewFinding(finding.Note, "serious-effect-late", c.Pos, v.Day("reported", c.Reported).
					Count("days", days).Source("law", rests))).
					At(p.File(), "complaints.outcome", nil))
		}
		if c.Batch != "" && len(a.Workshop.BatchRecords) > 0 && a.Workshop.Batch(c.Batch) == nil {
			near := source.Nearest(c.Batch, a.Workshop.BatchCodes())
			fs = append(fs,
				p.About(finding.NewFinding(finding.Ask, "effect-batch-unknown", c.Pos, v.Name("batch", c.Batch).
					Name("near", near))).
					At(p.File(), "complaints.batch", workshop.With().Name("batch", near)))
		}
	}
	return fs
}
