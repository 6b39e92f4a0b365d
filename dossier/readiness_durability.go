package dossier

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gallipot/ingredients"
)

// durability is how far the stability tests carry, in months.
//
//	real time:   weeks at or below room temperature × 12/52
//	accelerated: weeks × Q10^((T − T_store)/10) × 12/52
//
// A year is taken as 52 weeks. Source: stability-micro.csv, rows Q5 to Q7 and
// S2; the store is taken at the upper end of room temperature, the cautious
// side. It is a rule of thumb and no evidence on its own (row D12), and it says
// nothing of microbes (row Q9).
type durability struct {
	statedMonths int     // the longest period stated; 0: none
	realMonths   float64 // by storage at room temperature
	realAt       string
	agedMonths   float64 // by storage in the warmth
	agedWords    string
	agedAt       string
	failed       []string // tests that failed
	outside      []ingredients.Finding
	tests        int // with at least one reading or a report
}

// durabilityOf looks at all stability tests of a product.
func (f *filing) durabilityOf() durability {
	d := durability{statedMonths: max(f.p.Durability.PAOMonths, f.p.Durability.BestBeforeMonths)}
	q10, store := f.ageing()
	for i, t := range f.p.Stability {
		weeks := f.weeksOf(t)
		if weeks > 0 || f.there(t.File) {
			d.tests++
		}
		if t.Verdict == "fail" {
			if !passedLater(f.p.Stability[i+1:], t.Test) {
				d.failed = append(d.failed, t.Test)
			}
			continue
		}
		d.outside = append(d.outside, f.outsideSpecification(t)...)
		if t.TempC == nil || t.Cycles > 0 || weeks == 0 {
			continue
		}
		months := weeks * 12 / 52
		temp := t.TempC.Float()
		if temp <= store {
			if months > d.realMonths {
				d.realMonths, d.realAt = months, placeOf(t.Pos)
			}
			continue
		}
		if aged := months * math.Pow(q10, (temp-store)/10); aged > d.agedMonths {
			d.agedMonths, d.agedAt = aged, placeOf(t.Pos)
			d.agedWords = fmt.Sprintf("%s weeks at %s °C stand for %s months at %s °C (Q10 %s, a rule of thumb)",
				plain(weeks), t.TempC.Exact(), monthsText(aged), plain(store), plain(q10))
		}
	}
	return d
}

// passedLater says whether a test was repeated and passed.
func passedLater(tests []StabilityTest, name string) bool {
	return slices.ContainsFunc(tests, func(t StabilityTest) bool { return t.Test == name && t.Verdict == "pass" })
}

// weeksOf is how long a test has run: to its last reading; without readings as
// long as a passed test with its report was planned.
func (f *filing) weeksOf(t StabilityTest) float64 {
	longest := 0.0
	for _, r := range t.Readings {
		if r.Week != nil {
			longest = max(longest, r.Week.Float())
		}
	}
	if len(t.Readings) == 0 && t.Weeks != nil && t.Verdict == "pass" && f.there(t.File) {
		return t.Weeks.Float()
	}
	return longest
}

// outsideSpecification finds readings of the pH outside what the product has to
// be.
func (f *filing) outsideSpecification(t StabilityTest) []ingredients.Finding {
	spec := f.p.Specification.PH
	if spec == nil {
		return nil
	}
	var fs []ingredients.Finding
	for _, r := range t.Readings {
		if r.PH == nil || !r.PH.Less(spec.Min) && !spec.Max.Less(*r.PH) {
			continue
		}
		week := "a reading"
		if r.Week != nil {
			week = "week " + r.Week.Exact()
		}
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "stability-outside", r.Pos, "%s of the test %q reads pH %s, the specification allows %s",
			week, t.Test, r.PH.Exact(), strings.ReplaceAll(spec.Text, "-", "–")).On(f.p.ID).AskOf(assessorWord).
			WithWhy("a reading outside its limits ends the claim that the product is stable; common practice, no source").
			WithFix("find out why, and change the formula or the specification"))
	}
	return fs
}

// ageing returns the factor for 10 °C and the temperature of the store.
func (f *filing) ageing() (q10, storeC float64) {
	for _, row := range f.law.Stability() {
		switch row.Key {
		case "Q7":
			q10 = mustNumber(firstNumber.FindString(row.Value))
		case "S2":
			storeC = mustNumber(lastNumber.FindString(row.Value))
		}
	}
	return q10, storeC
}

// warmStore returns the usual temperature of an accelerated test, °C. Source:
// stability-micro.csv, row S6.
func (f *filing) warmStore() float64 {
	for _, row := range f.law.Stability() {
		if row.Key == "S6" && row.Number != nil {
			return row.Number.Float()
		}
	}
	panic("stability-micro.csv: row S6 names no temperature") // the tests rule this out
}

var (
	firstNumber = regexp.MustCompile(`^\d+(\.\d+)?`)
	lastNumber  = regexp.MustCompile(`\d+(\.\d+)?$`)
)

func mustNumber(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic("stability-micro.csv: " + err.Error()) // the table is embedded and tested
	}
	return v
}

// plain prints a figure of the table as it is.
func plain(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// monthsText cuts months to one decimal, never up: what is said must hold.
func monthsText(months float64) string {
	return strconv.FormatFloat(math.Floor(months*10)/10, 'f', -1, 64)
}

// enough says whether some months reach the stated ones. Half a day of floating
// point is no shortfall.
func (d durability) enough(months float64) bool { return months+0.02 >= float64(d.statedMonths) }

// words say what the tests carry.
func (d durability) words() string {
	var parts []string
	if d.realMonths > 0 {
		parts = append(parts, monthsText(d.realMonths)+" months at room temperature so far")
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
	why := "stability under reasonably foreseeable storage is part of the report, and the period on the label rests on it; Regulation (EC) 1223/2009 Annex I part A 2 (dossier-contents.csv, row A2c)"
	for i, t := range f.p.Stability {
		if t.Verdict == "fail" && !passedLater(f.p.Stability[i+1:], t.Test) {
			fs = append(fs, ingredients.Findingf(ingredients.Stop, "stability-failed", t.Pos, "the stability test %q failed", t.Test).On(f.p.ID).WithWhy("%s", why).
				WithFix("change the formula or the pack and test again"))
		}
	}
	switch {
	case d.tests == 0:
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "no-stability", f.p.Pos, "no stability test is on record").On(f.p.ID).AskOf(laboratoryWord).WithWhy("%s", why).
			WithFix("store the product as sold, warm and at room temperature, and enter the readings under stability"))
	case d.statedMonths > 0 && !d.enough(max(d.realMonths, d.agedMonths)):
		at := f.p.Durability.Pos
		fs = append(fs, ingredients.Findingf(ingredients.Ask, "short-stability", at, "the label promises %s, the tests carry %s: %s",
			count(d.statedMonths, "month", "months"), monthsText(max(d.realMonths, d.agedMonths)), d.words()).On(f.p.ID).AskOf(laboratoryWord).WithWhy("%s", why).
			WithFix("go on with the tests, or promise a shorter period until they have run"))
	}
	return fs
}
