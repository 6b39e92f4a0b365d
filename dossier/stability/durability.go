package stability

import (
	"slices"
	"strings"

	"gallipot/calc/ageing"
	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// durability is how far the stability tests carry, in months; see
// [calc.SupportedLife] for the arithmetic. The warm tests give an estimate by a
// rule of thumb and no evidence on their own (stability-micro.csv, row D12).
type durability struct {
	StatedMonths int     // the longest period stated; 0: none
	RealMonths   float64 // by storage at room temperature; 0: none
	RealAt       string
	AgedMonths   float64            // by storage in the warmth; 0: none
	aged         ageing.StorageSpan // the warm test behind them
	AgedAt       string
	Failed       []string // tests that failed and were not passed after that
	Outside      []finding.Finding
	Tests        int              // with at least one reading or a report
	Life         ageing.ShelfLife // all of them together
}

// DurabilityOf looks at all stability tests of a product.
func DurabilityOf(f *evidence.Filing) durability {
	d := durability{StatedMonths: statedMonths(f.P)}
	for i := range f.P.Stability {
		t := &f.P.Stability[i]
		if len(t.Readings) > 0 || f.There(t.File) {
			d.Tests++
		}
		if t.Verdict == "fail" {
			if !passedLater(f.P.Stability[i+1:], t.Test) {
				d.Failed = append(d.Failed, t.Test)
			}
			continue
		}
		d.Outside = append(d.Outside, outsideSpecification(f, t)...)
	}
	var tests []*workshop.StabilityTest
	d.Life, tests = supported(f)
	for i, s := range d.Life.Spans {
		at := evidence.PlaceOf(tests[i].Pos)
		switch {
		case s.Kind == ageing.StorageReal && s.Months > d.RealMonths:
			d.RealMonths, d.RealAt = s.Months, at
		case s.Kind == ageing.StorageAccelerated && s.Months > d.AgedMonths:
			d.AgedMonths, d.AgedAt, d.aged = s.Months, at, s
		}
	}
	return d
}

// supported is what the storage tests of the product speak for, and the test
// behind each span. Readiness, the log and check all ask here, so that they cannot
// say different things.
func supported(f *evidence.Filing) (ageing.ShelfLife, []*workshop.StabilityTest) {
	var spans []ageing.Storage
	var tests []*workshop.StabilityTest
	for i := range f.P.Stability {
		t := &f.P.Stability[i]
		if t.TempC != nil && t.Cycles == 0 {
			spans = append(spans, ageing.Storage{TempC: *t.TempC, Weeks: weeksOf(f, t)})
			tests = append(tests, t)
		}
	}
	return ageing.SupportedLife(spans, f.Law), tests
}

// supportedLife is what the storage tests of the product speak for.
func supportedLife(a *assess.Assessment) ageing.ShelfLife {
	life, _ := supported(assess.Once(a, evidence.New))
	return life
}

// passedLater says whether a test was repeated and passed.
func passedLater(tests []workshop.StabilityTest, name string) bool {
	return slices.ContainsFunc(tests, func(t workshop.StabilityTest) bool {
		return t.Test == name &&
			t.Verdict == "pass"
	})
}

// weeksOf is how long a test speaks for: to its last good reading; without
// readings as long as a passed test with its report was planned.
func weeksOf(f *evidence.Filing, t *workshop.StabilityTest) exact.Num {
	if len(t.Readings) == 0 && t.Weeks != nil && t.Verdict == "pass" && f.There(t.File) {
		return *t.Weeks
	}
	return goodWeeks(f.P, t)
}

// outsideSpecification finds readings outside what the product has to be.
func outsideSpecification(f *evidence.Filing, t *workshop.StabilityTest) []finding.Finding {
	var fs []finding.Finding
	say := func(r workshop.Reading, what, found, allowed string) {
		v := workshop.With().MaybeNum("week", r.Week, "", finding.AsIs).Quote("test", t.Test).
			Name("property", what).Quote("found", found).Quote("allowed", strings.ReplaceAll(allowed, "-", "–"))
		fs = append(fs, f.P.About(finding.NewFinding(finding.Ask, "stability-outside", r.Pos, v)).
			By(finding.TheAssessor).At(f.P.File(), "specification", nil))
	}
	for _, r := range t.Readings {
		if band := band(f.P, "pH"); r.PH != nil && band != nil && (r.PH.Less(band.Min) || band.Max.Less(*r.PH)) {
			say(r, "pH", r.PH.Exact(), f.P.Specification.PH.Text)
		}
		for _, x := range r.Properties {
			v, ok := numberIn(x.Text)
			if band := band(f.P, x.Name); ok && band != nil && (v < band.Min.Float() || v > band.Max.Float()) {
				say(r, x.Name, x.Text, text(f.P.Specification, x.Name))
			}
		}
	}
	return fs
}

// text returns what is specified of a property, as typed.
func text(s workshop.Specification, name string) string {
	for _, x := range s.Properties {
		if x.Name == name {
			return x.Text
		}
	}
	return ""
}

// WarmStore returns the usual temperature of an accelerated test, °C. Source:
// stability-micro.csv, row S6.
func WarmStore(f *evidence.Filing) exact.Num {
	if n := law.StabilityRow(f.Law, "S6").Number; n != nil {
		return *n
	}
	panic("stability-micro.csv: row S6 names no temperature") // the tests rule this out
}

// Enough says whether some months reach the stated ones. Half a day of floating
// point is no shortfall.
func (d durability) Enough(months float64) bool { return months+0.02 >= float64(d.StatedMonths) }

// StabilityFindings say where tests are missing, fail or fall short of what the
// label promises.
//
// Findings: ask "no-stability", "short-stability", "stability-outside"; stop
// "stability-failed".
func StabilityFindings(f *evidence.Filing) []finding.Finding {
	d := DurabilityOf(f)
	fs := d.Outside
	for i, t := range f.P.Stability {
		if t.Verdict == "fail" && !passedLater(f.P.Stability[i+1:], t.Test) {
			fs = append(fs, f.P.About(finding.NewFinding(finding.Stop, "stability-failed", t.Pos, workshop.With().
				Quote("test", t.Test))))
		}
	}
	switch {
	case d.Tests == 0:
		fs = append(fs, f.P.About(finding.NewFinding(finding.Ask, "no-stability", f.P.Pos, nil)).
			By(finding.ALaboratory).At(f.P.File(), "stability", nil))
	case d.StatedMonths > 0 && !d.Enough(max(d.RealMonths, d.AgedMonths)):
		fs = append(fs, f.P.About(finding.NewFinding(finding.Ask, "short-stability", f.P.Durability.Pos,
			workshop.With().Count("months", d.StatedMonths).
				Quote("supported", monthsDown(max(d.RealMonths, d.AgedMonths))).Those("tests", d.Support()))).
			By(finding.ALaboratory).At(f.P.File(), "durability", nil))
	}
	return fs
}

// Support is what the tests support, as terms.
func (d durability) Support() finding.Values {
	var list finding.Values
	if d.RealMonths > 0 {
		list = list.Term("", "in-real-time", workshop.With().Quote("months", monthsDown(d.RealMonths)))
	}
	if d.AgedMonths > 0 {
		list = list.Term("", "in-warmth", workshop.With().Num("weeks", d.aged.Weeks, "", finding.AsIs).
			Num("warm", d.aged.TempC, "°C", finding.AsIs).Quote("months", monthsDown(d.AgedMonths)).
			Num("store", d.Life.StoreC, "°C", finding.AsIs).Figure("q10", d.Life.Q10.Value, ""))
	}
	if len(list) == 0 {
		list = list.Term("", "no-test", nil)
	}
	return list
}
