package stability

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// StabilitySection shows storage tests, their readings, a straight line through
// each with its uncertainty, what the tests support and what is still to be read.
func StabilitySection(v *show.View) *document.Section {
	p, tables := v.A.Product, v.A.Options.Law
	s := &document.Section{ID: "stability", Title: "Stability tests",
		Intro: "Storage tests as recorded. A line through readings describes what was read and is no model of ageing."}
	f := evidence.New(v.A)
	life, _ := supported(f)
	s.Add(stabilityTests(f), missedNotes(readingsTable(v.A.Entered, v.A.Options.Date), p, tables))
	addTrends(s, p, life, tables)
	if due := due(p, tables, v.A.Options.Date); len(due) > 0 {
		s.Add(dueTable(due))
	}
	return s
}

func stabilityTests(f *evidence.Filing) *document.Table {
	t := &document.Table{ID: "stability-tests", Title: "Tests", SheetName: "Stability",
		Empty: "No stability test is on record.", Columns: []document.Column{{Head: "Test", Fixed: true,
			Weight: 1.3}, {Head: "Pack", Weight: 1.2}, {Head: "Batch"}, {Head: "Begun", Kind: document.KindText},
			{Head: "Planned", Unit: "weeks", Kind: document.KindNumber}, {Head: "Good so far", Unit: "weeks",
				Kind: document.KindNumber}, {Head: "Verdict"}, {Head: "Report", Weight: 1.3}}}
	for i := range f.P.Stability {
		x := &f.P.Stability[i]
		weeks := weeksOf(f, x)
		good := document.NumCell(weeks, document.RuleExact)
		if len(x.Readings) == 0 && weeks.IsZero() {
			good = document.MissingCell("no reading")
		}
		t.Add(document.TextCell(x.Name()), show.TextOr(x.Pack), show.TextOr(x.Batch), document.DateCell(x.Started),
			exactOr(x.Weeks, "not stated"), good, TestVerdict(x.Verdict), show.TextOr(x.File))
	}
	return t
}

func exactOr(n *exact.Num, missing string) document.Cell {
	if n == nil {
		return document.MissingCell(missing)
	}
	return document.NumCell(*n, document.RuleExact)
}

func TestVerdict(word string) document.Cell {
	switch word {
	case "pass":
		return document.VerdictCell(document.VerdictMet, "pass")
	case "fail":
		return document.VerdictCell(document.VerdictFail, "fail")
	case "open":
		return document.VerdictCell(document.VerdictOpen, "open")
	}
	return document.MissingCell("none stated")
}

// readingsTable lists every reading, words and figures alike, and says which are
// of days to come.
func readingsTable(p *workshop.Product, day exact.Date) *document.Table {
	t := &document.Table{ID: "stability-readings", Title: "Readings", SheetName: "Readings",
		Empty: "No reading is on record.",
		Columns: []document.Column{{Head: "Test", Fixed: true, Weight: 1.2},
			{Head: "Week", Kind: document.KindNumber}, {Head: "pH",
				Kind: document.KindNumber}, {Head: "In the specification"}, {Head: "What was seen", Weight: 2.6}}}
	for i := range p.Stability {
		x := &p.Stability[i]
		for _, r := range x.Readings {
			ph := document.MissingCell("not read")
			if r.PH != nil {
				ph = phCell(*r.PH)
			}
			var seen []string
			for _, q := range r.Properties {
				seen = append(seen, q.Name+": "+q.Text)
			}
			verdict := document.VerdictCell(document.VerdictMet, "as far as figures tell")
			if readingBad(p, r) {
				verdict = document.VerdictCell(document.VerdictFail, "outside")
			}
			if day.Before(assess.Day(x, r)) {
				verdict = NotYet(day)
			}
			t.Add(document.TextCell(x.Name()), exactOr(r.Week, "no week"), ph, verdict,
				document.TextCell(strings.Join(seen, "; ")))
		}
	}
	return t
}

