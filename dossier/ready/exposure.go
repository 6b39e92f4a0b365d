package ready

import (
	"slices"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
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
	var without []string
	x := evidence.Answer{}.At(evidence.PlaceOf(f.P.Directions.Pos))
	if f.P.Directions.Text == "" {
		without = append(without, "directions")
	}
	if f.P.IntendedFor == "" {
		without = append(without, "whom it is intended for")
	}
	if len(f.P.BodyAreas) == 0 {
		without = append(without, "where it is used")
	}
	switch {
	case len(f.P.Warnings) > 0:
		x = x.At(evidence.PlaceOf(f.P.Warnings[0].Pos))
	case f.P.WarningsPos.IsZero():
		without = append(without, "warnings, or that none are needed")
	}
	switch {
	case f.P.Directions.Text == "" && len(f.P.Warnings) == 0:
		x.State = evidence.ReadyMissing
	case len(without) > 0:
		x.State = evidence.ReadyPartly
	default:
		x.State, x.Words = evidence.ReadyPresent, "directions, audience, place of use and warnings"
		return x
	}
	x.Words = "not stated: " + words.JoinNames(without)
	return x.By(words.MakerWord)
}

func foreseeableMisuse(f *evidence.Filing) evidence.Answer {
	return evidence.ForAssessor("foreseeable misuse is judged from directions, pack and form")
}

func productExposure(f *evidence.Filing) evidence.Answer {
	e, ok := exposureOfFiling(f)
	switch {
	case !ok || !e.Known():
		return evidence.Lacking("no exposure figure is known for this type of product").
			At(evidence.PlaceOf(f.P.TypePos)).By(words.MakerWord, words.AssessorWord)
	case e.IsProxy():
		return evidence.Partly("row %s of exposure.csv stands in for this type of product", e.Key).
			At(evidence.PlaceOf(f.P.TypePos)).By(words.AssessorWord)
	case e.Origin == exposure.ExposureOwn:
		return evidence.Present("figures of the product file, source: %s", f.P.Exposure.Source).
			At(evidence.PlaceOf(f.P.Exposure.Pos))
	}
	return evidence.Present("row %s of exposure.csv", e.Key).At(evidence.PlaceOf(f.P.TypePos))
}

func defaultExposure(f *evidence.Filing) evidence.Answer {
	if e, ok := exposureOfFiling(f); ok && e.Key != "" {
		return evidence.ForAssessor("proposed: row %s of exposure.csv, with its source beside each figure", e.Key).
			InShort("proposed: row %s of exposure.csv", e.Key)
	}
	return evidence.ForAssessor("no default is in the tables for this type of product")
}

func specialExposures(f *evidence.Filing) evidence.Answer {
	if special := specialExposure(f); len(special) > 0 {
		return evidence.ForAssessor("to be considered: %s", words.JoinNames(special))
	}
	return evidence.NotNeeded("no spray, powder, lip or mouth product, and none for children")
}

func systemicDose(f *evidence.Filing) evidence.Answer {
	with, all := countMargins(f, func(m exposure.Margin) bool { return m.SED.Max > 0 })
	return evidence.ForAssessor("computed for %d of %s, each with its inputs", with,
		words.Count(all, "substance", "substances"))
}

func combinedExposure(f *evidence.Filing) evidence.Answer {
	var names []string
	f.EachResult(func(r *calc.Result) {
		for _, a := range r.Aggregates {
			names = words.AddOnce(names, a.INCI)
		}
	})
	slices.Sort(names)
	if len(names) == 0 {
		return evidence.NotNeeded("no substance of the preservative or UV filter list is in it")
	}
	return evidence.ForAssessor("to be summed over products: %s", words.JoinNames(names)).
		InShort("over all products: %s", words.JoinNames(names))
}

func marginsOfSafety(f *evidence.Filing) evidence.Answer {
	settled, all := countMargins(f, func(m exposure.Margin) bool { return !m.Open() })
	none, _ := countMargins(f, func(m exposure.Margin) bool { return m.None != "" && !m.Open() })
	return evidence.ForAssessor("computed for %d of %s; %d without a value, %d that need none", settled-none,
		words.Count(all, "substance", "substances"), all-settled, none)
}

func sourceQuality(f *evidence.Filing) evidence.Answer {
	return evidence.ForAssessor("each value stands with its study and source; unverified values are marked").
		InShort("each value with its study and source, unverified ones marked")
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
		return evidence.ForAssessor("no impurity is stated, and nobody has marked anything as nano")
	}
	return evidence.ForAssessor("stated: %s", words.JoinNames(names))
}

