package dossier

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/ingredients"
)

// stabilitySection shows storage tests, their readings, a straight line through
// each with its uncertainty, what the tests support and what is still to be read.
func (v *view) stabilitySection() *Section {
	p, tables := v.a.Product, v.a.Options.Law
	s := &Section{ID: "stability", Title: "Stability tests",
		Intro: "Storage tests as recorded. A line through readings describes what was read and is no model of ageing."}
	f := newFiling(v.a)
	life, _ := f.supported()
	s.Add(f.stabilityTests(), missedNotes(readingsTable(v.a.entered, v.a.Options.Date), p, tables))
	trends := p.trends(tables)
	for _, c := range trendCharts(trends) {
		s.Add(c)
	}
	s.Add(trendTable(trends, tables), lifeTable(life))
	s.Add(Caution("What the tests support", lifeWords(p, life, tables)+" "+tables.Caution("T08").Text))
	if due := p.due(tables, v.a.Options.Date); len(due) > 0 {
		s.Add(dueTable(due))
	}
	return s
}

func (f *filing) stabilityTests() *Table {
	t := &Table{ID: "stability-tests", Title: "Tests", SheetName: "Stability", Empty: "No stability test is on record.", Columns: []Column{{Head: "Test", Fixed: true, Weight: 1.3}, {Head: "Pack", Weight: 1.2}, {Head: "Batch"}, {Head: "Begun", Kind: KindText},
		{Head: "Planned", Unit: "weeks", Kind: KindNumber}, {Head: "Good so far", Unit: "weeks", Kind: KindNumber}, {Head: "Verdict"}, {Head: "Report", Weight: 1.3}}}
	for i := range f.p.Stability {
		x := &f.p.Stability[i]
		weeks := f.weeksOf(x)
		good := NumCell(weeks, RuleExact)
		if len(x.Readings) == 0 && weeks.IsZero() {
			good = MissingCell("no reading")
		}
		t.Add(TextCell(x.name()), textOr(x.Pack), textOr(x.Batch), DateCell(x.Started), exactOr(x.Weeks, "not stated"), good, testVerdict(x.Verdict), textOr(x.File))
	}
	return t
}

func exactOr(n *ingredients.Num, missing string) Cell {
	if n == nil {
		return MissingCell(missing)
	}
	return NumCell(*n, RuleExact)
}

func testVerdict(word string) Cell {
	switch word {
	case "pass":
		return VerdictCell(VerdictMet, "pass")
	case "fail":
		return VerdictCell(VerdictFail, "fail")
	case "open":
		return VerdictCell(VerdictOpen, "open")
	}
	return MissingCell("none stated")
}

// readingsTable lists every reading, words and figures alike, and says which are
// of days to come.
func readingsTable(p *Product, day ingredients.Date) *Table {
	t := &Table{ID: "stability-readings", Title: "Readings", SheetName: "Readings", Empty: "No reading is on record.",
		Columns: []Column{{Head: "Test", Fixed: true, Weight: 1.2}, {Head: "Week", Kind: KindNumber}, {Head: "pH", Kind: KindNumber}, {Head: "In the specification"}, {Head: "What was seen", Weight: 2.6}}}
	for i := range p.Stability {
		x := &p.Stability[i]
		for _, r := range x.Readings {
			ph := MissingCell("not read")
			if r.PH != nil {
				ph = phCell(*r.PH)
			}
			var seen []string
			for _, q := range r.Properties {
				seen = append(seen, q.Name+": "+q.Text)
			}
			verdict := VerdictCell(VerdictMet, "as far as figures tell")
			if p.readingBad(r) {
				verdict = VerdictCell(VerdictFail, "outside")
			}
			if day.Before(x.day(r)) {
				verdict = notYet(day)
			}
			t.Add(TextCell(x.name()), exactOr(r.Week, "no week"), ph, verdict, TextCell(strings.Join(seen, "; ")))
		}
	}
	return t
}

