package dossier

import (
	"slices"

	"gallipot/calc"
	"gallipot/ingredients"
)

// exposureRules judge rows A5 to A10.
var exposureRules = map[string]func(*filing) answer{
	"A5": func(f *filing) answer {
		var without []string
		x := answer{}.at(placeOf(f.p.Directions.Pos))
		if f.p.Directions.Text == "" {
			without = append(without, "directions")
		}
		if f.p.IntendedFor == "" {
			without = append(without, "whom it is intended for")
		}
		if len(f.p.BodyAreas) == 0 {
			without = append(without, "where it is used")
		}
		switch {
		case len(f.p.Warnings) > 0:
			x = x.at(placeOf(f.p.Warnings[0].Pos))
		case f.p.WarningsPos.IsZero():
			without = append(without, "warnings, or that none are needed")
		}
		switch {
		case f.p.Directions.Text == "" && len(f.p.Warnings) == 0:
			x.state = ReadyMissing
		case len(without) > 0:
			x.state = ReadyPartly
		default:
			x.state, x.words = ReadyPresent, "directions, audience, place of use and warnings"
			return x
		}
		x.words = "not stated: " + joinNames(without)
		return x.by(makerWord)
	},
	"A5a": func(f *filing) answer {
		return forAssessor("foreseeable misuse is judged from directions, pack and form")
	},
	"A6": func(f *filing) answer {
		e, ok := f.exposure()
		switch {
		case !ok || !e.Known():
			return lacking("no exposure figure is known for this type of product").at(placeOf(f.p.TypePos)).by(makerWord, assessorWord)
		case e.IsProxy():
			return partly("row %s of exposure.csv stands in for this type of product", e.Key).at(placeOf(f.p.TypePos)).by(assessorWord)
		case e.Origin == calc.ExposureOwn:
			return present("figures of the product file, source: %s", f.p.Exposure.Source).at(placeOf(f.p.Exposure.Pos))
		}
		return present("row %s of exposure.csv", e.Key).at(placeOf(f.p.TypePos))
	},
	"A6a": func(f *filing) answer {
		if e, ok := f.exposure(); ok && e.Key != "" {
			return forAssessor("proposed: row %s of exposure.csv, with its source beside each figure", e.Key)
		}
		return forAssessor("no default is in the tables for this type of product")
	},
	"A6b": func(f *filing) answer {
		if special := f.specialExposure(); len(special) > 0 {
			return forAssessor("to be considered: %s", joinNames(special))
		}
		return notNeeded("no spray, powder, lip or mouth product, and none for children")
	},
	"A7": together("A7a", "A7b"),
	"A7a": func(f *filing) answer {
		with, all := f.countMargins(func(m calc.Margin) bool { return m.SED.Max > 0 })
		return forAssessor("computed for %d of %s, each with its inputs", with, count(all, "substance", "substances"))
	},
	"A7b": func(f *filing) answer {
		var names []string
		f.eachResult(func(r *calc.Result) {
			for _, a := range r.Aggregates {
				names = addOnce(names, a.INCI)
			}
		})
		slices.Sort(names)
		if len(names) == 0 {
			return notNeeded("no substance of the preservative or UV filter list is in it")
		}
		return forAssessor("to be summed over products: %s", joinNames(names))
	},
	"A8": together("A8a", "A8b", "A8c"),
	"A8a": func(f *filing) answer {
		with, all := f.countMargins(func(m calc.Margin) bool { return m.None == "" })
		return forAssessor("computed for %d of %s; the others are listed with the reason", with, count(all, "substance", "substances"))
	},
	"A8b": func(f *filing) answer {
		return forAssessor("each value stands with its study and source; unverified values are marked")
	},
	"A8c": func(f *filing) answer {
		var names []string
		for _, s := range f.sheets {
			for _, i := range s.Impurities {
				names = addOnce(names, i.Name)
			}
		}
		names = append(names, f.nano()...)
		if len(names) == 0 {
			return forAssessor("no impurity is stated and nothing is nano")
		}
		return forAssessor("stated: %s", joinNames(names))
	},
	"A9": func(f *filing) answer {
		switch at := placeOf(f.p.ComplaintsPos); {
		case f.p.ComplaintsPos.IsZero():
			return lacking("nothing is said about undesirable effects: enter complaints, or complaints: [] as a nil return").by(makerWord)
		case len(f.p.Complaints) == 0:
			return present("nil return: no undesirable effect is known").at(at)
		default:
			return present("%s entered", count(len(f.p.Complaints), "report", "reports")).at(at)
		}
	},
	"A10": func(f *filing) answer {
		if paper, ok := f.document("user-test", "other"); ok {
			return present("a test on volunteers or another paper is there").at(paper)
		}
		return notNeeded("no study on volunteers or other assessment is on record")
	},
}