func undesirableEffects(f *evidence.Filing) evidence.Answer {
	switch at := evidence.PlaceOf(f.P.ComplaintsPos); {
	case f.P.ComplaintsPos.IsZero():
		return evidence.Lacking("nothing is said about undesirable effects, and no nil return is made").By(words.MakerWord)
	case len(f.P.Complaints) == 0:
		return evidence.Present("nil return: no undesirable effect is known").At(at)
	default:
		return evidence.Present("%s entered", words.Count(len(f.P.Complaints), "report", "reports")).At(at)
	}
}

func otherInformation(f *evidence.Filing) evidence.Answer {
	if paper, ok := f.Document("user-test", "other"); ok {
		return evidence.Present("a test on volunteers or another paper is there").At(paper)
	}
	return evidence.Unstated("no study on volunteers or other assessment is on record")
}

// exposureOfFiling is that of the first result: it depends on the product alone.
func exposureOfFiling(f *evidence.Filing) (*exposure.Exposure, bool) {
	if len(f.A.Results) == 0 {
		return nil, false
	}
	return &f.A.Results[0].Exposure, true
}

// specialExposure names what asks for more than skin exposure of adults.
func specialExposure(f *evidence.Filing) []string {
	var list []string
	if f.Kind != nil {
		for _, form := range f.Kind.Forms {
			list = words.AddOnce(list, map[string]string{"loose-powder": "loose powder", "propellant-spray": "spray",
				"pump-spray": "spray", "aerosol": "spray", "inhalable": "can be breathed in"}[form])
		}
		for _, code := range []string{"lip", "oral"} {
			if slices.Contains(f.Kind.Codes, code) {
				list = append(list, "is swallowed ("+code+")")
			}
		}
	}
	list = slices.DeleteFunc(list, func(s string) bool { return s == "" })
	if f.P.IntendedFor == formula.UnderThree || f.P.IntendedFor == formula.ChildrenThree {
		list = append(list, "for children")
	}
	return list
}

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
	"B1": signedPart("the conclusion"),
	"B2": signedPart("the statement on warnings and instructions"),
	"B3": signedPart("the reasoning"),
	"B4": credentials,
	"B5": credentials,
	"B6": whoConcludes,
}

func whoConcludes(f *evidence.Filing) evidence.Answer {
	return evidence.ForAssessor("every page says that the pack is no safety assessment: Part B is the assessor's alone").
		InShort("the pack is no safety assessment: Part B is the assessor's alone")
}

func signedPart(what string) func(*evidence.Filing) evidence.Answer {
	return func(f *evidence.Filing) evidence.Answer {
		last := f.P.Newest()
		switch {
		case f.Signed():
			return evidence.Present("%s is in the report of %s", what, last.Dated).At(last.File)
		case last != nil && last.Fingerprint != f.A.Fingerprint:
			return evidence.ForAssessor("the report of %s is for other figures than those of today", last.Dated).
				At(evidence.PlaceOf(last.Pos))
		case last != nil:
			return evidence.ForAssessor("the report of %s is not on file", last.Dated).
				At(evidence.PlaceOf(last.Pos))
		}
		return evidence.ForAssessor("no report is on record")
	}
}

// credentials looks for the assessor's qualification and its proof.
func credentials(f *evidence.Filing) evidence.Answer {
	last := f.P.Newest()
	if last == nil {
		return evidence.ForAssessor("no assessor is on record")
	}
	paper, proof := f.Document("assessor-diploma")
	switch {
	case last.Qualification != "" && proof:
		return evidence.Present("%s, %s", last.Assessor, last.Qualification).At(evidence.PlaceOf(last.Pos), paper)
	case last.Qualification != "":
		return evidence.ForAssessor("%s, %s; no proof of the qualification is on file", last.Assessor,
			last.Qualification).At(evidence.PlaceOf(last.Pos))
	}
	return evidence.ForAssessor("%s; no qualification is stated", last.Assessor).At(evidence.PlaceOf(last.Pos))
}

// ethanolAndOils are the contents that a poison centre asks for: ethanol and
// the essential oils. Source: dossier-contents.csv, row N8b, whose list of
// examples is from memory.
func ethanolAndOils(f *evidence.Filing) []string {
	var names []string
	f.EachResult(func(r *calc.Result) {
		for _, s := range r.Whole().Substances {
			switch s.NameKey() {
			case "alcohol", "alcohol denat", "menthol", "camphor":
				if s.Total.Max.Sign() > 0 {
					names = words.AddOnce(names, s.INCI)
				}
			}
		}
	})
	for _, s := range f.Having(func(t evidence.Traits) bool { return t.Fragrant && !t.Scent }) {
		names = words.AddOnce(names, s.Name)
	}
	return names
}
