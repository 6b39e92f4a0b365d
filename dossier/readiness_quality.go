package dossier

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// qualityRules judge rows A2 and below.
var qualityRules = map[string]func(*filing) answer{
	"A2": together("A2a", "A2b", "A2c", "A2d"),
	"A2a": func(f *filing) answer {
		x := f.each(f.having(func(t traits) bool { return !t.water }), "safety data sheet, specification or certificate of analysis", func(s *ingredients.Sheet) (string, bool) {
			return f.paper(s, "sds", "specification", "coa")
		})
		for _, s := range f.having(func(t traits) bool { return t.nano }) {
			if _, ok := f.paper(s, "specification"); !ok {
				x.words += "; no specification with the particle size of " + s.ID + ", which is nano"
				x = x.asking(f.supplierOf(s))
				if x.state == ReadyPresent {
					x.state = ReadyPartly
				}
			}
		}
		return x
	},
	"A2b": func(f *filing) answer {
		spec := f.p.Specification
		have := map[string]bool{}
		for _, p := range spec.Properties {
			have[p.Name] = true
		}
		var without []string
		for _, name := range []string{"appearance", "odour"} {
			if !have[name] {
				without = append(without, name)
			}
		}
		if water := f.phAsked(); len(water) > 0 && spec.PH == nil {
			without = append(without, "pH, which "+joinNames(water)+" gives a meaning to")
		}
		switch {
		case spec.Pos.IsZero():
			return lacking("no specification").by(makerWord)
		case len(without) > 0:
			return partly("no %s", joinNames(without)).at(placeOf(spec.Pos)).by(makerWord)
		}
		return present("%s", specWords(spec)).at(placeOf(spec.Pos))
	},
	"A2c": func(f *filing) answer {
		d := f.durabilityOf()
		var x answer
		for _, t := range f.p.Stability {
			x = x.at(placeOf(t.Pos))
			if f.there(t.File) {
				x = x.at(t.File)
			}
		}
		x.words = d.words()
		switch {
		case len(d.failed) > 0:
			return lacking("failed: %s", joinNames(d.failed)).at(x.places...).by(laboratoryWord)
		case d.tests == 0:
			return lacking("no stability test is on record").by(laboratoryWord)
		case d.statedMonths == 0:
			return partly("%s; no durability is stated that it could be compared with", x.words).at(x.places...).by(makerWord)
		case len(d.outside) > 0:
			return partly("%s outside the specification", count(len(d.outside), "reading", "readings")).at(x.places...).by(assessorWord)
		case d.enough(d.realMonths):
			x.state = ReadyPresent
		case d.enough(d.agedMonths):
			x.state = ReadyPartly
			x = x.by(assessorWord)
		default:
			return partly("%s, too short for the %s stated", x.words, count(d.statedMonths, "month", "months")).at(x.places...).by(laboratoryWord)
		}
		if without := f.testsWithoutPack(); len(without) > 0 {
			x.state = ReadyPartly
			x.words += "; the pack is not named for " + joinNames(without)
			x = x.by(makerWord)
		}
		return x
	},
	"A2d": func(f *filing) answer {
		d := f.durabilityOf()
		at := placeOf(f.p.Durability.Pos)
		switch {
		case d.statedMonths == 0:
			return lacking("no durability is stated").by(makerWord)
		case d.tests == 0:
			return lacking("%s stated, nothing to derive it from", count(d.statedMonths, "month", "months")).at(at).by(makerWord)
		case !d.enough(max(d.realMonths, d.agedMonths)):
			return partly("%s stated: %s", count(d.statedMonths, "month", "months"), d.words()).at(at, d.realAt, d.agedAt).by(makerWord)
		}
		if micro := f.answer("A3c"); micro.open() {
			return partly("%s stated: %s; the challenge test that belongs to it is %s", count(d.statedMonths, "month", "months"), d.words(), micro.state).at(at, d.realAt, d.agedAt).by(laboratoryWord)
		}
		if !d.life.Supports(d.statedMonths) {
			return partly("%s stated: %s; the shorter one is what the data carry so far", count(d.statedMonths, "month", "months"), d.words()).at(at, d.realAt, d.agedAt).by(assessorWord)
		}
		return present("%s stated: %s", count(d.statedMonths, "month", "months"), d.words()).at(at, d.realAt, d.agedAt)
	},
}

func specWords(spec Specification) string {
	var parts []string
	if spec.PH != nil {
		parts = append(parts, "pH "+strings.ReplaceAll(spec.PH.Text, "-", "–"))
	}
	for _, p := range spec.Properties {
		parts = append(parts, p.Name)
	}
	return joinNames(parts)
}

// testsWithoutPack names stability tests that do not say what the product was
// stored in.
func (f *filing) testsWithoutPack() []string {
	var names []string
	for _, t := range f.p.Stability {
		if t.Pack == "" {
			names = addOnce(names, t.Test)
		}
	}
	return names
}

