package dossier

import (
	"regexp"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// fileRules judge the product file: rows P1 to P8.
var fileRules = map[string]func(*filing) answer{
	"P1": func(f *filing) answer {
		x := present("name, code %s, revision %d, %s", f.p.ID, f.p.Revision, count(len(f.p.Variants), "variant", "variants"))
		if f.p.Name == "" || f.p.Revision == 0 {
			x = partly("name or revision is not stated").by(makerWord)
		}
		return x.at(placeOf(f.p.Pos))
	},
	"P2": func(f *filing) answer {
		last := f.p.newest()
		switch {
		case last == nil:
			return lacking("no assessment is on record").by(assessorWord)
		case last.Fingerprint != f.a.Fingerprint:
			return partly("the assessment of %s is for other figures (%s) than those of today (%s)", last.Dated, last.Fingerprint, f.a.Fingerprint).at(placeOf(last.Pos)).by(assessorWord)
		case !f.there(last.File):
			return partly("the assessment of %s is entered, the signed report is not in the workshop", last.Dated).at(placeOf(last.Pos)).by(makerWord)
		}
		return present("signed on %s by %s for these figures", last.Dated, last.Assessor).at(last.File, placeOf(last.Pos))
	},
	"P3": func(f *filing) answer {
		paper, gmp := f.document("gmp")
		steps := len(f.p.Process)
		switch {
		case steps > 0 && gmp:
			return present("%s and a statement of good manufacturing practice", count(steps, "step", "steps")).at(placeOf(f.p.Process[0].Pos), paper)
		case steps > 0:
			return partly("%s; no statement of good manufacturing practice", count(steps, "step", "steps")).at(placeOf(f.p.Process[0].Pos)).by(makerWord)
		case gmp:
			return partly("a statement of good manufacturing practice; no method").at(paper).by(makerWord)
		}
		return lacking("neither method nor statement of good manufacturing practice").by(makerWord)
	},
	"P4": func(f *filing) answer {
		if len(f.p.Claims) == 0 {
			return notNeeded("no claim is made")
		}
		at := placeOf(f.p.Claims[0].Pos)
		if paper, ok := f.document("claim", "user-test"); ok {
			return present("%s and at least one paper: whether it covers each of them is for a person to check", count(len(f.p.Claims), "claim", "claims")).at(at, paper)
		}
		return lacking("%s and no paper that supports any", count(len(f.p.Claims), "claim", "claims")).at(at).by(makerWord)
	},
	"P5": func(f *filing) answer {
		x := f.withPaper(f.having(func(t traits) bool { return !t.own }), "animal-testing statement", "animal-testing")
		own, ok := f.document("animal-testing")
		switch {
		case ok:
			return x.at(own)
		case x.state == ReadyPresent:
			x.state = ReadyPartly
		}
		x.words += "; no statement of the maker's own, which may be a nil statement"
		return x.by(makerWord)
	},
	"P6": keptUntil,
	"P7": responsibleAnswer,
	"P8": func(f *filing) answer {
		last := f.p.newest()
		switch {
		case last == nil:
			return notNeeded("nothing is assessed yet that could need a revision")
		case last.Fingerprint == f.a.Fingerprint:
			return present("nothing that the figures rest on has changed since %s", last.Dated).at(placeOf(last.Pos))
		}
		return lacking("figures have changed since the assessment of %s: log the change and have the report revised", last.Dated).at(placeOf(last.Pos)).by(makerWord, assessorWord)
	},
}

// responsibleAnswer looks for a responsible person with an address in each
// market. One in the EU serves Northern Ireland too.
func responsibleAnswer(f *filing) answer {
	var x answer
	var wrong []string
	found := 0
	for _, m := range f.a.Markets {
		person, ok := f.w.ResponsiblePersons[m]
		if !ok && m == law.NI {
			person, ok = f.w.ResponsiblePersons[law.EU]
		}
		fault := ""
		switch country, known := f.law.Country(person.Country); {
		case !ok:
			fault = "none for " + string(m)
		case len(person.Address) == 0:
			fault = "no address for " + string(m)
		case person.Country == "":
			fault = "no country for " + string(m)
		case !known || !seatFits(m, country.BelongsTo):
			fault = "the one for " + string(m) + " is in " + person.Country
		case m == law.GB && poBox.MatchString(strings.Join(person.Address, " ")):
			fault = "the one for GB gives a PO box"
		default:
			found++
		}
		if fault != "" {
			wrong = append(wrong, fault)
		}
		x = x.at(placeOf(person.Pos))
	}
	switch {
	case len(wrong) == 0:
		x.state, x.words = ReadyPresent, "a responsible person with an address for "+joinNames(f.marketNames())
		return x
	case found == 0:
		x.state = ReadyMissing
	default:
		x.state = ReadyPartly
	}
	x.words = joinNames(wrong)
	return x.by(makerWord)
}

// seatFits says whether a responsible person may sit there: in the United
// Kingdom for Great Britain, in the EU or the countries that share its rules for
// the EU, in either for Northern Ireland. Source: label-rules.csv, row L10;
// dossier-contents.csv, row X12.
func seatFits(m law.Market, belongsTo string) bool {
	switch m {
	case law.GB:
		return belongsTo == "UK"
	case law.NI:
		return belongsTo != ""
	}
	return belongsTo == "EU" || belongsTo == "EEA"
}

var poBox = regexp.MustCompile(`(?i)\bp\.? ?o\.? box\b`)

// compositionRules judge rows A1 and below.
var compositionRules = map[string]func(*filing) answer{
	"A1": together("A1a", "A1b", "A1c", "A1d", "A1e", "A1f"),
	"A1a": func(f *filing) answer {
		var open []string
		var x answer
		ranges, all := 0, 0
		for _, r := range f.a.Results {
			for _, s := range r.Whole().Substances {
				if !s.IsIngredient() {
					continue
				}
				all++
				if !s.Pct.IsExact() {
					ranges++
				}
				if s.Undeclared {
					for _, c := range s.Contributions {
						open = addOnce(open, c.Ingredient)
						if sheet := f.w.Sheets[c.Ingredient]; sheet != nil {
							x = x.asking(f.supplierOf(sheet))
						}
					}
				}
			}
			if r.Recipe.Whole.Shares == nil {
				return lacking("the formula cannot be computed").by(makerWord)
			}
		}
		switch {
		case all == 0:
			return lacking("no substance is known").by(makerWord)
		case len(open) > 0:
			x.state, x.words = ReadyPartly, "part of "+joinNames(open)+" is not declared"
			return x
		case ranges > 0:
			return present("every substance with a figure; ranges where a supplier gives them, of which the highest is assessed")
		}
		return present("every substance with an exact figure")
	},
	"A1b": func(f *filing) answer {
		mixed := f.having(func(t traits) bool { return (t.blend || t.solution) && !t.scent })
		if len(mixed) == 0 {
			return notNeeded("no raw material holds more than one substance")
		}
		return f.each(mixed, "composition paper", func(s *ingredients.Sheet) (string, bool) {
			if s.Composition.HeldByAssessor {
				return placeOf(s.Composition.Pos), true
			}
			kinds := []string{"composition", "specification"}
			if t := f.traits[s.ID]; t.solution && !t.blend {
				kinds = append(kinds, "coa")
			}
			paper, ok := f.paper(s, kinds...)
			return paper, ok && s.Composition.Complete
		})
	},
	"A1c": func(f *filing) answer {
		natural := f.having(func(t traits) bool { return t.natural })
		if len(natural) == 0 {
			return notNeeded("no material is told to be of a plant, an animal, a mineral or a culture by its name")
		}
		return f.withPaper(natural, "specification or certificate of analysis that tells species, part and process", "specification", "coa", "composition")
	},
	"A1d": func(f *filing) answer {
		fragrant := f.having(func(t traits) bool { return t.fragrant })
		if len(fragrant) == 0 {
			return notNeeded("nothing in it is a fragrance, an aroma or an oil used as one")
		}
		return f.each(fragrant, "supplier's code, conformity certificate and allergen declaration together", func(s *ingredients.Sheet) (string, bool) {
			paper, certificate := f.paper(s, "certificate")
			_, allergens := f.paper(s, "allergens")
			return paper, certificate && allergens && s.FragranceLimits != nil && s.Allergens != nil && s.Supplier.Name != "" && s.Supplier.Code != ""
		})
	},
	"A1e": func(f *filing) answer {
		return f.each(f.sheets, "function stated", func(s *ingredients.Sheet) (string, bool) { return "", len(s.Functions) > 0 }).toMaker()
	},
	"A1f": func(f *filing) answer {
		colours := f.having(func(t traits) bool { return t.colourant })
		if len(colours) == 0 {
			return notNeeded("no colourant is in it")
		}
		return f.withPaper(colours, "purity statement", "purity")
	},
}

// toMaker returns the answer with the maker in place of suppliers: what is
// missing is a line in a sheet.
func (x answer) toMaker() answer {
	if len(x.from) > 0 {
		x.from = []asked{{who: makerWord}}
	}
	return x
}
