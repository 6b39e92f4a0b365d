package ready

import (
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/pattern"
)

// fileRules judge the product file: rows P1 to P8.
var fileRules = map[string]func(*evidence.Filing) evidence.Answer{
	"P1": productDescription,
	"P2": safetyReport,
	"P3": methodOfManufacture,
	"P4": proofOfEffects,
	"P5": animalTestingData,
	"P6": keptUntil,
	"P7": responsibleAnswer,
	"P8": updating,
}

func productDescription(f *evidence.Filing) evidence.Answer {
	x := evidence.Present("product-described", finding.With().Name("code", f.P.ID).
		Count("revision", f.P.Revision).Count("variants", len(f.P.Variants)))
	if f.P.Name == "" || f.P.Revision == 0 {
		x = evidence.Partly("product-not-described", nil).By(words.MakerWord)
	}
	return x.At(evidence.PlaceOf(f.P.Pos))
}

func safetyReport(f *evidence.Filing) evidence.Answer {
	last := f.P.Newest()
	switch {
	case last == nil:
		return evidence.Lacking("not-assessed", nil).By(words.AssessorWord)
	case last.Fingerprint != f.A.Fingerprint:
		return evidence.Partly("assessed-otherwise", finding.With().Day("dated", last.Dated).
			Name("then", last.Fingerprint).Name("today", f.A.Fingerprint)).
			At(evidence.PlaceOf(last.Pos)).By(words.AssessorWord)
	case !f.There(last.File):
		return evidence.Partly("report-missing", finding.With().Day("dated", last.Dated)).
			At(evidence.PlaceOf(last.Pos)).By(words.MakerWord)
	}
	return evidence.Present("signed", finding.With().Day("dated", last.Dated).Name("assessor", last.Assessor)).
		At(last.File, evidence.PlaceOf(last.Pos))
}

func methodOfManufacture(f *evidence.Filing) evidence.Answer {
	paper, gmp := f.Document("gmp")
	steps := finding.With().Count("steps", len(f.P.Process))
	switch {
	case len(f.P.Process) > 0 && gmp:
		return evidence.Present("method-and-gmp", steps).At(evidence.PlaceOf(f.P.Process[0].Pos), paper)
	case len(f.P.Process) > 0:
		return evidence.Partly("method-alone", steps).At(evidence.PlaceOf(f.P.Process[0].Pos)).By(words.MakerWord)
	case gmp:
		return evidence.Partly("gmp-alone", nil).At(paper).By(words.MakerWord)
	}
	return evidence.Lacking("no-method", nil).By(words.MakerWord)
}

func proofOfEffects(f *evidence.Filing) evidence.Answer {
	if len(f.P.Claims) == 0 {
		return evidence.NotNeeded("no-claim", nil)
	}
	at, claims := evidence.PlaceOf(f.P.Claims[0].Pos), finding.With().Count("claims", len(f.P.Claims))
	if paper, ok := f.Document("claim", "user-test"); ok {
		return evidence.Present("claims-supported", claims).At(at, paper)
	}
	return evidence.Lacking("claims-unsupported", claims).At(at).By(words.MakerWord)
}

func animalTestingData(f *evidence.Filing) evidence.Answer {
	x := f.WithPaper(f.Having(func(t evidence.Traits) bool { return !t.Own }),
		evidence.Wanted{What: "wanted-animal-testing"}, "animal-testing")
	own, ok := f.Document("animal-testing")
	switch {
	case ok:
		return x.At(own)
	case x.State == evidence.ReadyPresent:
		x.State = evidence.ReadyPartly
	}
	return x.Also("no-own-statement", nil).By(words.MakerWord)
}

func updating(f *evidence.Filing) evidence.Answer {
	last := f.P.Newest()
	switch {
	case last == nil:
		return evidence.NotNeeded("nothing-to-revise", nil)
	case last.Fingerprint == f.A.Fingerprint:
		return evidence.Present("figures-unchanged", finding.With().Day("dated", last.Dated)).
			At(evidence.PlaceOf(last.Pos))
	}
	return evidence.Lacking("report-to-revise", finding.With().Day("dated", last.Dated)).
		At(evidence.PlaceOf(last.Pos)).By(words.MakerWord, words.AssessorWord)
}

// responsibleAnswer looks for a responsible person with an address in each
// market. One in the EU serves Northern Ireland too.
func responsibleAnswer(f *evidence.Filing) evidence.Answer {
	var x evidence.Answer
	var wrong finding.Values
	found := 0
	for _, m := range f.A.Markets {
		person, ok := f.W.ResponsiblePersons[m]
		if !ok && m == rows.NI {
			person, ok = f.W.ResponsiblePersons[rows.EU]
		}
		fault, of := "", finding.With().Name("market", string(m))
		switch country, known := law.Country(f.Law, person.Country); {
		case !ok:
			fault = "person-none"
		case len(person.Address) == 0:
			fault = "person-no-address"
		case person.Country == "":
			fault = "person-no-country"
		case !known || !seatFits(m, country.BelongsTo):
			fault, of = "person-elsewhere", of.Name("country", person.Country)
		case m == rows.GB && poBox.MatchString(strings.Join(person.Address, " ")):
			fault = "person-po-box"
		default:
			found++
		}
		wrong = wrong.Term("", fault, of)
		x = x.At(evidence.PlaceOf(person.Pos))
	}
	switch {
	case len(wrong) == 0:
		return evidence.Present("persons-named", finding.With().Names("markets", f.MarketNames())).At(x.Places...)
	case found == 0:
		x.State = evidence.ReadyMissing
	default:
		x.State = evidence.ReadyPartly
	}
	return x.Also("persons-wrong", finding.With().Those("faults", wrong)).By(words.MakerWord)
}