// missedNotes says of each test which planned readings nobody took.
func missedNotes(t *document.Table, p *workshop.Product, tables *table.Tables) *document.Table {
	for i := range p.Stability {
		x := &p.Stability[i]
		var weeks []string
		for _, w := range missed(x, tables) {
			weeks = append(weeks, w.Exact())
		}
		if len(weeks) == 0 {
			continue
		}
		plan := "planned under check_weeks"
		if len(x.Checks) == 0 {
			plan = "when a reading is usual"
		}
		word := "week"
		if len(weeks) > 1 {
			word = "weeks"
		}
		t.Note(fmt.Sprintf("%s: not read in %s %s, %s.", words.CheckName(x.Name()), word,
			words.JoinNames(weeks), plan))
	}
	return t
}

// NotYet is the verdict on what is dated after the day of the run.
func NotYet(day exact.Date) document.Cell {
	return document.VerdictCell(document.VerdictOpen, "after "+day.String()+": does not count")
}

// phCell prints a pH with one decimal at least: 5 is read as 5.0.
func phCell(n exact.Num) document.Cell {
	_, decimals, _ := strings.Cut(n.Exact(), ".")
	return document.NumCell(n, document.RuleFixed(max(1, len(decimals))))
}

// trendCharts plots each property with figures, a line for each test.
func trendCharts(trends []trendLine) (charts []document.Block) {
	var names []string
	for _, l := range trends {
		names = words.AddOnce(names, l.Name)
	}
	for _, name := range names {
		c := &document.LineBand{ID: "chart-stability-" + slug(name), Title: words.CheckName(name) + " over time",
			XLabel: "weeks", YLabel: name,
			Caption: "Points are readings; a line through them is the fit by least squares."}
		for _, l := range trends {
			if l.Name != name {
				continue
			}
			if l.specific != nil {
				lo, hi := l.specific.Min.Float(), l.specific.Max.Float()
				c.Lower, c.Upper = &lo, &hi
			}
			series := document.LineSeries{Name: l.test.Name()}
			for i := range l.weeks {
				series.Points = append(series.Points, document.LinePoint{X: l.weeks[i], Y: l.Values[i],
					Cell: document.TextCell(l.texts[i])})
			}
			series.Fit = l.fit()
			c.Series = append(c.Series, series)
		}
		charts = append(charts, c)
	}
	return charts
}

// fitSteps is how many pieces the curves of a range are drawn of.
const fitSteps = 24

// fit is the line of a trend from its first to its last reading, with its 95 %
// range. Readings that are all alike, or too few to fit, have none.
func (l *trendLine) fit() []document.FitPoint {
	if !l.fitted || l.alike() {
		return nil
	}
	from, to := slices.Min(l.weeks), slices.Max(l.weeks)
	points := make([]document.FitPoint, fitSteps+1)
	for i := range points {
		x := from + (to-from)*float64(i)/fitSteps
		low, high, ok := l.trend.Reach(x)
		if !ok {
			low, high = math.NaN(), math.NaN()
		}
		points[i] = document.FitPoint{X: x, Y: l.trend.At(x), Low: low, High: high}
	}
	return points
}

func slug(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, strings.ToLower(s))
}