// exposure is that of the first result: it depends on the product alone.
func (f *filing) exposure() (*calc.Exposure, bool) {
	if len(f.a.Results) == 0 {
		return nil, false
	}
	return &f.a.Results[0].Exposure, true
}

// specialExposure names what asks for more than skin exposure of adults.
func (f *filing) specialExposure() []string {
	var list []string
	if f.kind != nil {
		for _, form := range f.kind.Forms {
			list = addOnce(list, map[string]string{"loose-powder": "loose powder", "propellant-spray": "spray", "pump-spray": "spray", "aerosol": "spray", "inhalable": "can be breathed in"}[form])
		}
		for _, code := range []string{"lip", "oral"} {
			if slices.Contains(f.kind.Codes, code) {
				list = append(list, "is swallowed ("+code+")")
			}
		}
	}
	list = slices.DeleteFunc(list, func(s string) bool { return s == "" })
	if f.p.IntendedFor == calc.UnderThree || f.p.IntendedFor == calc.ChildrenThree {
		list = append(list, "for children")
	}
	return list
}

// countMargins counts the substances of all variants for which something holds
// in every result that has them, and all of them.
func (f *filing) countMargins(holds func(calc.Margin) bool) (with, all int) {
	state := map[string]bool{}
	f.eachResult(func(r *calc.Result) {
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
var partBRules = map[string]func(*filing) answer{
	"B1": signedPart("the conclusion"),
	"B2": signedPart("the statement on warnings and instructions"),
	"B3": signedPart("the reasoning"),
	"B4": func(f *filing) answer { return f.credentials() },
	"B5": func(f *filing) answer { return f.credentials() },
	"B6": func(f *filing) answer {
		return forAssessor("every page says that the pack is no safety assessment: Part B is the assessor's alone")
	},
}

func signedPart(what string) func(*filing) answer {
	return func(f *filing) answer {
		last := f.p.newest()
		switch {
		case f.signed():
			return present("%s is in the report of %s", what, last.Dated).at(last.File)
		case last != nil && last.Fingerprint != f.a.Fingerprint:
			return forAssessor("the report of %s is for other figures than those of today", last.Dated).at(placeOf(last.Pos))
		case last != nil:
			return forAssessor("the report of %s is not in the workshop", last.Dated).at(placeOf(last.Pos))
		}
		return forAssessor("no report is on record")
	}
}

// credentials looks for the assessor's qualification and its proof.
func (f *filing) credentials() answer {
	last := f.p.newest()
	if last == nil {
		return forAssessor("no assessor is on record")
	}
	paper, proof := f.document("assessor-diploma")
	switch {
	case last.Qualification != "" && proof:
		return present("%s, %s", last.Assessor, last.Qualification).at(placeOf(last.Pos), paper)
	case last.Qualification != "":
		return forAssessor("%s, %s; no proof of the qualification is in the workshop", last.Assessor, last.Qualification).at(placeOf(last.Pos))
	}
	return forAssessor("%s; no qualification is stated", last.Assessor).at(placeOf(last.Pos))
}

// ethanolAndOils are the contents that a poison centre asks for: ethanol and
// the essential oils. Source: dossier-contents.csv, row N8b, whose list of
// examples is from memory.
func (f *filing) ethanolAndOils() []string {
	var names []string
	f.eachResult(func(r *calc.Result) {
		for _, s := range r.Whole().Substances {
			switch key := ingredients.NameKey(s.INCI); key {
			case "alcohol", "alcohol denat", "menthol", "camphor":
				if s.Total.Max.Sign() > 0 {
					names = addOnce(names, s.INCI)
				}
			}
		}
	})
	for _, s := range f.having(func(t traits) bool { return t.fragrant && !t.scent }) {
		names = addOnce(names, s.Name)
	}
	return names
}
