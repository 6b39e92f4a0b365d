package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// durability is how far the stability tests carry, in months; see
// [calc.SupportedLife] for the arithmetic. The warm tests give an estimate by a
// rule of thumb and no evidence on their own (stability-micro.csv, row D12).
type durability struct {
	statedMonths int     // the longest period stated; 0: none
	realMonths   float64 // by storage at room temperature; 0: none
	realAt       string
	agedMonths   float64 // by storage in the warmth; 0: none
	agedWords    string
	aged         calc.StorageSpan // the warm test behind them
	agedAt       string
	failed       []string // tests that failed and were not passed after that
	outside      []ingredients.Finding
	tests        int            // with at least one reading or a report
	life         calc.ShelfLife // all of them together
}

// durabilityOf looks at all stability tests of a product.
func (f *filing) durabilityOf() durability {
	d := durability{statedMonths: f.p.statedMonths()}
	for i := range f.p.Stability {
		t := &f.p.Stability[i]
		if len(t.Readings) > 0 || f.there(t.File) {
			d.tests++
		}
		if t.Verdict == "fail" {
			if !passedLater(f.p.Stability[i+1:], t.Test) {
				d.failed = append(d.failed, t.Test)
			}
			continue
		}
		d.outside = append(d.outside, f.outsideSpecification(t)...)
	}
	var tests []*StabilityTest
	d.life, tests = f.supported()
	for i, s := range d.life.Spans {
		at := placeOf(tests[i].Pos)
		switch {
		case s.Kind == calc.StorageReal && s.Months > d.realMonths:
			d.realMonths, d.realAt = s.Months, at
		case s.Kind == calc.StorageAccelerated && s.Months > d.agedMonths:
			d.agedMonths, d.agedAt, d.aged = s.Months, at, s
			d.agedWords = fmt.Sprintf("%s weeks at %s °C stand for %s at %s °C (Q10 %s, a rule of thumb)",
				s.Weeks.Exact(), s.TempC.Exact(), monthsDown(s.Months), d.life.StoreC.Exact(), d.life.Q10.Value)
		}
	}
	return d
}

// supported is what the storage tests of the product speak for, and the test
// behind each span. Readiness, the log and check all ask here, so that they cannot
// say different things.
func (f *filing) supported() (calc.ShelfLife, []*StabilityTest) {
	var spans []calc.Storage
	var tests []*StabilityTest
	for i := range f.p.Stability {
		t := &f.p.Stability[i]
		if t.TempC != nil && t.Cycles == 0 {
			spans = append(spans, calc.Storage{TempC: *t.TempC, Weeks: f.weeksOf(t)})
			tests = append(tests, t)
		}
	}
	return calc.SupportedLife(spans, f.law), tests
}

// supportedLife is what the storage tests of the product speak for.
func (a *Assessment) supportedLife() calc.ShelfLife {
	life, _ := newFiling(a).supported()
	return life
}

// passedLater says whether a test was repeated and passed.
func passedLater(tests []StabilityTest, name string) bool {
	return slices.ContainsFunc(tests, func(t StabilityTest) bool { return t.Test == name && t.Verdict == "pass" })
}

// weeksOf is how long a test speaks for: to its last good reading; without
// readings as long as a passed test with its report was planned.
func (f *filing) weeksOf(t *StabilityTest) ingredients.Num {
	if len(t.Readings) == 0 && t.Weeks != nil && t.Verdict == "pass" && f.there(t.File) {
		return *t.Weeks
	}
	return f.p.goodWeeks(t)
}

