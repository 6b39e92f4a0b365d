package ready

import (
	"regexp"
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/ingredients"
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
	x := evidence.Present("name, code %s, revision %d, %s", f.P.ID, f.P.Revision,
		words.Count(len(f.P.Variants), "variant", "variants"))
	if f.P.Name == "" || f.P.Revision == 0 {
		x = evidence.Partly("name or revision is not stated").By(words.MakerWord)
	}
	return x.At(evidence.PlaceOf(f.P.Pos))
}

func safetyReport(f *evidence.Filing) evidence.Answer {
	last := f.P.Newest()
	switch {
	case last == nil:
		return evidence.Lacking("no assessment is on record").By(words.AssessorWord)
	case last.Fingerprint != f.A.Fingerprint:
		return evidence.Partly("the assessment of %s is for other figures (%s) than those of today (%s)",
			last.Dated, last.Fingerprint, f.A.Fingerprint).At(evidence.PlaceOf(last.Pos)).By(words.AssessorWord)
	case !f.There(last.File):
		return evidence.Partly("the assessment of %s is entered, the signed report is not on file",
			last.Dated).At(evidence.PlaceOf(last.Pos)).By(words.MakerWord)
	}
	return evidence.Present("signed on %s by %s for these figures", last.Dated, last.Assessor).
		At(last.File, evidence.PlaceOf(last.Pos))
}

func methodOfManufacture(f *evidence.Filing) evidence.Answer {
	paper, gmp := f.Document("gmp")
	steps := len(f.P.Process)
	switch {
	case steps > 0 && gmp:
		return evidence.Present("%s and a statement of good manufacturing practice",
			words.Count(steps, "step", "steps")).At(evidence.PlaceOf(f.P.Process[0].Pos), paper)
	case steps > 0:
		return evidence.Partly("%s; no statement of good manufacturing practice",
			words.Count(steps, "step", "steps")).At(evidence.PlaceOf(f.P.Process[0].Pos)).By(words.MakerWord)
	case gmp:
		return evidence.Partly("a statement of good manufacturing practice; no method").At(paper).
			By(words.MakerWord)
	}
	return evidence.Lacking("neither method nor statement of good manufacturing practice").By(words.MakerWord)
}

func proofOfEffects(f *evidence.Filing) evidence.Answer {
	if len(f.P.Claims) == 0 {
		return evidence.NotNeeded("no claim is made")
	}
	at := evidence.PlaceOf(f.P.Claims[0].Pos)
	if paper, ok := f.Document("claim", "user-test"); ok {
		return evidence.Present("%s and at least one paper: whether it covers each of them is for a person to check", words.Count(len(f.P.Claims), "claim", "claims")).
			InShort("%s and at least one paper; coverage is for a person to check",
				words.Count(len(f.P.Claims), "claim", "claims")).At(at, paper)
	}
	return evidence.Lacking("%s and no paper that supports any", words.Count(len(f.P.Claims), "claim",
		"claims")).At(at).By(words.MakerWord)
}

func animalTestingData(f *evidence.Filing) evidence.Answer {
	x := f.WithPaper(f.Having(func(t evidence.Traits) bool { return !t.Own }),
		evidence.Wanted{Words: "animal-testing statement"},
		"animal-testing")
	own, ok := f.Document("animal-testing")
	switch {
	case ok:
		return x.At(own)
	case x.State == evidence.ReadyPresent:
		x.State = evidence.ReadyPartly
	}
	return x.Also("; no statement of the maker's own, which may be a nil statement", "; none of the maker's own").
		By(words.MakerWord)
}

func updating(f *evidence.Filing) evidence.Answer {
	last := f.P.Newest()
	switch {
	case last == nil:
		return evidence.NotNeeded("nothing is assessed yet that could need a revision")
	case last.Fingerprint == f.A.Fingerprint:
		return evidence.Present("nothing that the figures rest on has changed since %s", last.Dated).
			At(evidence.PlaceOf(last.Pos))
	}
	return evidence.Lacking("figures have changed since the assessment of %s: log the change and have the report revised", last.Dated).At(evidence.PlaceOf(last.Pos)).By(words.MakerWord, words.AssessorWord)
}

