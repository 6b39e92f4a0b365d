package ready

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/dossier/evidence"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// qualityRules judge rows A2 and below.
var qualityRules = map[string]func(*evidence.Filing) evidence.Answer{
	"A2":  together("A2a", "A2b", "A2c", "A2d"),
	"A2a": materialCharacteristics,
	"A2b": finishedSpecification,
	"A2c": stabilityStudy,
	"A2d": durabilityReasoning,
}

func materialCharacteristics(f *evidence.Filing) evidence.Answer {
	x := f.Each(f.Having(func(t evidence.Traits) bool { return !t.Water }),
		evidence.Wanted{Words: "safety data sheet, specification or certificate of analysis",
			Short: "data sheet or specification"}, func(s *ingredients.Sheet) (string, bool) {
			return f.Paper(s, "sds", "specification", "coa")
		})
	for _, s := range f.Having(func(t evidence.Traits) bool { return t.Nano }) {
		if _, ok := f.Paper(s, "specification"); !ok {
			says := "; no specification with the particle size of " + s.Named().Text + ", which is nano"
			x = x.Also(says, says).Asking(f.SupplierOf(s))
			if x.State == evidence.ReadyPresent {
				x.State = evidence.ReadyPartly
			}
		}
	}
	return x
}

func finishedSpecification(f *evidence.Filing) evidence.Answer {
	spec := f.P.Specification
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
	if water := f.PhAsked(); len(water) > 0 && spec.PH == nil {
		without = append(without, "pH, which "+words.JoinNames(water)+" gives a meaning to")
	}
	switch {
	case spec.Pos.IsZero():
		return evidence.Lacking("no specification").By(words.MakerWord)
	case len(without) > 0:
		return evidence.Partly("no %s", words.JoinNames(without)).At(evidence.PlaceOf(spec.Pos)).
			By(words.MakerWord)
	}
	return evidence.Present("%s", specWords(spec)).At(evidence.PlaceOf(spec.Pos))
}

func stabilityStudy(f *evidence.Filing) evidence.Answer {
	d := stability.DurabilityOf(f)
	var x evidence.Answer
	for _, t := range f.P.Stability {
		x = x.At(evidence.PlaceOf(t.Pos))
		if f.There(t.File) {
			x = x.At(t.File)
		}
	}
	x.Words, x.Short = d.Words(), d.Short()
	switch {
	case len(d.Failed) > 0:
		return evidence.Lacking("failed: %s", words.JoinNames(d.Failed)).At(x.Places...).By(words.LaboratoryWord)
	case d.Tests == 0:
		return evidence.Lacking("no stability test is on record").By(words.LaboratoryWord)
	case d.StatedMonths == 0:
		return evidence.Partly("%s; no durability is stated that it could be compared with", x.Words).
			InShort("%s; no durability is stated that it could be compared with", x.Short).
			At(x.Places...).By(words.MakerWord)
	case len(d.Outside) > 0:
		return evidence.Partly("%s outside the specification", words.Count(len(d.Outside), "reading", "readings")).
			At(x.Places...).By(words.AssessorWord)
	case d.Enough(d.RealMonths):
		x.State = evidence.ReadyPresent
	case d.Enough(d.AgedMonths):
		x.State = evidence.ReadyPartly
		x = x.By(words.AssessorWord)
	default:
		stated := words.Count(d.StatedMonths, "month", "months")
		return evidence.Partly("%s, too short for the %s stated", x.Words, stated).
			InShort("%s, too short for the %s stated", x.Short, stated).At(x.Places...).By(words.LaboratoryWord)
	}
	if without := testsWithoutPack(f); len(without) > 0 {
		x.State = evidence.ReadyPartly
		says := "; the pack is not named for " + words.JoinNames(without)
		x = x.Also(says, says).By(words.MakerWord)
	}
	if x.State == evidence.ReadyPresent {
		return forAll(f, x, stability.IsStorage)
	}
	return x
}