// outsideSpecification finds readings outside what the product has to be.
func (f *filing) outsideSpecification(t *StabilityTest) []ingredients.Finding {
	var fs []ingredients.Finding
	say := func(r Reading, what, found, allowed string) {
		v := with().MaybeNum("week", r.Week, "", ingredients.AsIs).Quote("test", t.Test).Name("property", what).Quote("found", found).Quote("allowed", strings.ReplaceAll(allowed, "-", "–"))
		fs = append(fs, f.p.about(ingredients.NewFinding(ingredients.Ask, "stability-outside", r.Pos, v)).By(ingredients.TheAssessor).At(f.p.file(), "specification", nil))
	}
	for _, r := range t.Readings {
		if band := f.p.band("pH"); r.PH != nil && band != nil && (r.PH.Less(band.Min) || band.Max.Less(*r.PH)) {
			say(r, "pH", r.PH.Exact(), f.p.Specification.PH.Text)
		}
		for _, x := range r.Properties {
			v, ok := numberIn(x.Text)
			if band := f.p.band(x.Name); ok && band != nil && (v < band.Min.Float() || v > band.Max.Float()) {
				say(r, x.Name, x.Text, f.p.Specification.text(x.Name))
			}
		}
	}
	return fs
}

// text returns what is specified of a property, as typed.
func (s Specification) text(name string) string {
	for _, x := range s.Properties {
		if x.Name == name {
			return x.Text
		}
	}
	return ""
}

// warmStore returns the usual temperature of an accelerated test, °C. Source:
// stability-micro.csv, row S6.
func (f *filing) warmStore() ingredients.Num {
	if n := f.law.StabilityRow("S6").Number; n != nil {
		return *n
	}
	panic("stability-micro.csv: row S6 names no temperature") // the tests rule this out
}

// enough says whether some months reach the stated ones. Half a day of floating
// point is no shortfall.
func (d durability) enough(months float64) bool { return months+0.02 >= float64(d.statedMonths) }

// words say what the tests carry.
func (d durability) words() string {
	var parts []string
	if d.realMonths > 0 {
		parts = append(parts, monthsDown(d.realMonths)+" at room temperature so far")
	}
	if d.agedWords != "" {
		parts = append(parts, d.agedWords)
	}
	if len(parts) == 0 {
		return "no test with a temperature and readings"
	}
	return strings.Join(parts, "; ")
}

// stabilityFindings say where tests are missing, fail or fall short of what the
// label promises.
//
// Findings: ask "no-stability", "short-stability", "stability-outside"; stop
// "stability-failed".
func (f *filing) stabilityFindings() []ingredients.Finding {
	d := f.durabilityOf()
	fs := d.outside
	for i, t := range f.p.Stability {
		if t.Verdict == "fail" && !passedLater(f.p.Stability[i+1:], t.Test) {
			fs = append(fs, f.p.about(ingredients.NewFinding(ingredients.Stop, "stability-failed", t.Pos, with().Quote("test", t.Test))))
		}
	}
	switch {
	case d.tests == 0:
		fs = append(fs, f.p.about(ingredients.NewFinding(ingredients.Ask, "no-stability", f.p.Pos, nil)).By(ingredients.ALaboratory).At(f.p.file(), "stability", nil))
	case d.statedMonths > 0 && !d.enough(max(d.realMonths, d.agedMonths)):
		fs = append(fs, f.p.about(ingredients.NewFinding(ingredients.Ask, "short-stability", f.p.Durability.Pos, with().Count("months", d.statedMonths).
			Quote("supported", monthsDown(max(d.realMonths, d.agedMonths))).Those("tests", d.support()))).By(ingredients.ALaboratory).At(f.p.file(), "durability", nil))
	}
	return fs
}

// support are what the tests support, as values.
func (d durability) support() ingredients.Values {
	var list ingredients.Values
	if d.realMonths > 0 {
		list = list.Term("", "in-real-time", with().Quote("months", monthsDown(d.realMonths)))
	}
	if d.agedMonths > 0 {
		list = list.Term("", "in-warmth", with().Num("weeks", d.aged.Weeks, "", ingredients.AsIs).Num("warm", d.aged.TempC, "°C", ingredients.AsIs).Quote("months", monthsDown(d.agedMonths)).
			Num("store", d.life.StoreC, "°C", ingredients.AsIs).Figure("q10", d.life.Q10.Value, ""))
	}
	if len(list) == 0 {
		list = list.Term("", "no-test", nil)
	}
	return list
}