// responsibleAnswer looks for a responsible person with an address in each
// market. One in the EU serves Northern Ireland too.
func responsibleAnswer(f *evidence.Filing) evidence.Answer {
	var x evidence.Answer
	var wrong []string
	found := 0
	for _, m := range f.A.Markets {
		person, ok := f.W.ResponsiblePersons[m]
		if !ok && m == rows.NI {
			person, ok = f.W.ResponsiblePersons[rows.EU]
		}
		fault := ""
		switch country, known := law.Country(f.Law, person.Country); {
		case !ok:
			fault = "none for " + string(m)
		case len(person.Address) == 0:
			fault = "no address for " + string(m)
		case person.Country == "":
			fault = "no country for " + string(m)
		case !known || !seatFits(m, country.BelongsTo):
			fault = "the one for " + string(m) + " is in " + person.Country
		case m == rows.GB && poBox.MatchString(strings.Join(person.Address, " ")):
			fault = "the one for GB gives a PO box"
		default:
			found++
		}
		if fault != "" {
			wrong = append(wrong, fault)
		}
		x = x.At(evidence.PlaceOf(person.Pos))
	}
	switch {
	case len(wrong) == 0:
		x.State, x.Words = evidence.ReadyPresent,
			"a responsible person with an address for "+words.JoinNames(f.MarketNames())
		return x
	case found == 0:
		x.State = evidence.ReadyMissing
	default:
		x.State = evidence.ReadyPartly
	}
	x.Words = words.JoinNames(wrong)
	return x.By(words.MakerWord)
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

var poBox = regexp.MustCompile(`(?i)\bp\.? ?o\.? box\b`)

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
			return evidence.Lacking("the formula cannot be computed").By(words.MakerWord)
		}
	}
	switch {
	case all == 0:
		return evidence.Lacking("no substance is known").By(words.MakerWord)
	case len(open) > 0:
		x.State, x.Words = evidence.ReadyPartly, "part of "+words.JoinNames(open)+" is not declared"
		return x // in line with the names: they are few
	case ranges > 0:
		return evidence.Present("every substance with a figure; ranges where a supplier gives them, of which the highest is assessed").
			InShort("every substance with a figure; ranges where a supplier gives them")
	}
	return evidence.Present("every substance with an exact figure")
}

func mixturesBrokenUp(f *evidence.Filing) evidence.Answer {
	mixed := f.Having(func(t evidence.Traits) bool { return (t.Blend || t.Solution) && !t.Scent })
	if len(mixed) == 0 {
		return evidence.NotNeeded("no raw material holds more than one substance")
	}
	return f.Each(mixed, evidence.Wanted{Words: "composition paper"}, func(s *ingredients.Sheet) (string, bool) {
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
		return evidence.NotNeeded("no material is told to be of a plant, an animal, a mineral or a culture by its name")
	}
	return f.WithPaper(natural, evidence.Wanted{
		Words:   "specification or certificate of analysis that tells species, part and process",
		Lacking: "species, part and process open"},
		"specification", "coa", "composition")
}

func fragranceAndAroma(f *evidence.Filing) evidence.Answer {
	fragrant := f.Having(func(t evidence.Traits) bool { return t.Fragrant })
	if len(fragrant) == 0 {
		return evidence.NotNeeded("nothing in it is a fragrance, an aroma or an oil used as one")
	}
	return f.Each(fragrant,
		evidence.Wanted{Words: "supplier's code, conformity certificate and allergen declaration together",
			Short:   "code, certificate and allergen declaration",
			Lacking: "code, certificate and declaration not all there"},
		func(s *ingredients.Sheet) (string, bool) {
			paper, certificate := f.Paper(s, "certificate")
			_, allergens := f.Paper(s, "allergens")
			return paper, certificate && allergens && s.FragranceLimits != nil && s.Allergens != nil &&
				s.Supplier.Name != "" && s.Supplier.Code != ""
		})
}

func functionOfEach(f *evidence.Filing) evidence.Answer {
	return toMaker(f.Each(f.Sheets, evidence.Wanted{Words: "function stated"},
		func(s *ingredients.Sheet) (string, bool) {
			return "",
				len(s.Functions) > 0
		}))
}

func colourants(f *evidence.Filing) evidence.Answer {
	colours := f.Having(func(t evidence.Traits) bool { return t.Colourant })
	if len(colours) == 0 {
		return evidence.NotNeeded("no colourant is in it")
	}
	return f.WithPaper(colours, evidence.Wanted{Words: "purity statement"}, "purity")
}

// toMaker returns the answer with the maker in place of suppliers: what is
// missing is a line in a sheet.
func toMaker(x evidence.Answer) evidence.Answer {
	if len(x.From) > 0 {
		x.From = []evidence.Asked{{Who: words.MakerWord}}
	}
	return x
}
