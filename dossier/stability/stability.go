package stability

import (
	"slices"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// trendLine is the line through the readings of one property in one test.
type trendLine struct {
	test     *workshop.StabilityTest
	Name     string // pH, viscosity …
	weeks    []float64
	Values   []float64
	texts    []string // as typed
	trend    ageing.Trend
	fitted   bool
	specific *exact.Range // band of the specification; nil: none with figures
}

var leadingNumber = pattern.New(`^[-−]?\d+(\.\d+)?`)

// numberIn returns the number a text starts with, such as that of "12000 mPas".
func numberIn(text string) (float64, bool) {
	n, err := exact.ParseNum(strings.Replace(leadingNumber.FindString(strings.TrimSpace(text)), "−", "-", 1))
	return n.Float(), err == nil
}

// trends gathers every property that was read at least twice as a number, pH
// first, then in the order of the file.
func trends(p *workshop.Product, tables *table.Tables) []trendLine {
	var out []trendLine
	for i := range p.Stability {
		t := &p.Stability[i]
		var names []string
		for _, r := range t.Readings {
			if r.PH != nil {
				names = words.AddOnce(names, "pH")
			}
			for _, x := range r.Properties {
				names = words.AddOnce(names, x.Name)
			}
		}
		slices.SortStableFunc(names, func(a, b string) int { return boolInt(b == "pH") - boolInt(a == "pH") })
		for _, name := range names {
			if l := line(p, t, name); len(l.Values) >= 2 {
				l.trend, l.fitted = ageing.FitTrend(l.weeks, l.Values, tables)
				out = append(out, l)
			}
		}
	}
	return out
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// line takes the readings of one property. A property with a reading in words
// is none that a line fits.
func line(p *workshop.Product, t *workshop.StabilityTest, name string) trendLine {
	l := trendLine{test: t, Name: name, specific: band(p, name)}
	for _, r := range t.Readings {
		if r.Week == nil {
			continue
		}
		if name == "pH" {
			if r.PH != nil {
				l.add(r.Week.Float(), r.PH.Float(), phCell(*r.PH).String())
			}
			continue
		}
		for _, x := range r.Properties {
			if x.Name != name {
				continue
			}
			f, ok := numberIn(x.Text)
			if !ok {
				return trendLine{}
			}
			l.add(r.Week.Float(), f, x.Text)
		}
	}
	return l
}

func (l *trendLine) add(week, value float64, text string) {
	l.weeks, l.Values, l.texts = append(l.weeks, week), append(l.Values, value), append(l.texts, text)
}

// band is what the specification allows of a property, where it gives figures.
func band(p *workshop.Product, name string) *exact.Range {
	if name == "pH" {
		if p.Specification.PH == nil {
			return nil
		}
		return &p.Specification.PH.Range
	}
	for _, x := range p.Specification.Properties {
		if x.Name != name {
			continue
		}
		text, _, _ := strings.Cut(strings.ReplaceAll(x.Text, "–", "-"), " ")
		lo, hi, ranged := strings.Cut(text, "-")
		low, err := exact.ParseNum(lo)
		high, err2 := exact.ParseNum(hi)
		if ranged && err == nil && err2 == nil && !high.Less(low) {
			return &exact.Range{Min: low, Typ: low.Add(high).Quo(exact.Int(2)), Max: high}
		}
	}
	return nil
}

// alike says whether every reading is the same figure: then there is no scatter
// to judge a slope by.
func (l *trendLine) alike() bool {
	return !slices.ContainsFunc(l.Values, func(v float64) bool { return v != l.Values[0] })
}

// inBand says whether a value lies in the band of the specification.
func (l *trendLine) inBand(v float64) bool {
	return l.specific == nil || v >= l.specific.Min.Float() && v <= l.specific.Max.Float()
}

// goodWeeks is how long a storage test ran before anything was out of order:
// to the last reading in front of the first one outside the specification. A
// failed test speaks for nothing.
func goodWeeks(p *workshop.Product, t *workshop.StabilityTest) (weeks exact.Num) {
	if t.Verdict == "fail" {
		return weeks
	}
	readings := slices.Clone(t.Readings)
	readings = slices.DeleteFunc(readings, func(r workshop.Reading) bool { return r.Week == nil })
	slices.SortStableFunc(readings, func(a, b workshop.Reading) int { return a.Week.Cmp(*b.Week) })
	for _, r := range readings {
		if readingBad(p, r) {
			return weeks
		}
		weeks = *r.Week
	}
	return weeks
}

// readingBad says whether a reading lies outside the figures of the
// specification. Words are left to people.
func readingBad(p *workshop.Product, r workshop.Reading) bool {
	if spec := p.Specification.PH; r.PH != nil && spec != nil && (r.PH.Less(spec.Min) || spec.Max.Less(*r.PH)) {
		return true
	}
	for _, x := range r.Properties {
		band := band(p, x.Name)
		if v, ok := numberIn(x.Text); ok && band != nil && (v < band.Min.Float() || v > band.Max.Float()) {
			return true
		}
	}
	return false
}

// statedMonths is the longest period that the product file states.
func statedMonths(p *workshop.Product) int {
	return max(p.Durability.PAOMonths, p.Durability.BestBeforeMonths)
}

// dueReading is a reading that is planned and not yet taken.
type dueReading struct {
	Test    *workshop.StabilityTest
	index   int // place of the test in the file, from 1
	Week    exact.Num
	Date    exact.Date
	Overdue bool
}

// usualChecks are the weeks at which readings are usual.
//
// Source: stability-micro.csv, row S6; after them every quarter, common practice
// without a source. The end takes the place of a week that lies closer to it than
// half of the time since the week before: nobody reads weeks 51 and 52.
func usualChecks(tables *table.Tables, until exact.Num) (weeks []exact.Num) {
	row := law.StabilityRow(tables, "S6")
	last := exact.Num{}
	for _, n := range row.Weeks {
		if !until.Less(n) {
			weeks = append(weeks, n)
		}
		last = n
	}
	quarter := exact.Int(13)
	for n := last.Add(quarter); n.Less(until); n = n.Add(quarter) {
		weeks = append(weeks, n)
	}
	n := len(weeks)
	if n > 0 && !weeks[n-1].Less(until) {
		return weeks
	}
	if n > 1 && until.Sub(weeks[n-1]).Mul(exact.Int(2)).Less(weeks[n-1].Sub(weeks[n-2])) {
		weeks = weeks[:n-1]
	}
	return append(weeks, until)
}

// planned are the weeks at which a test is read: those of its file, else the usual
// ones for its length; none where that is not stated either.
func planned(t *workshop.StabilityTest, tables *table.Tables) []exact.Num {
	if len(t.Checks) == 0 && t.Weeks != nil {
		return usualChecks(tables, *t.Weeks)
	}
	return t.Checks
}

// missed are the planned weeks before the last reading that nobody read. A
// reading stands for the planned week that is nearest to its own.
func missed(t *workshop.StabilityTest, tables *table.Tables) (weeks []exact.Num) {
	planned := slices.SortedFunc(slices.Values(planned(t, tables)), exact.Num.Cmp)
	if len(planned) == 0 {
		return nil
	}
	read := make([]bool, len(planned))
	last := exact.Int(-1)
	for _, r := range t.Readings {
		if r.Week == nil {
			continue
		}
		last = last.Max(*r.Week)
		nearest := 0
		for i, w := range planned {
			if distance(*r.Week, w).Less(distance(*r.Week, planned[nearest])) {
				nearest = i
			}
		}
		read[nearest] = true
	}
	for i, w := range planned {
		if !read[i] && w.Less(last) {
			weeks = append(weeks, w)
		}
	}
	return weeks
}

// distance is how far two numbers lie apart.
func distance(a, b exact.Num) exact.Num {
	if a.Less(b) {
		return b.Sub(a)
	}
	return a.Sub(b)
}

// due lists the readings that are still to be taken of tests that have begun and
// have no verdict, the earliest first.
func due(p *workshop.Product, tables *table.Tables, day exact.Date) (list []dueReading) {
	for i := range p.Stability {
		t := &p.Stability[i]
		if t.Started.IsZero() || t.Verdict == "pass" || t.Verdict == "fail" || t.Weeks == nil &&
			len(t.Checks) == 0 {
			continue
		}
		last := exact.Int(-1)
		for _, r := range t.Readings {
			if r.Week != nil {
				last = last.Max(*r.Week)
			}
		}
		for _, w := range planned(t, tables) {
			if last.Less(w) {
				date := assess.After(t, w)
				list = append(list, dueReading{t, i + 1, w, date, date.Before(day)})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b dueReading) int { return int(a.Date) - int(b.Date) })
	return list
}