// seatFits says whether a responsible person may sit there: in the United
// Kingdom for Great Britain, in the EU or the countries that share its rules for
// the EU, in either for Northern Ireland. Source: label-rules.csv, row L10;
// dossier-contents.csv, row X12.
func seatFits(m rows.Market, belongsTo string) bool {
	switch m {
	case rows.GB:
		return belongsTo == "UK"
	case rows.NI:
		return belongsTo != ""
	}
	return belongsTo == "EU" || belongsTo == "EEA"
}

var poBox = pattern.New(`(?i)\bp\.? ?o\.? box\b`)

// compositionRules judge rows A1 and below.
var compositionRules = map[string]func(*evidence.Filing) evidence.Answer{
	"A1":  together("A1a", "A1b", "A1c", "A1d", "A1e", "A1f"),
	"A1a": exactPercentages,
	"A1b": mixturesBrokenUp,
	"A1c": naturalAndComplex,
	"A1d": fragranceAndAroma,
	"A1e": functionOfEach,
	"A1f": colourants,
}

func exactPercentages(f *evidence.Filing) evidence.Answer {
	var open []string
	var x evidence.Answer
	ranges, all := 0, 0
	for _, r := range f.A.Results {
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
					open = words.AddOnce(open, f.W.Material(c.Ingredient).Text)
					if sheet := f.W.Sheets[c.Ingredient]; sheet != nil {
						x = x.Asking(f.SupplierOf(sheet))
					}
				}
			}
		}
		if r.Recipe.Whole.Shares == nil {
			return evidence.Lacking("not-computed", nil).By(words.MakerWord)
		}
	}
	switch {
	case all == 0:
		return evidence.Lacking("no-substance", nil).By(words.MakerWord)
	case len(open) > 0:
		x.State = evidence.ReadyPartly
		return x.Also("part-undeclared", finding.With().Names("materials", open))
	case ranges > 0:
		return evidence.Present("figures-or-ranges", nil)
	}
	return evidence.Present("figures-exact", nil)
}

func mixturesBrokenUp(f *evidence.Filing) evidence.Answer {
	mixed := f.Having(func(t evidence.Traits) bool { return (t.Blend || t.Solution) && !t.Scent })
	if len(mixed) == 0 {
		return evidence.NotNeeded("no-mixture", nil)
	}
	return f.Each(mixed, evidence.Wanted{What: "wanted-composition"}, func(s *ingredients.Sheet) (string, bool) {
		if s.Composition.HeldByAssessor {
			return evidence.PlaceOf(s.Composition.Pos), true
		}
		kinds := []string{"composition", "specification"}
		if t := f.Traits[s.ID]; t.Solution && !t.Blend {
			kinds = append(kinds, "coa")
		}
		paper, ok := f.Paper(s, kinds...)
		return paper, ok && s.Composition.Complete
	})
}

func naturalAndComplex(f *evidence.Filing) evidence.Answer {
	natural := f.Having(func(t evidence.Traits) bool { return t.Natural })
	if len(natural) == 0 {
		return evidence.NotNeeded("none-natural", nil)
	}
	return f.WithPaper(natural, evidence.Wanted{What: "wanted-origin", Lacking: "lacking-origin"},
		"specification", "coa", "composition")
}

func fragranceAndAroma(f *evidence.Filing) evidence.Answer {
	fragrant := f.Having(func(t evidence.Traits) bool { return t.Fragrant })
	if len(fragrant) == 0 {
		return evidence.NotNeeded("none-fragrant", nil)
	}
	return f.Each(fragrant, evidence.Wanted{What: "wanted-fragrance", Lacking: "lacking-fragrance"},
		func(s *ingredients.Sheet) (string, bool) {
			paper, certificate := f.Paper(s, "certificate")
			_, allergens := f.Paper(s, "allergens")
			return paper, certificate && allergens && s.FragranceLimits != nil && s.Allergens != nil &&
				s.Supplier.Name != "" && s.Supplier.Code != ""
		})
}

func functionOfEach(f *evidence.Filing) evidence.Answer {
	return toMaker(f.Each(f.Sheets, evidence.Wanted{What: "wanted-function"},
		func(s *ingredients.Sheet) (string, bool) { return "", len(s.Functions) > 0 }))
}

func colourants(f *evidence.Filing) evidence.Answer {
	colours := f.Having(func(t evidence.Traits) bool { return t.Colourant })
	if len(colours) == 0 {
		return evidence.NotNeeded("no-colourant", nil)
	}
	return f.WithPaper(colours, evidence.Wanted{What: "wanted-colour-purity"}, "purity")
}

// toMaker returns the answer with the maker in place of suppliers: what is
// missing is a line in a sheet.
func toMaker(x evidence.Answer) evidence.Answer {
	if len(x.From) > 0 {
		x.From = []evidence.Asked{{Who: words.MakerWord}}
	}
	return x
}