// trendTable shows the slope of each line with its 95 % uncertainty.
func trendTable(trends []trendLine, tables *table.Tables) *document.Table {
	t := &document.Table{ID: "stability-trends", Title: "Straight line through the readings",
		SheetName: "Trends", Empty: "No property was read twice as a figure.",
		Columns: []document.Column{{Head: "Property", Fixed: true}, {Head: "Test", Weight: 1.3},
			{Head: "Readings", Kind: document.KindNumber}, {Head: "Slope", Unit: "per week",
				Kind: document.KindNumber}, {Head: "± (95 %)", Unit: "per week",
				Kind: document.KindNumber}, {Head: "Reads as", Weight: 1.8}}}
	for _, l := range trends {
		if !l.fitted {
			continue
		}
		half := document.MissingCell("two readings fit any line")
		words := document.VerdictCell(document.VerdictNone, "nothing can be said")
		if !math.IsNaN(l.trend.HalfWidth) {
			half = document.FloatCell(l.trend.HalfWidth, 2)
			words = document.VerdictCell(document.VerdictMet, "no change beyond the scatter")
			if l.alike() {
				words = document.VerdictCell(document.VerdictMet, "all readings alike")
			} else if l.trend.Moves() {
				words = document.VerdictCell(document.VerdictOpen, "rising")
				if l.trend.Slope < 0 {
					words = document.VerdictCell(document.VerdictOpen, "falling")
				}
			}
		}
		t.Add(document.TextCell(l.Name), document.TextCell(l.test.Name()), document.IntCell(l.trend.N),
			document.FloatCell(l.trend.Slope, 2), half, words)
	}
	if len(t.Rows) > 0 {
		t.Note("Least squares; the range is t(0.975, n − 2) times the standard error of the slope. " +
			law.TQuantile(tables, 1).Source + " (t-quantiles.csv).")
	}
	return t
}

// addTrends adds the trends of the readings, drawn and in figures, and what storage stands for.
func addTrends(s *document.Section, p *workshop.Product, life ageing.ShelfLife, tables *table.Tables) {
	lines := trends(p, tables)
	for _, c := range trendCharts(lines) {
		s.Add(c)
	}
	s.Add(trendTable(lines, tables), lifeTable(life))
	s.Add(document.Caution("What the tests support", lifeWords(p, life, tables)+" "+law.Caution(tables,
		"T08").Text))
}

// lifeTable shows what each storage test stands for.
func lifeTable(l ageing.ShelfLife) *document.Table {
	t := &document.Table{ID: "stability-life", Title: "What storage stands for", SheetName: "Stability",
		Empty: "No storage test with a temperature is on record.",
		Columns: []document.Column{{Head: "Temperature", Unit: "°C", Kind: document.KindNumber},
			{Head: "Good for", Unit: "weeks", Kind: document.KindNumber}, {Head: "Counts as", Fixed: true,
				Weight: 1.2}, {Head: "Factor", Kind: document.KindNumber}, {Head: "On the shelf",
				Unit: "months", Kind: document.KindNumber}}}
	for _, s := range l.Spans {
		months, factor := document.FloatCell(s.Months, 3), document.FloatCell(s.Factor, 3)
		if s.Kind == ageing.StorageCold {
			months, factor = document.TextCell("says nothing"), document.BlankCell()
		}
		t.Add(document.NumCell(s.TempC, document.RuleExact), document.NumCell(s.Weeks, document.RuleExact),
			document.TextCell(string(s.Kind)), factor.MarkedIf(l.Q10.FromMemory(), show.MemoryMark), months)
	}
	if len(t.Rows) > 0 {
		t.Note(fmt.Sprintf("Factor: %s to the power of (test − shelf) ÷ 10, with a shelf of %s °C, the upper end of room temperature; a year is taken as 52 weeks. Source: %s; not for melting, light or microbes (stability-micro.csv, rows S2, Q5 to Q7, Q9).", l.Q10.Value, l.StoreC.Exact(), l.Q10.Source))
	}
	return t
}

// lifeWords says what the data support, never more than that.
func lifeWords(p *workshop.Product, l ageing.ShelfLife, tables *table.Tables) string {
	if l.Months == nil {
		return "No storage test speaks for any shelf life yet. A start-up choice of makers is " +
			law.StabilityRow(tables, "D1").Value +
			" months until own data are there (common practice, stability-micro.csv, row D1)."
	}
	var parts []string
	if l.Real != nil {
		parts = append(parts, monthsDown(*l.Real)+" in real time")
	}
	if l.Accelerate != nil {
		parts = append(parts, monthsDown(*l.Accelerate)+" by the estimate from warm storage")
	}
	text := "The storage tests support " + words.JoinNames(parts) + "."
	switch {
	case l.Real == nil:
		text += " There is no test in real time yet."
	case l.Accelerate != nil:
		text += " The shorter one is what the data carry so far: " + monthsDown(*l.Months) + "."
	}
	if stated := statedMonths(p); stated > 0 {
		text += " Stated is " + words.Count(stated, "month", "months") + "."
	}
	return text +
		" The period after opening rests on the challenge test, the pack and the use as well, and is never longer than the shelf life. Common practice."
}

