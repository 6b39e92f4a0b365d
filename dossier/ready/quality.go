package ready

import (
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/law"
	"gallipot/dossier/evidence"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
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
		evidence.Wanted{What: "wanted-characteristics"}, func(s *ingredients.Sheet) (string, bool) {
			return f.Paper(s, "sds", "specification", "coa")
		})
	for _, s := range f.Having(func(t evidence.Traits) bool { return t.Nano }) {
		if _, ok := f.Paper(s, "specification"); !ok {
			x = x.Also("no-particle-size", finding.With().Is("material", s.Named())).Asking(f.SupplierOf(s))
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
	var without finding.Values
	for _, name := range []string{"appearance", "odour"} {
		if !have[name] {
			without = without.Name("", name)
		}
	}
	if water := f.PhAsked(); len(water) > 0 && spec.PH == nil {
		without = without.Term("", "lacks-ph", finding.With().Names("water", water))
	}
	switch {
	case spec.Pos.IsZero():
		return evidence.Lacking("no-specification", nil).By(words.MakerWord)
	case len(without) > 0:
		return evidence.Partly("specification-lacks", finding.With().Those("without", without)).
			At(evidence.PlaceOf(spec.Pos)).By(words.MakerWord)
	}
	return evidence.Present("specified", finding.With().Those("properties", specified(spec))).
		At(evidence.PlaceOf(spec.Pos))
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
	tests := finding.With().Those("tests", d.Support())
	switch {
	case len(d.Failed) > 0:
		return evidence.Lacking("storage-failed", finding.With().Quotes("tests", d.Failed)).At(x.Places...).
			By(words.LaboratoryWord)
	case d.Tests == 0:
		return evidence.Lacking("storage-none", nil).By(words.LaboratoryWord)
	case d.StatedMonths == 0:
		return evidence.Partly("storage-supports", tests).Also("nothing-to-compare", nil).At(x.Places...).
			By(words.MakerWord)
	case len(d.Outside) > 0:
		return evidence.Partly("readings-outside", finding.With().Count("readings", len(d.Outside))).
			At(x.Places...).By(words.AssessorWord)
	case d.Enough(d.RealMonths):
		x.State = evidence.ReadyPresent
	case d.Enough(d.AgedMonths):
		x.State = evidence.ReadyPartly
		x = x.By(words.AssessorWord)
	default:
		return evidence.Partly("storage-short", tests.Count("months", d.StatedMonths)).At(x.Places...).
			By(words.LaboratoryWord)
	}
	x = x.Also("storage-supports", tests)
	if without := testsWithoutPack(f); len(without) > 0 {
		x.State = evidence.ReadyPartly
		x = x.Also("pack-unnamed", finding.With().Quotes("tests", without)).By(words.MakerWord)
	}
	if x.State == evidence.ReadyPresent {
		return forAll(f, x, stability.IsStorage)
	}
	return x
}

func durabilityReasoning(f *evidence.Filing) evidence.Answer {
	d := stability.DurabilityOf(f)
	stated := finding.With().Count("months", d.StatedMonths)
	at := evidence.PlaceOf(f.P.Durability.Pos)
	switch {
	case d.StatedMonths == 0:
		return evidence.Lacking("no-durability", nil).By(words.MakerWord)
	case d.Tests == 0:
		return evidence.Lacking("nothing-to-derive", stated).At(at).By(words.MakerWord)
	}
	x := evidence.Partly("durability-basis", stated.Those("tests", d.Support())).At(at, d.RealAt, d.AgedAt)
	micro := f.Answer("A3c")
	switch {
	case !d.Enough(max(d.RealMonths, d.AgedMonths)):
		return x.By(words.MakerWord)
	case micro.Open():
		return x.Also("challenge-open", finding.With().Name("state", string(micro.State))).By(words.LaboratoryWord)
	case !d.Life.Supports(d.StatedMonths):
		return x.Also("shorter-counts", nil).By(words.AssessorWord)
	}
	x.State = evidence.ReadyPresent
	return x
}

// specified are the properties that a specification names.
func specified(spec workshop.Specification) (list finding.Values) {
	if spec.PH != nil {
		list = list.Term("", "of-ph", finding.With().Figure("ph", strings.ReplaceAll(spec.PH.Text, "-", "–"), ""))
	}
	for _, p := range spec.Properties {
		list = list.Name("", p.Name)
	}
	return list
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
		return evidence.NotNeeded("no-microbe-carrier", nil)
	}
	return f.WithPaper(risky, evidence.Wanted{What: "wanted-microbiology"}, "microbiology")
}