// microbeRules judge rows A3 and below.
var microbeRules = map[string]func(*filing) answer{
	"A3": together("A3a", "A3b", "A3c", "A3d", "A3e", "A3f"),
	"A3a": func(f *filing) answer {
		risky := f.having(func(t traits) bool { return t.atRisk })
		if len(risky) == 0 {
			return notNeeded("no material is of a kind that carries or grows microbes")
		}
		return f.withPaper(risky, "microbiological certificate", "microbiology")
	},
	"A3b": func(f *filing) answer {
		if low := f.lowRisk(); low.state == ReadyPresent {
			return notNeeded("a low-risk case is made: %s", low.words).at(low.places...)
		}
		count, okCount := f.microTest("count")
		organisms, okOrganisms := f.microTest("organisms")
		x := answer{}.at(count.places...).at(organisms.places...)
		if x.words = "no count of the finished product and no test for the four organisms"; count.words+organisms.words != "" {
			x.words = cmp.Or(count.words, "no count of the finished product") + "; " + cmp.Or(organisms.words, "no test for the four organisms")
		}
		switch {
		case okCount && okOrganisms:
			x.state = ReadyPresent
		case okCount || okOrganisms:
			x.state = ReadyPartly
			return x.by(laboratoryWord)
		default:
			x.state = ReadyMissing
			return x.by(laboratoryWord)
		}
		return x
	},
	"A3c": func(f *filing) answer {
		water, wet := f.wet()
		if !wet && !f.wetInUse() {
			return notNeeded("no water in it, and none gets in when it is used")
		}
		why := "water gets in when it is used"
		if wet {
			why = joinNames(water) + " is in it"
		}
		for _, t := range f.p.Evidence.ChallengeTests {
			at := []string{placeOf(t.Pos)}
			if f.there(t.File) {
				at = append(at, t.File)
			}
			switch {
			case t.Verdict == "A" && f.there(t.File):
				return present("%s of %s: criterion A", t.Method, t.Dated).at(at...)
			case t.Verdict == "A":
				return partly("%s of %s: criterion A; the report is not in the workshop", t.Method, t.Dated).at(at...).by(laboratoryWord)
			case t.Verdict == "B":
				return partly("%s of %s: criterion B only, which needs reasons", t.Method, t.Dated).at(at...).by(assessorWord)
			}
		}
		switch low := f.lowRisk(); {
		case len(f.p.Evidence.ChallengeTests) > 0:
			return lacking("the challenge test failed").at(placeOf(f.p.Evidence.ChallengeTests[0].Pos)).by(laboratoryWord)
		case low.state == ReadyPresent:
			return notNeeded("%s, yet a low-risk case is made: %s; the assessor judges it", why, low.words).at(low.places...)
		}
		return lacking("%s, and no challenge test is on record", why).by(laboratoryWord)
	},
	"A3d": func(f *filing) answer {
		for _, t := range f.p.Evidence.ChallengeTests {
			if t.Verdict == "A" || t.Verdict == "B" {
				return notNeeded("a challenge test is on record").at(placeOf(t.Pos))
			}
		}
		if names := f.preservedBy(); len(names) > 0 && f.p.Evidence.LowRisk == nil {
			return notNeeded("it is preserved, with %s: the challenge test of A3c is what has to show it", joinNames(names))
		}
		return f.lowRisk()
	},
	"A3e": func(f *filing) answer {
		group := "group 3, all others: challenge test and counts"
		if f.lowRisk().state == ReadyPresent {
			group = "group 1, low risk, if the case made for it holds"
		}
		return forAssessor("proposed: %s", group)
	},
	"A3f": func(f *filing) answer {
		water, wet := f.wet()
		switch {
		case wet:
			return notNeeded("%s is in it", joinNames(water))
		case f.wetInUse() && f.p.Evidence.LowRisk == nil:
			return lacking("no water in the formula, but water gets in when it is used: nothing is said about that").by(makerWord)
		}
		return f.lowRisk()
	},
}

// preservedBy names what every variant holds of the preservative lists: one
// variant without any leaves the product as a whole unpreserved.
func (f *filing) preservedBy() []string {
	var names []string
	for _, r := range f.a.Results {
		any := false
		for _, s := range r.Whole().Substances {
			if s.IsIngredient() && s.Pct.Max.Sign() > 0 && f.law.IsPreservative(s.INCI, s.CAS, r.Input.Market, r.Input.Date) {
				names, any = addOnce(names, s.INCI), true
			}
		}
		if !any {
			return nil
		}
	}
	slices.Sort(names)
	return names
}