// monthsDown cuts months to one decimal, never up.
func monthsDown(m float64) string {
	cut := math.Floor(m*10+1e-6) / 10
	text := document.PlainFloat(cut)
	if text == "1" {
		return "1 month"
	}
	return text + " months"
}

// dueTable lists the readings that are still to be taken.
func dueTable(due []dueReading) *document.Table {
	t := &document.Table{ID: "stability-due", Title: "Readings to come", SheetName: "Due",
		Columns: []document.Column{{Head: "Date", Fixed: true, Kind: document.KindText},
			{Head: "Test", Weight: 1.6}, {Head: "Week", Kind: document.KindNumber}, {Head: "State"}}}
	for _, d := range due {
		state := document.VerdictCell(document.VerdictNone, "to come")
		if d.Overdue {
			state = document.VerdictCell(document.VerdictOpen, "overdue")
		}
		t.Add(document.DateCell(d.Date), document.TextCell(d.Test.Name()),
			document.NumCell(d.Week, document.RuleExact), state)
	}
	return t
}

// ChallengeSection evaluates counts and challenge tests from their figures.
func ChallengeSection(v *show.View) *document.Section {
	p, tables := v.A.Product, v.A.Options.Law
	s := &document.Section{ID: "micro-evaluated", Title: "Counts and challenge tests against their limits",
		Intro: law.Caution(tables, "T09").Text}
	s.Add(countsTable(v))
	for i := range p.Microbiology {
		m := &p.Microbiology[i]
		if len(m.Counts) > 0 {
			s.Add(challengeTable(i+1, m, tables))
		}
	}
	return s
}

// countsTable compares total counts with the limit of the product's class.
func countsTable(v *show.View) *document.Table {
	t := &document.Table{ID: "micro-counts", Title: "Total counts", SheetName: "Microbiology",
		Empty: "No count with a figure is on record.", Columns: []document.Column{{Head: "Dated", Fixed: true,
			Kind: document.KindText}, {Head: "Batch"}, {Head: "Count", Unit: "CFU/g",
			Kind: document.KindNumber}, {Head: "Limit", Unit: "CFU/g",
			Kind: document.KindNumber}, {Head: "Class", Weight: 1.8}, {Head: "Verdict"}}}
	pt, ok := law.ProductType(v.A.Options.Law, v.A.Product.Type)
	if !ok {
		return t
	}
	class := ageing.MicroClass(v.A.Product.Product, pt)
	for _, m := range v.A.Product.Microbiology {
		if m.Test != "count" || m.CFUPerG == nil {
			continue
		}
		c := ageing.CheckCount(class, *m.CFUPerG, v.A.Options.Law)
		t.Add(document.DateCell(m.Dated), show.TextOr(m.Batch), document.NumCell(c.CFUPerG, document.RuleExact),
			document.NumCell(*c.Limit.Number, document.RuleExact).MarkedIf(c.Limit.FromMemory(),
				show.MemoryMark), document.TextCell(c.Limit.Condition), microCell(c.Verdict))
	}
	return t
}

// microCell is a verdict on a count or a reduction as every document shows it.
func microCell(m ageing.MicroVerdict) document.Cell {
	return document.VerdictCell(map[ageing.MicroVerdict]document.Verdict{ageing.MicroPass: document.VerdictMet,
		ageing.MicroQuery: document.VerdictOpen, ageing.MicroFail: document.VerdictFail}[m], string(m))
}