func finishedMicrobialLimits(f *evidence.Filing) evidence.Answer {
	if low := lowRisk(f); low.State == evidence.ReadyPresent {
		return evidence.NotNeeded("low-risk-made", finding.With().Those("case", low.Terms())).At(low.Places...)
	}
	count, okCount := microTest(f, "count")
	organisms, okOrganisms := microTest(f, "organisms")
	x := evidence.Answer{}.At(count.Places...).At(organisms.Places...)
	if len(count.Says)+len(organisms.Says) == 0 {
		x = x.Also("no-count-no-organisms", nil)
	} else {
		x = x.Saying(count.Or("no-count")).Saying(organisms.Or("no-organisms"))
	}
	switch {
	case okCount && okOrganisms:
		x.State = evidence.ReadyPresent
		return x
	case okCount || okOrganisms:
		x.State = evidence.ReadyPartly
	default:
		x.State = evidence.ReadyMissing
	}
	return x.By(words.LaboratoryWord)
}

func challengeTest(f *evidence.Filing) evidence.Answer {
	water, wet := f.Wet()
	if !wet && !f.WetInUse() {
		return evidence.NotNeeded("no-water-at-all", nil)
	}
	why := finding.With().Term("why", "wet-in-use", nil)
	if wet {
		why = finding.With().Term("why", "holds-water", finding.With().Names("water", water))
	}
	for _, t := range f.P.Evidence.ChallengeTests {
		at := []string{evidence.PlaceOf(t.Pos)}
		if f.There(t.File) {
			at = append(at, t.File)
		}
		test := finding.With().Quote("method", t.Method).Day("dated", t.Dated)
		switch {
		case t.Verdict == "A" && f.There(t.File):
			return forAll(f, evidence.Present("challenge-passed", test).At(at...), stability.IsChallenge)
		case t.Verdict == "A":
			return evidence.Partly("challenge-passed", test).Also("report-not-there", nil).At(at...).
				By(words.LaboratoryWord)
		case t.Verdict == "B":
			return evidence.Partly("challenge-b", test).At(at...).By(words.AssessorWord)
		}
	}
	switch low := lowRisk(f); {
	case len(f.P.Evidence.ChallengeTests) > 0:
		return evidence.Lacking("challenge-failed", nil).
			At(evidence.PlaceOf(f.P.Evidence.ChallengeTests[0].Pos)).By(words.LaboratoryWord)
	case low.State == evidence.ReadyPresent:
		return evidence.NotNeeded("low-risk-instead", why.Those("case", low.Terms())).At(low.Places...)
	}
	return evidence.Lacking("challenge-none", why).By(words.LaboratoryWord)
}

func lowRiskCase(f *evidence.Filing) evidence.Answer {
	for _, t := range f.P.Evidence.ChallengeTests {
		if t.Verdict == "A" || t.Verdict == "B" {
			return evidence.NotNeeded("challenge-on-record", nil).At(evidence.PlaceOf(t.Pos))
		}
	}
	if names := preservedBy(f); len(names) > 0 && f.P.Evidence.LowRisk == nil {
		return evidence.NotNeeded("preserved", finding.With().Names("substances", names))
	}
	return lowRisk(f)
}

func microbialGrouping(f *evidence.Filing) evidence.Answer {
	group := "group-others"
	if lowRisk(f).State == evidence.ReadyPresent {
		group = "group-low-risk"
	}
	return evidence.ForAssessor("group-proposed", finding.With().Term("group", group, nil))
}