// missedNotes says of each test which planned readings nobody took.
func missedNotes(t *Table, p *Product, tables *law.Tables) *Table {
	for i := range p.Stability {
		x := &p.Stability[i]
		var weeks []string
		for _, w := range x.missed(tables) {
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
		t.Note(fmt.Sprintf("%s: not read in %s %s, %s.", checkName(x.name()), word, joinNames(weeks), plan))
	}
	return t
}

// notYet is the verdict on what is dated after the day of the run.
func notYet(day ingredients.Date) Cell {
	return VerdictCell(VerdictOpen, "after "+day.String()+": does not count")
}

// phCell prints a pH with one decimal at least: 5 is read as 5.0.
func phCell(n ingredients.Num) Cell {
	_, decimals, _ := strings.Cut(n.Exact(), ".")
	return NumCell(n, RuleFixed(max(1, len(decimals))))
}

// trendCharts plots each property with figures, a line for each test.
func trendCharts(trends []trendLine) (charts []Block) {
	var names []string
	for _, l := range trends {
		names = addOnce(names, l.name)
	}
	for _, name := range names {
		c := &LineBand{ID: "chart-stability-" + slug(name), Title: checkName(name) + " over time", XLabel: "weeks", YLabel: name, Caption: "Points are readings; a line through them is the fit by least squares."}
		for _, l := range trends {
			if l.name != name {
				continue
			}
			if l.specific != nil {
				lo, hi := l.specific.Min.Float(), l.specific.Max.Float()
				c.Lower, c.Upper = &lo, &hi
			}
			series := LineSeries{Name: l.test.name()}
			for i := range l.weeks {
				series.Points = append(series.Points, LinePoint{X: l.weeks[i], Y: l.values[i], Cell: TextCell(l.texts[i])})
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
func (l *trendLine) fit() []FitPoint {
	if !l.fitted || l.alike() {
		return nil
	}
	from, to := slices.Min(l.weeks), slices.Max(l.weeks)
	points := make([]FitPoint, fitSteps+1)
	for i := range points {
		x := from + (to-from)*float64(i)/fitSteps
		low, high, ok := l.trend.Reach(x)
		if !ok {
			low, high = math.NaN(), math.NaN()
		}
		points[i] = FitPoint{X: x, Y: l.trend.At(x), Low: low, High: high}
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
func trendTable(trends []trendLine, tables *law.Tables) *Table {
	t := &Table{ID: "stability-trends", Title: "Straight line through the readings", SheetName: "Trends", Empty: "No property was read twice as a figure.",
		Columns: []Column{{Head: "Property", Fixed: true}, {Head: "Test", Weight: 1.3}, {Head: "Readings", Kind: KindNumber}, {Head: "Slope", Unit: "per week", Kind: KindNumber}, {Head: "± (95 %)", Unit: "per week", Kind: KindNumber}, {Head: "Reads as", Weight: 1.8}}}
	for _, l := range trends {
		if !l.fitted {
			continue
		}
		half := MissingCell("two readings fit any line")
		words := VerdictCell(VerdictNone, "nothing can be said")
		if !math.IsNaN(l.trend.HalfWidth) {
			half = FloatCell(l.trend.HalfWidth, 2)
			words = VerdictCell(VerdictMet, "no change beyond the scatter")
			if l.alike() {
				words = VerdictCell(VerdictMet, "all readings alike")
			} else if l.trend.Moves() {
				words = VerdictCell(VerdictOpen, "rising")
				if l.trend.Slope < 0 {
					words = VerdictCell(VerdictOpen, "falling")
				}
			}
		}
		t.Add(TextCell(l.name), TextCell(l.test.name()), IntCell(l.trend.N), FloatCell(l.trend.Slope, 2), half, words)
	}
	if len(t.Rows) > 0 {
		t.Note("Least squares; the range is t(0.975, n − 2) times the standard error of the slope. " + tables.TQuantile(1).Source + " (t-quantiles.csv).")
	}
	return t
}

// lifeTable shows what each storage test stands for.
func lifeTable(l calc.ShelfLife) *Table {
	t := &Table{ID: "stability-life", Title: "What storage stands for", SheetName: "Stability", Empty: "No storage test with a temperature is on record.",
		Columns: []Column{{Head: "Temperature", Unit: "°C", Kind: KindNumber}, {Head: "Good for", Unit: "weeks", Kind: KindNumber}, {Head: "Counts as", Fixed: true, Weight: 1.2}, {Head: "Factor", Kind: KindNumber}, {Head: "On the shelf", Unit: "months", Kind: KindNumber}}}
	for _, s := range l.Spans {
		months, factor := FloatCell(s.Months, 3), FloatCell(s.Factor, 3)
		if s.Kind == calc.StorageCold {
			months, factor = TextCell("says nothing"), BlankCell()
		}
		t.Add(NumCell(s.TempC, RuleExact), NumCell(s.Weeks, RuleExact), TextCell(string(s.Kind)), factor.MarkedIf(l.Q10.FromMemory(), memoryMark), months)
	}
	if len(t.Rows) > 0 {
		t.Note(fmt.Sprintf("Factor: %s to the power of (test − shelf) ÷ 10, with a shelf of %s °C, the upper end of room temperature; a year is taken as 52 weeks. %s; not for melting, light or microbes (stability-micro.csv, rows S2, Q5 to Q7, Q9).", l.Q10.Value, l.StoreC.Exact(), l.Q10.Source))
	}
	return t
}

// lifeWords says what the data support, never more than that.
func lifeWords(p *Product, l calc.ShelfLife, tables *law.Tables) string {
	if l.Months == nil {
		return "No storage test speaks for any shelf life yet. A start-up choice of makers is " + tables.StabilityRow("D1").Value + " months until own data are there (common practice, stability-micro.csv, row D1)."
	}
	var parts []string
	if l.Real != nil {
		parts = append(parts, monthsDown(*l.Real)+" in real time")
	}
	if l.Accelerate != nil {
		parts = append(parts, monthsDown(*l.Accelerate)+" by the estimate from warm storage")
	}
	text := "The storage tests support " + joinNames(parts) + "."
	switch {
	case l.Real == nil:
		text += " There is no test in real time yet."
	case l.Accelerate != nil:
		text += " The shorter one is what the data carry so far: " + monthsDown(*l.Months) + "."
	}
	if stated := p.statedMonths(); stated > 0 {
		text += " Stated is " + count(stated, "month", "months") + "."
	}
	return text + " The period after opening rests on the challenge test, the pack and the use as well, and is never longer than the shelf life. Common practice."
}

// monthsDown cuts months to one decimal, never up.
func monthsDown(m float64) string {
	cut := math.Floor(m*10+1e-6) / 10
	text := plainFloat(cut)
	if text == "1" {
		return "1 month"
	}
	return text + " months"
}

// dueTable lists the readings that are still to be taken.
func dueTable(due []dueReading) *Table {
	t := &Table{ID: "stability-due", Title: "Readings to come", SheetName: "Due", Columns: []Column{{Head: "Date", Fixed: true, Kind: KindText}, {Head: "Test", Weight: 1.6}, {Head: "Week", Kind: KindNumber}, {Head: "State"}}}
	for _, d := range due {
		state := VerdictCell(VerdictNone, "to come")
		if d.overdue {
			state = VerdictCell(VerdictOpen, "overdue")
		}
		t.Add(DateCell(d.date), TextCell(d.test.name()), NumCell(d.week, RuleExact), state)
	}
	return t
}

// challengeSection evaluates counts and challenge tests from their figures.
func (v *view) challengeSection() *Section {
	p, tables := v.a.Product, v.a.Options.Law
	s := &Section{ID: "micro-evaluated", Title: "Counts and challenge tests against their limits", Intro: tables.Caution("T09").Text}
	s.Add(v.countsTable())
	for i := range p.Microbiology {
		m := &p.Microbiology[i]
		if len(m.Counts) > 0 {
			s.Add(challengeTable(i+1, m, tables))
		}
	}
	return s
}

// countsTable compares total counts with the limit of the product's class.
func (v *view) countsTable() *Table {
	t := &Table{ID: "micro-counts", Title: "Total counts", SheetName: "Microbiology", Empty: "No count with a figure is on record.", Columns: []Column{{Head: "Dated", Fixed: true, Kind: KindText}, {Head: "Batch"}, {Head: "Count", Unit: "CFU/g", Kind: KindNumber}, {Head: "Limit", Unit: "CFU/g", Kind: KindNumber}, {Head: "Class", Weight: 1.8}, {Head: "Verdict"}}}
	pt, ok := v.a.Options.Law.ProductType(v.a.Product.Type)
	if !ok {
		return t
	}
	class := calc.MicroClass(v.a.Product.Product, pt)
	for _, m := range v.a.Product.Microbiology {
		if m.Test != "count" || m.CFUPerG == nil {
			continue
		}
		c := calc.CheckCount(class, *m.CFUPerG, v.a.Options.Law)
		t.Add(DateCell(m.Dated), textOr(m.Batch), NumCell(c.CFUPerG, RuleExact), NumCell(*c.Limit.Number, RuleExact).MarkedIf(c.Limit.FromMemory(), memoryMark), TextCell(c.Limit.Condition), microCell(c.Verdict))
	}
	return t
}

func microCell(m calc.MicroVerdict) Cell {
	return VerdictCell(map[calc.MicroVerdict]Verdict{calc.MicroPass: VerdictMet, calc.MicroQuery: VerdictOpen, calc.MicroFail: VerdictFail}[m], string(m))
}

// challengeTable judges each criterion for each organism.
func challengeTable(number int, m *MicroTest, tables *law.Tables) *Table {
	r := calc.EvaluateChallenge(m.Counts, tables)
	t := &Table{ID: fmt.Sprintf("challenge-%d", number), Title: "Challenge test of " + orWord(m.Dated.String(), "no date") + ": evaluated " + r.Verdict() + ", stated " + orWord(m.Verdict, "nothing"), SheetName: "Challenge",
		Columns: []Column{{Head: "Organism", Fixed: true, Weight: 1.4}, {Head: "Criteria"}, {Head: "Day", Kind: KindNumber}, {Head: "Reduction", Unit: "log10"}, {Head: "Wanted", Weight: 1.3}, {Head: "Verdict"}, {Head: "Why", Weight: 1.4}, {Head: "Row"}}}
	for _, l := range r.Lines {
		reduction := MissingCell("no count")
		if l.Known {
			text := FormatFloat(l.Reduction, 2)
			if l.Bound {
				text = "at least " + text
			}
			reduction = TextCell(text)
		}
		t.Add(TextCell(l.Organism), TextCell(l.Criterion.Set), IntCell(l.Criterion.Day), reduction, TextCell(l.Criterion.Row.Value).MarkedIf(l.Criterion.Row.FromMemory(), memoryMark), microCell(l.Verdict), TextCell(l.Why), TextCell(l.Criterion.Row.Key))
	}
	if len(r.Missing) > 0 {
		t.Note("No counts are entered for " + joinNames(r.Missing) + ".")
	}
	t.Note("Reduction: log10 of the start less log10 of the day. Within " + FormatFloat(r.Scatter, 1) + " below a criterion a value is a query, not a pass; no increase means not more than that above the day before (stability-micro.csv, rows C1 to C20).")
	return t
}

// Stability builds the log of storage tests and microbiology of some products.
func Stability(as []*Assessment, day ingredients.Date) *Document {
	d := &Document{Title: "Stability and microbiology", Language: "en-GB", Date: day, NoContents: true, Caution: CautionLine, Marks: marks}
	for _, a := range as {
		v := a.show("")
		s := d.AddSection("product-"+a.Product.ID, a.Product.Name)
		s.Subsections = []*Section{v.stabilitySection(), v.challengeSection()}
		if len(as) > 1 {
			prefixAnchors(s, a.Product.ID+"-")
		}
	}
	d.NumberSections()
	return d
}

// prefixAnchors keeps the anchors of several products in one document apart.
func prefixAnchors(s *Section, prefix string) {
	for _, sub := range s.Subsections {
		sub.ID = prefix + sub.ID
		for _, b := range sub.Blocks {
			switch b := b.(type) {
			case *Table:
				b.ID = prefix + b.ID
			case *LineBand:
				b.ID = prefix + b.ID
			}
		}
	}
}