// challengeTable judges each criterion for each organism.
func challengeTable(number int, m *workshop.MicroTest, tables *table.Tables) *document.Table {
	r := ageing.EvaluateChallenge(m.Counts, tables)
	t := &document.Table{ID: fmt.Sprintf("challenge-%d", number), Title: "Challenge test of " +
		words.OrWord(m.Dated.String(), "no date") + ": evaluated " + r.Verdict() + ", stated " +
		words.OrWord(m.Verdict, "nothing"), SheetName: "Challenge",
		Columns: []document.Column{{Head: "Organism", Fixed: true, Weight: 1.4}, {Head: "Criteria"},
			{Head: "Day", Kind: document.KindNumber}, {Head: "Reduction", Unit: "log10"}, {Head: "Wanted",
				Weight: 1.3}, {Head: "Verdict"}, {Head: "Why", Weight: 1.4}, {Head: "Row"}}}
	for _, l := range r.Lines {
		reduction := document.MissingCell("no count")
		if l.Known {
			text := document.FormatFloat(l.Reduction, 2)
			if l.Bound {
				text = "at least " + text
			}
			reduction = document.TextCell(text)
		}
		t.Add(document.TextCell(l.Organism), document.TextCell(l.Criterion.Set), document.IntCell(l.Criterion.Day),
			reduction, document.TextCell(l.Criterion.Row.Value).MarkedIf(l.Criterion.Row.FromMemory(),
				show.MemoryMark), microCell(l.Verdict), document.TextCell(l.Why), document.TextCell(l.Criterion.Row.Key))
	}
	if len(r.Missing) > 0 {
		t.Note("No counts are entered for " + words.JoinNames(r.Missing) + ".")
	}
	t.Note("Reduction: log10 of the start less log10 of the day. Within " + document.FormatFloat(r.Scatter, 1) +
		" below a criterion a value is a query, not a pass; no increase means not more than that above the day before (stability-micro.csv, rows C1 to C20).")
	return t
}

// Document builds the log of storage tests and microbiology of some products.
func Document(as []*assess.Assessment, day exact.Date) *document.Document {
	d := &document.Document{Title: "Stability and microbiology", Language: "en-GB", Date: day, NoContents: true,
		Caution: show.CautionLine, Marks: show.Marks}
	for _, a := range as {
		v := show.Show(a, "")
		s := d.AddSection("product-"+a.Product.ID, a.Product.Name)
		s.Subsections = []*document.Section{StabilitySection(v), ChallengeSection(v)}
		if len(as) > 1 {
			prefixAnchors(s, a.Product.ID+"-")
		}
	}
	d.NumberSections()
	return d
}

// Shown is what the storage tests of a product show, without the records themselves: the trends
// drawn, and what storage stands for.
func Shown(a *assess.Assessment) *document.Document {
	p, tables := a.Product, a.Options.Law
	d := shown(a, "What the storage tests show")
	s := d.AddSection("trend", "Readings")
	life, _ := supported(evidence.New(a))
	addTrends(s, p, life, tables)
	return d
}

// Evaluated is what counts and challenge tests of a product come to.
func Evaluated(a *assess.Assessment) *document.Document {
	d := shown(a, "Microbiology")
	d.Sections = append(d.Sections, ChallengeSection(show.Show(a, "")))
	return d
}

func shown(a *assess.Assessment, title string) *document.Document {
	return &document.Document{Title: title, Language: "en-GB", Date: a.Options.Date, NoContents: true,
		Caution: show.CautionLine, Marks: show.Marks}
}

// prefixAnchors keeps the anchors of several products in one document apart.
func prefixAnchors(s *document.Section, prefix string) {
	for _, sub := range s.Subsections {
		sub.ID = prefix + sub.ID
		for _, b := range sub.Blocks {
			switch b := b.(type) {
			case *document.Table:
				b.ID = prefix + b.ID
			case *document.LineBand:
				b.ID = prefix + b.ID
			}
		}
	}
}