func durabilityReasoning(f *evidence.Filing) evidence.Answer {
	d := stability.DurabilityOf(f)
	stated := words.Count(d.StatedMonths, "month", "months") + " stated"
	at := evidence.PlaceOf(f.P.Durability.Pos)
	switch {
	case d.StatedMonths == 0:
		return evidence.Lacking("no durability is stated").By(words.MakerWord)
	case d.Tests == 0:
		return evidence.Lacking("%s, nothing to derive it from", stated).At(at).By(words.MakerWord)
	case !d.Enough(max(d.RealMonths, d.AgedMonths)):
		return evidence.Partly("%s: %s", stated, d.Words()).InShort("%s: %s", stated, d.Short()).
			At(at, d.RealAt, d.AgedAt).By(words.MakerWord)
	}
	if micro := f.Answer("A3c"); micro.Open() {
		return evidence.Partly("%s: %s; the challenge test that belongs to it is %s", stated, d.Words(), micro.State).
			InShort("%s: %s; challenge test %s", stated, d.Short(), micro.State).At(at, d.RealAt, d.AgedAt).
			By(words.LaboratoryWord)
	}
	if !d.Life.Supports(d.StatedMonths) {
		return evidence.Partly("%s: %s; the shorter one is what the data carry so far", stated, d.Words()).
			InShort("%s: %s; the shorter one is what the data carry so far", stated, d.Short()).At(at,
			d.RealAt, d.AgedAt).
			By(words.AssessorWord)
	}
	return evidence.Present("%s: %s", stated, d.Words()).InShort("%s: %s", stated, d.Short()).
		At(at, d.RealAt, d.AgedAt)
}

func specWords(spec workshop.Specification) string {
	var parts []string
	if spec.PH != nil {
		parts = append(parts, "pH "+strings.ReplaceAll(spec.PH.Text, "-", "–"))
	}
	for _, p := range spec.Properties {
		parts = append(parts, p.Name)
	}
	return words.JoinNames(parts)
}

// testsWithoutPack names stability tests that do not say what the product was
// stored in.
func testsWithoutPack(f *evidence.Filing) []string {
	var names []string
	for _, t := range f.P.Stability {
		if t.Pack == "" {
			names = words.AddOnce(names, t.Test)
		}
	}
	return names
}

// microbeRules judge rows A3 and below.
var microbeRules = map[string]func(*evidence.Filing) evidence.Answer{
	"A3":  together("A3a", "A3b", "A3c", "A3d", "A3e", "A3f"),
	"A3a": materialMicrobiology,
	"A3b": finishedMicrobialLimits,
	"A3c": challengeTest,
	"A3d": lowRiskCase,
	"A3e": microbialGrouping,
	"A3f": waterlessItems,
}

func materialMicrobiology(f *evidence.Filing) evidence.Answer {
	risky := f.Having(func(t evidence.Traits) bool { return t.AtRisk })
	if len(risky) == 0 {
		return evidence.NotNeeded("no material is of a kind that carries or grows microbes")
	}
	return f.WithPaper(risky, evidence.Wanted{Words: "microbiological certificate"}, "microbiology")
}

func finishedMicrobialLimits(f *evidence.Filing) evidence.Answer {
	if low := lowRisk(f); low.State == evidence.ReadyPresent {
		return evidence.NotNeeded("a low-risk case is made: %s", low.Words).At(low.Places...)
	}
	count, okCount := microTest(f, "count")
	organisms, okOrganisms := microTest(f, "organisms")
	x := evidence.Answer{}.At(count.Places...).At(organisms.Places...)
	if x.Words = "no count of the finished product and no test for the four organisms"; count.Words+organisms.Words != "" {
		x.Words = cmp.Or(count.Words, "no count of the finished product") + "; " +
			cmp.Or(organisms.Words, "no test for the four organisms")
	}
	switch {
	case okCount && okOrganisms:
		x.State = evidence.ReadyPresent
	case okCount || okOrganisms:
		x.State = evidence.ReadyPartly
		return x.By(words.LaboratoryWord)
	default:
		x.State = evidence.ReadyMissing
		return x.By(words.LaboratoryWord)
	}
	return x
}

func challengeTest(f *evidence.Filing) evidence.Answer {
	water, wet := f.Wet()
	if !wet && !f.WetInUse() {
		return evidence.NotNeeded("no water in it, and none gets in when it is used")
	}
	why := "water gets in when it is used"
	if wet {
		why = words.JoinNames(water) + " is in it"
	}
	for _, t := range f.P.Evidence.ChallengeTests {
		at := []string{evidence.PlaceOf(t.Pos)}
		if f.There(t.File) {
			at = append(at, t.File)
		}
		switch {
		case t.Verdict == "A" && f.There(t.File):
			return forAll(f, evidence.Present("%s of %s: criterion A", t.Method, t.Dated).At(at...),
				stability.IsChallenge)
		case t.Verdict == "A":
			return evidence.Partly("%s of %s: criterion A; the report is not on file", t.Method, t.Dated).
				At(at...).By(words.LaboratoryWord)
		case t.Verdict == "B":
			return evidence.Partly("%s of %s: criterion B only, which needs reasons", t.Method, t.Dated).At(at...).
				By(words.AssessorWord)
		}
	}
	switch low := lowRisk(f); {
	case len(f.P.Evidence.ChallengeTests) > 0:
		return evidence.Lacking("the challenge test failed").
			At(evidence.PlaceOf(f.P.Evidence.ChallengeTests[0].Pos)).By(words.LaboratoryWord)
	case low.State == evidence.ReadyPresent:
		return evidence.NotNeeded("%s, yet a low-risk case is made: %s; the assessor judges it", why, low.Words).
			At(low.Places...)
	}
	return evidence.Lacking("%s, and no challenge test is on record", why).By(words.LaboratoryWord)
}

