package ready

import (
	"slices"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// exposureRules judge rows A5 to A10.
var exposureRules = map[string]func(*evidence.Filing) evidence.Answer{
	"A5":  foreseeableUse,
	"A5a": foreseeableMisuse,
	"A6":  productExposure,
	"A6a": defaultExposure,
	"A6b": specialExposures,
	"A7":  together("A7a", "A7b"),
	"A7a": systemicDose,
	"A7b": combinedExposure,
	"A8":  together("A8a", "A8b", "A8c"),
	"A8a": marginsOfSafety,
	"A8b": sourceQuality,
	"A8c": particleEffects,
	"A9":  undesirableEffects,
	"A10": otherInformation,
}

func foreseeableUse(f *evidence.Filing) evidence.Answer {
	var without finding.Values
	x := evidence.Answer{}.At(evidence.PlaceOf(f.P.Directions.Pos))
	lacks := func(lacking bool, key string) {
		if lacking {
			without = without.Term("", key, nil)
		}
	}
	lacks(f.P.Directions.Text == "", "use-directions")
	lacks(f.P.IntendedFor == "", "use-audience")
	lacks(len(f.P.BodyAreas) == 0, "use-area")
	lacks(len(f.P.Warnings) == 0 && f.P.WarningsPos.IsZero(), "use-warnings")
	if len(f.P.Warnings) > 0 {
		x = x.At(evidence.PlaceOf(f.P.Warnings[0].Pos))
	}
	switch {
	case f.P.Directions.Text == "" && len(f.P.Warnings) == 0:
		x.State = evidence.ReadyMissing
	case len(without) > 0:
		x.State = evidence.ReadyPartly
	default:
		return evidence.Present("use-stated", nil).At(x.Places...)
	}
	return x.Also("use-not-stated", finding.With().Those("without", without)).By(words.MakerWord)
}

func foreseeableMisuse(f *evidence.Filing) evidence.Answer {
	return evidence.ForAssessor("misuse-judged", nil)
}

func productExposure(f *evidence.Filing) evidence.Answer {
	e, ok := exposureOfFiling(f)
	switch {
	case !ok || !e.Known():
		return evidence.Lacking("exposure-unknown", nil).
			At(evidence.PlaceOf(f.P.TypePos)).By(words.MakerWord, words.AssessorWord)
	case e.IsProxy():
		return evidence.Partly("exposure-stand-in", finding.With().Name("row", e.Key)).
			At(evidence.PlaceOf(f.P.TypePos)).By(words.AssessorWord)
	case e.Origin == exposure.ExposureOwn:
		return evidence.Present("exposure-own", finding.With().Quote("source", f.P.Exposure.Source)).
			At(evidence.PlaceOf(f.P.Exposure.Pos))
	}
	return evidence.Present("exposure-row", finding.With().Name("row", e.Key)).At(evidence.PlaceOf(f.P.TypePos))
}

func defaultExposure(f *evidence.Filing) evidence.Answer {
	if e, ok := exposureOfFiling(f); ok && e.Key != "" {
		return evidence.ForAssessor("exposure-proposed", finding.With().Name("row", e.Key))
	}
	return evidence.ForAssessor("exposure-no-default", nil)
}

func specialExposures(f *evidence.Filing) evidence.Answer {
	if special := specialExposure(f); len(special) > 0 {
		return evidence.ForAssessor("exposure-special", finding.With().Those("what", special))
	}
	return evidence.NotNeeded("exposure-not-special", nil)
}

func systemicDose(f *evidence.Filing) evidence.Answer {
	with, all := countMargins(f, func(m exposure.Margin) bool { return m.SED.Max > 0 })
	return evidence.ForAssessor("doses-computed", finding.With().Count("with", with).Count("all", all))
}

func combinedExposure(f *evidence.Filing) evidence.Answer {
	var names []string
	f.EachResult(func(r *calc.Result) {
		for _, a := range r.Aggregates {
			names = words.AddOnce(names, a.Name())
		}
	})
	slices.Sort(names)
	if len(names) == 0 {
		return evidence.NotNeeded("none-combined", nil)
	}
	return evidence.ForAssessor("combined-over-products", finding.With().Names("substances", names))
}

func marginsOfSafety(f *evidence.Filing) evidence.Answer {
	settled, all := countMargins(f, func(m exposure.Margin) bool { return !m.Open() })
	none, _ := countMargins(f, func(m exposure.Margin) bool { return m.None != "" && !m.Open() })
	return evidence.ForAssessor("margins-computed", finding.With().Count("with", settled-none).
		Count("all", all).Count("without", all-settled).Count("none", none))
}

func sourceQuality(f *evidence.Filing) evidence.Answer {
	return evidence.ForAssessor("sources-marked", nil)
}

func particleEffects(f *evidence.Filing) evidence.Answer {
	var names []string
	for _, s := range f.Sheets {
		for _, i := range s.Impurities {
			names = words.AddOnce(names, i.Name)
		}
	}
	names = append(names, f.Nano()...)
	if len(names) == 0 {
		return evidence.ForAssessor("particles-unsaid", nil)
	}
	return evidence.ForAssessor("particles-stated", finding.With().Names("names", names))
}

func undesirableEffects(f *evidence.Filing) evidence.Answer {
	switch at := evidence.PlaceOf(f.P.ComplaintsPos); {
	case f.P.ComplaintsPos.IsZero():
		return evidence.Lacking("effects-unsaid", nil).By(words.MakerWord)
	case len(f.P.Complaints) == 0:
		return evidence.Present("effects-none", nil).At(at)
	default:
		return evidence.Present("effects-entered", finding.With().Count("reports", len(f.P.Complaints))).At(at)
	}
}

func otherInformation(f *evidence.Filing) evidence.Answer {
	if paper, ok := f.Document("user-test", "other"); ok {
		return evidence.Present("other-paper", nil).At(paper)
	}
	return evidence.Unstated("other-none", nil)
}

// exposureOfFiling is that of the first result: it depends on the product alone.
func exposureOfFiling(f *evidence.Filing) (*exposure.Exposure, bool) {
	if len(f.A.Results) == 0 {
		return nil, false
	}
	return &f.A.Results[0].Exposure, true
}

// specialExposure names what asks for more than skin exposure of adults.
func specialExposure(f *evidence.Filing) finding.Values {
	var list finding.Values
	if f.Kind != nil {
		for _, form := range f.Kind.Forms {
			list = list.Term("", specialForms[form], nil)
		}
		list = words.UniqueValues(list)
		for _, code := range []string{"lip", "oral"} {
			if slices.Contains(f.Kind.Codes, code) {
				list = list.Term("", "special-swallowed", finding.With().Name("code", code))
			}
		}
	}
	if f.P.IntendedFor == formula.UnderThree || f.P.IntendedFor == formula.ChildrenThree {
		list = list.Term("", "special-children", nil)
	}
	return list
}

// specialForms are the forms of product that are breathed in, as terms.
var specialForms = map[string]string{"loose-powder": "special-loose-powder", "propellant-spray": "special-spray",
	"pump-spray": "special-spray", "aerosol": "special-spray", "inhalable": "special-inhalable"}

// countMargins counts the substances of all variants for which something holds
// in every result that has them, and all of them.
func countMargins(f *evidence.Filing, holds func(exposure.Margin) bool) (with, all int) {
	state := map[string]bool{}
	f.EachResult(func(r *calc.Result) {
		for _, m := range r.Margins {
			key := m.INCI
			if m.Nano {
				key += " (nano)"
			}
			before, known := state[key]
			state[key] = holds(m) && (before || !known)
		}
	})
	for _, ok := range state {
		if ok {
			with++
		}
	}
	return with, len(state)
}

// partBRules judge rows B1 to B6. What the assessor has to write is present
// when a report for today's figures is there, and never before.
var partBRules = map[string]func(*evidence.Filing) evidence.Answer{
	"B1": signedPart("part-conclusion"),
	"B2": signedPart("part-warnings"),
	"B3": signedPart("part-reasoning"),
	"B4": credentials,
	"B5": credentials,
	"B6": whoConcludes,
}

func whoConcludes(f *evidence.Filing) evidence.Answer {
	return evidence.ForAssessor("assessor-concludes", nil)
}

func signedPart(part string) func(*evidence.Filing) evidence.Answer {
	return func(f *evidence.Filing) evidence.Answer {
		last := f.P.Newest()
		if last == nil {
			return evidence.ForAssessor("no-report", nil)
		}
		dated := finding.With().Day("dated", last.Dated)
		switch {
		case f.Signed():
			return evidence.Present("in-report", dated.Term("part", part, nil)).At(last.File)
		case last.Fingerprint != f.A.Fingerprint:
			return evidence.ForAssessor("report-otherwise", dated).At(evidence.PlaceOf(last.Pos))
		}
		return evidence.ForAssessor("report-not-on-file", dated).At(evidence.PlaceOf(last.Pos))
	}
}

// credentials looks for the assessor's qualification and its proof.
func credentials(f *evidence.Filing) evidence.Answer {
	last := f.P.Newest()
	if last == nil {
		return evidence.ForAssessor("no-assessor", nil)
	}
	paper, proof := f.Document("assessor-diploma")
	who := finding.With().Name("assessor", last.Assessor).Quote("qualification", last.Qualification)
	switch {
	case last.Qualification != "" && proof:
		return evidence.Present("assessor-qualified", who).At(evidence.PlaceOf(last.Pos), paper)
	case last.Qualification != "":
		return evidence.ForAssessor("assessor-unproven", who).At(evidence.PlaceOf(last.Pos))
	}
	return evidence.ForAssessor("assessor-unqualified", who).At(evidence.PlaceOf(last.Pos))
}

// ethanolAndOils are the contents that a poison centre asks for: ethanol and
// the essential oils. Source: dossier-contents.csv, row N8b, whose list of
// examples is from memory.
func ethanolAndOils(f *evidence.Filing) []string {
	var names []string
	for _, s := range f.Substances() {
		switch s.NameKey() {
		case "alcohol", "alcohol denat", "menthol", "camphor":
			if s.Total.Max.Sign() > 0 {
				names = words.AddOnce(names, s.INCI)
			}
		}
	}
	for _, s := range f.Having(func(t evidence.Traits) bool { return t.Fragrant && !t.Scent }) {
		names = words.AddOnce(names, s.Name)
	}
	return names
}