func waterlessItems(f *evidence.Filing) evidence.Answer {
	water, wet := f.Wet()
	switch {
	case wet:
		return evidence.NotNeeded("holds-water", finding.With().Names("water", water))
	case f.WetInUse() && f.P.Evidence.LowRisk == nil:
		return evidence.Lacking("water-in-use", nil).By(words.MakerWord)
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
		return evidence.Lacking("no-low-risk", nil).By(words.MakerWord)
	}
	var figures finding.Values
	if c.WaterActivity != nil {
		figures = figures.Term("", "water-activity", finding.With().Num("value", *c.WaterActivity, "", finding.AsIs))
	}
	if c.PH != nil {
		figures = figures.Term("", "of-ph", finding.With().Num("ph", *c.PH, "", finding.AsIs))
	}
	if c.EthanolPct != nil {
		figures = figures.Term("", "ethanol", finding.With().Num("value", *c.EthanolPct, "%", finding.AsIs))
	}
	at, measured := evidence.PlaceOf(c.Pos), finding.With().Those("figures", figures)
	switch {
	case len(figures) == 0:
		return evidence.Partly("low-risk-no-figure", nil).At(at).By(words.MakerWord)
	case !f.There(c.File):
		return evidence.Partly("low-risk-figures", measured).Also("report-not-there", nil).At(at).
			By(words.LaboratoryWord)
	}
	return evidence.Present("low-risk-figures", measured).At(at, c.File)
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
		test := finding.With().Name("test", kind).Day("dated", t.Dated)
		switch {
		case t.Verdict == "fail":
			return x.Only("test-failed", test), false
		case t.Verdict == "pass" && f.There(t.File):
			x, ok = x.Only("test-passed", test), true
		case !ok:
			x = x.Only("test-unproven", test)
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
	return f.WithPaper(f.Sheets, evidence.Wanted{What: "wanted-purity", Lacking: "lacking-purity"},
		"specification", "coa", "purity")
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
			return evidence.NotNeeded("no-trace-stated", nil).At(x.Places...)
		}
		return evidence.Unstated("no-trace-known", nil).
			Also("sheets-silent", finding.With().Count("sheets", silent)).At(x.Places...)
	}
	traces := finding.With().Names("substances", names)
	if paper, ok := f.Document("other"); ok {
		return evidence.Present("traces-with-paper", traces).At(paper)
	}
	return evidence.Lacking("traces-unexplained", traces).At(x.Places...).Asking(traceSuppliers(f, names)...)
}

func primaryPackaging(f *evidence.Filing) evidence.Answer {
	if len(f.P.Packaging) == 0 {
		return evidence.Lacking("pack-unstated", nil).By(words.MakerWord)
	}
	at, parts := evidence.PlaceOf(f.P.Packaging[0].Pos), finding.With().Count("parts", len(f.P.Packaging))
	paper, ok := f.Document("packaging")
	fits, tested := f.Document("compatibility")
	switch {
	case ok && tested:
		return evidence.Present("pack-proven", parts).At(at, paper, fits)
	case ok:
		return evidence.Partly("pack-untested", parts).At(at, paper).By(words.LaboratoryWord)
	case tested:
		return evidence.Partly("pack-tested", parts).At(at, fits).By("the supplier of the pack")
	}
	return evidence.Partly("pack-unproven", parts).At(at).By("the supplier of the pack", words.LaboratoryWord)
}

func packChange(f *evidence.Filing) evidence.Answer {
	return evidence.Unstated("pack-unchanged", nil)
}

// traceSuppliers are the suppliers of the materials that bring some traces.
func traceSuppliers(f *evidence.Filing, names []string) []evidence.Asked {
	var from []evidence.Asked
	for _, s := range f.Substances() {
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
	x.State = evidence.ReadyPartly
	return x.Also("not-for-variants", finding.With().Names("variants", open)).By(words.MakerWord, words.AssessorWord)
}