func lowRiskCase(f *evidence.Filing) evidence.Answer {
	for _, t := range f.P.Evidence.ChallengeTests {
		if t.Verdict == "A" || t.Verdict == "B" {
			return evidence.NotNeeded("a challenge test is on record").At(evidence.PlaceOf(t.Pos))
		}
	}
	if names := preservedBy(f); len(names) > 0 && f.P.Evidence.LowRisk == nil {
		return evidence.NotNeeded("it is preserved, with %s: the challenge test of A3c is what has to show it",
			words.JoinNames(names)).InShort("preserved with %s: the challenge test (A3c) has to show it",
			words.JoinNames(names))
	}
	return lowRisk(f)
}

func microbialGrouping(f *evidence.Filing) evidence.Answer {
	group := "group 3, all others: challenge test and counts"
	if lowRisk(f).State == evidence.ReadyPresent {
		group = "group 1, low risk, if the case made for it holds"
	}
	return evidence.ForAssessor("proposed: %s", group)
}

func waterlessItems(f *evidence.Filing) evidence.Answer {
	water, wet := f.Wet()
	switch {
	case wet:
		return evidence.NotNeeded("%s is in it", words.JoinNames(water))
	case f.WetInUse() && f.P.Evidence.LowRisk == nil:
		return evidence.Lacking("no water in the formula, but water gets in when it is used: nothing is said about that").
			InShort("no water in the formula, but water gets in when it is used").By(words.MakerWord)
	}
	return lowRisk(f)
}