// lowRisk judges whether the maker's case has what an assessor needs to weigh
// it: a reason, a measurement and its report.
func (f *filing) lowRisk() answer {
	c := f.p.Evidence.LowRisk
	if c == nil {
		return lacking("no low-risk case is made").by(makerWord)
	}
	var figures []string
	for _, m := range []struct {
		name string
		n    *ingredients.Num
		unit string
	}{{"water activity", c.WaterActivity, ""}, {"pH", c.PH, ""}, {"ethanol", c.EthanolPct, " %"}} {
		if m.n != nil {
			figures = append(figures, m.name+" "+m.n.Exact()+m.unit)
		}
	}
	at := placeOf(c.Pos)
	switch {
	case len(figures) == 0:
		return partly("a reason, no measured figure").at(at).by(makerWord)
	case !f.there(c.File):
		return partly("%s; the report is not in the workshop", joinNames(figures)).at(at).by(laboratoryWord)
	}
	return present("%s", joinNames(figures)).at(at, c.File)
}

// microTest returns the passed test of a kind, or what is wrong with it.
func (f *filing) microTest(kind string) (answer, bool) {
	var x answer
	ok := false
	for _, t := range f.p.Microbiology {
		if t.Test != kind {
			continue
		}
		x = x.at(placeOf(t.Pos))
		if f.there(t.File) {
			x = x.at(t.File)
		}
		switch {
		case t.Verdict == "fail":
			x.words = kind + " of " + t.Dated.String() + " failed"
			return x, false
		case t.Verdict == "pass" && f.there(t.File):
			x.words, ok = kind+" of "+t.Dated.String()+" passed", true
		case !ok:
			x.words = kind + " of " + t.Dated.String() + " without verdict or report"
		}
	}
	return x, ok
}

// purityRules judge rows A4 and below.
var purityRules = map[string]func(*filing) answer{
	"A4": together("A4a", "A4b", "A4c", "A4d"),
	"A4a": func(f *filing) answer {
		return f.withPaper(f.sheets, "specification, certificate of analysis or purity statement", "specification", "coa", "purity")
	},
	"A4b": func(f *filing) answer {
		var names []string
		silent := 0
		f.eachResult(func(r *calc.Result) {
			for _, x := range r.Findings {
				if x.Code == "prohibited-trace" {
					names = addOnce(names, x.Subject)
				}
			}
		})
		var x answer
		for _, s := range f.sheets {
			if len(s.Impurities) == 0 && !f.traits[s.ID].water {
				silent++
			}
			for _, i := range s.Impurities {
				x = x.at(placeOf(i.Pos))
			}
		}
		if len(names) == 0 {
			return notNeeded("no trace of a prohibited substance is known; %s no impurity at all", saySheets(silent)).at(x.places...)
		}
		if paper, ok := f.document("other"); ok {
			return present("traces of %s; a paper of kind other is there: whether it shows that they cannot be avoided is for the assessor", joinNames(names)).at(paper)
		}
		return lacking("traces of %s, and nothing that shows that they cannot be avoided", joinNames(names)).at(x.places...).asking(f.traceSuppliers(names)...)
	},
	"A4c": func(f *filing) answer {
		if len(f.p.Packaging) == 0 {
			return lacking("no part of the pack is stated").by(makerWord)
		}
		at := placeOf(f.p.Packaging[0].Pos)
		paper, ok := f.document("packaging")
		fits, tested := f.document("compatibility")
		switch {
		case ok && tested:
			return present("%s; statement on the material and report on pack and product together", count(len(f.p.Packaging), "part", "parts")).at(at, paper, fits)
		case ok:
			return partly("%s and a statement on the material; no report on pack and product together", count(len(f.p.Packaging), "part", "parts")).at(at, paper).by(laboratoryWord)
		case tested:
			return partly("%s and a report on pack and product together; no statement on the material", count(len(f.p.Packaging), "part", "parts")).at(at, fits).by("the supplier of the pack")
		}
		return partly("%s; no statement on the material and no report on pack and product together", count(len(f.p.Packaging), "part", "parts")).at(at).by("the supplier of the pack", laboratoryWord)
	},
	"A4d": func(f *filing) answer { return notNeeded("no change of the pack is on record") },
}

func saySheets(n int) string {
	if n == 1 {
		return "1 sheet states"
	}
	return itoa(n) + " sheets state"
}

// traceSuppliers are the suppliers of the materials that bring some traces.
func (f *filing) traceSuppliers(names []string) []asked {
	var from []asked
	f.eachResult(func(r *calc.Result) {
		for _, s := range r.Whole().Substances {
			for _, name := range names {
				if !strings.EqualFold(s.INCI, name) {
					continue
				}
				for _, c := range s.Contributions {
					if sheet := f.w.Sheets[c.Ingredient]; sheet != nil {
						from = addOnce(from, f.supplierOf(sheet))
					}
				}
			}
		}
	})
	if len(from) == 0 {
		return []asked{{who: "the suppliers"}}
	}
	return from
}