// preservedBy names what every variant holds of the preservative lists: one
// variant without any leaves the product as a whole unpreserved.
func preservedBy(f *evidence.Filing) []string {
	var names []string
	for _, r := range f.A.Results {
		any := false
		for _, s := range r.Whole().Substances {
			if s.IsIngredient() && s.Pct.Max.Sign() > 0 && law.IsPreservative(f.Law, s.INCI, s.CAS, r.Input.Market,
				r.Input.Date) {
				names, any = words.AddOnce(names, s.INCI), true
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
func lowRisk(f *evidence.Filing) evidence.Answer {
	c := f.P.Evidence.LowRisk
	if c == nil {
		return evidence.Lacking("no low-risk case is made").By(words.MakerWord)
	}
	var figures []string
	for _, m := range []struct {
		name string
		n    *exact.Num
		unit string
	}{{"water activity", c.WaterActivity, ""}, {"pH", c.PH, ""}, {"ethanol", c.EthanolPct, " %"}} {
		if m.n != nil {
			figures = append(figures, m.name+" "+m.n.Exact()+m.unit)
		}
	}
	at := evidence.PlaceOf(c.Pos)
	switch {
	case len(figures) == 0:
		return evidence.Partly("a reason, no measured figure").At(at).By(words.MakerWord)
	case !f.There(c.File):
		return evidence.Partly("%s; the report is not on file", words.JoinNames(figures)).At(at).
			By(words.LaboratoryWord)
	}
	return evidence.Present("%s", words.JoinNames(figures)).At(at, c.File)
}

// microTest returns the passed test of a kind, or what is wrong with it.
func microTest(f *evidence.Filing, kind string) (evidence.Answer, bool) {
	var x evidence.Answer
	ok := false
	for _, t := range f.P.Microbiology {
		if t.Test != kind {
			continue
		}
		x = x.At(evidence.PlaceOf(t.Pos))
		if f.There(t.File) {
			x = x.At(t.File)
		}
		switch {
		case t.Verdict == "fail":
			x.Words = kind + " of " + t.Dated.String() + " failed"
			return x, false
		case t.Verdict == "pass" && f.There(t.File):
			x.Words, ok = kind+" of "+t.Dated.String()+" passed", true
		case !ok:
			x.Words = kind + " of " + t.Dated.String() + " without verdict or report"
		}
	}
	return x, ok
}

// purityRules judge rows A4 and below.
var purityRules = map[string]func(*evidence.Filing) evidence.Answer{
	"A4":  together("A4a", "A4b", "A4c", "A4d"),
	"A4a": purityOfMaterials,
	"A4b": tracesOfProhibited,
	"A4c": primaryPackaging,
	"A4d": packChange,
}

func purityOfMaterials(f *evidence.Filing) evidence.Answer {
	return f.WithPaper(f.Sheets, evidence.Wanted{Words: "specification, certificate of analysis or purity statement",
		Lacking: "no document on purity"}, "specification",
		"coa", "purity")
}

func tracesOfProhibited(f *evidence.Filing) evidence.Answer {
	var names []string
	silent := 0
	f.EachResult(func(r *calc.Result) {
		for _, x := range r.Findings {
			if x.Code == "prohibited-trace" {
				names = words.AddOnce(names, x.Subject)
			}
		}
	})
	var x evidence.Answer
	for _, s := range f.Sheets {
		if len(s.Impurities) == 0 && !f.Traits[s.ID].Water {
			silent++
		}
		for _, i := range s.Impurities {
			x = x.At(evidence.PlaceOf(i.Pos))
		}
	}
	if len(names) == 0 {
		if silent == 0 {
			return evidence.NotNeeded("no trace of a prohibited substance is among the impurities that the sheets state").At(x.Places...)
		}
		return evidence.Unstated("no trace of a prohibited substance is known; %s no impurity at all",
			saySheets(silent)).InShort("no trace of a prohibited substance is known; %s no impurity",
			saySheets(silent)).
			At(x.Places...)
	}
	if paper, ok := f.Document("other"); ok {
		return evidence.Present("traces of %s; a paper of kind other is there: whether it shows that they cannot be avoided is for the assessor", words.JoinNames(names)).At(paper)
	}
	return evidence.Lacking("traces of %s, and nothing that shows that they cannot be avoided",
		words.JoinNames(names)).At(x.Places...).Asking(traceSuppliers(f, names)...)
}

func primaryPackaging(f *evidence.Filing) evidence.Answer {
	if len(f.P.Packaging) == 0 {
		return evidence.Lacking("no part of the pack is stated").By(words.MakerWord)
	}
	at, parts := evidence.PlaceOf(f.P.Packaging[0].Pos), words.Count(len(f.P.Packaging), "part", "parts")
	paper, ok := f.Document("packaging")
	fits, tested := f.Document("compatibility")
	switch {
	case ok && tested:
		return evidence.Present("%s; statement on the material and report on pack and product together", parts).
			InShort("%s; statement on the material, report with the product", parts).At(at, paper, fits)
	case ok:
		return evidence.Partly("%s and a statement on the material; no report on pack and product together", parts).
			InShort("%s and a statement on the material; no report with the product", parts).At(at,
			paper).By(words.LaboratoryWord)
	case tested:
		return evidence.Partly("%s and a report on pack and product together; no statement on the material", parts).
			InShort("%s, report with the product; no statement on the material", parts).At(at,
			fits).By("the supplier of the pack")
	}
	return evidence.Partly("%s; no statement on the material and no report on pack and product together", parts).
		InShort("%s; no statement on the material nor report with the product", parts).At(at).
		By("the supplier of the pack", words.LaboratoryWord)
}

func packChange(f *evidence.Filing) evidence.Answer {
	return evidence.Unstated("no change of the pack is on record")
}

func saySheets(n int) string {
	if n == 1 {
		return "1 sheet states"
	}
	return words.Itoa(n) + " sheets state"
}

// traceSuppliers are the suppliers of the materials that bring some traces.
func traceSuppliers(f *evidence.Filing, names []string) []evidence.Asked {
	var from []evidence.Asked
	f.EachResult(func(r *calc.Result) {
		for _, s := range r.Whole().Substances {
			for _, name := range names {
				if !strings.EqualFold(s.INCI, name) {
					continue
				}
				for _, c := range s.Contributions {
					if sheet := f.W.Sheets[c.Ingredient]; sheet != nil {
						from = words.AddOnce(from, f.SupplierOf(sheet))
					}
				}
			}
		}
	})
	if len(from) == 0 {
		return []evidence.Asked{{Who: "the suppliers"}}
	}
	return from
}

// forAll makes an answer partly where a test stands for some variants only: a test of one
// never counts for another without a reason.
func forAll(f *evidence.Filing, x evidence.Answer, fits func(*stability.Tested) bool) evidence.Answer {
	open := stability.Uncovered(f.A, fits)
	if len(f.P.Variants) < 2 || len(open) == 0 {
		return x
	}
	return evidence.Partly("%s; not for %s, and no reason covers it", x.Words, words.JoinNames(open)).
		InShort("%s; not for %s", x.InLine(), words.JoinNames(open)).
		At(x.Places...).By(words.MakerWord, words.AssessorWord)
}
