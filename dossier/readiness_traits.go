package dossier

import (
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// traits are what decides which papers a raw material needs.
type traits struct {
	own       bool // the maker's own, such as water from a filter
	water     bool // nothing but water
	scent     bool // listed as parfum or aroma
	fragrant  bool // a scent, or an oil used as one: needs a conformity certificate
	allergens bool // an allergen declaration is expected
	colourant bool
	blend     bool // several substances beside water
	solution  bool // one substance in water
	atRisk    bool // can carry or grow microbes
	natural   bool // from a plant, an animal, a mineral or a culture
	nano      bool
}

func (f *filing) traitsOf(s *ingredients.Sheet) traits {
	t := traits{scent: s.IsScent(), own: s.Supplier.Name != "" && ingredients.NameKey(s.Supplier.Name) == ingredients.NameKey(f.w.Maker.Name)}
	for _, r := range f.a.Results {
		for _, use := range r.Fragrances {
			t.fragrant = t.fragrant || use.Ingredient == s.ID
		}
		for _, x := range r.Findings {
			t.allergens = t.allergens || x.Code == "no-declaration" && x.Subject == s.ID
		}
	}
	t.fragrant = t.fragrant || t.scent
	t.allergens = t.allergens || t.fragrant || s.Allergens != nil
	t.colourant = slices.ContainsFunc(s.Functions, f.law.Words(law.WordsColouring).In)
	beside, wet := 0, false
	for _, c := range s.Composition.Constituents {
		t.nano = t.nano || c.Nano
		t.colourant = t.colourant || isCINumber(c.INCI)
		if f.nameKey(c.INCI) == "aqua" {
			wet = true
			continue
		}
		beside++
		t.atRisk = t.atRisk || f.carriesMicrobes(c.INCI)
		t.natural = t.natural || f.isNatural(c.INCI)
	}
	t.water = wet && beside == 0
	t.atRisk = t.atRisk || t.water
	t.blend = beside > 1 || !s.Composition.Complete && !t.scent && len(s.Composition.Constituents) > 0
	t.solution = wet && beside == 1
	return t
}

func isCINumber(inci string) bool {
	digits, ok := strings.CutPrefix(strings.ToUpper(inci), "CI ")
	return ok && digits != "" && digits[0] >= '0' && digits[0] <= '9'
}

// words are the words of an INCI name in lower case.
func wordsOf(inci string) []string {
	return strings.FieldsFunc(strings.ToLower(inci), func(r rune) bool { return r == ' ' || r == '/' || r == '-' || r == '(' || r == ')' || r == ',' })
}

// isNatural says whether a name is that of what comes from a plant, an animal, a
// mineral or a culture. Materials in which microbes come along do.
func (f *filing) isNatural(inci string) bool {
	return (f.law.Words(law.WordsNatural).In(inci) || f.law.Words(law.WordsMicrobes).In(inci)) && !f.law.Words(law.WordsNaturalUnless).In(inci)
}

// carriesMicrobes says whether counts are asked for with a constituent: where
// the table of common raw materials lists them among what to ask the supplier
// for, or where its name is of a group at risk.
func (f *filing) carriesMicrobes(inci string) bool {
	return f.counted[f.nameKey(inci)] || f.law.Words(law.WordsMicrobes).In(inci) && !f.law.Words(law.WordsMicrobesUnless).In(inci)
}

// nameKey folds a name after the dictionary.
func (f *filing) nameKey(inci string) string {
	return ingredients.NameKey(f.law.Dictionary().Canonical(inci))
}

// countedMaterials are the main constituents of the common raw materials for
// which the table says to ask for microbial counts.
func (f *filing) countedMaterials() map[string]bool {
	names := map[string]bool{}
	for _, m := range f.law.Materials() {
		if !m.CountsAsked || len(m.Constituents) == 0 {
			continue
		}
		main := m.Constituents[0].INCI
		if f.nameKey(main) == "aqua" {
			if len(m.Constituents) == 1 {
				continue // water itself is told by its name
			}
			main = m.Constituents[1].INCI // what is dissolved in it tells the material
		}
		names[f.nameKey(main)] = true
	}
	return names
}

// wantedPaper is a kind of paper that a material has to have, and why.
type wantedPaper struct {
	kind string   // what is asked for
	also []string // other kinds that answer as well
	row  string   // of dossier-contents.csv
	why  string   // term for what it is needed for
}

// wantedPapers lists the papers of a material, in the order of print.
func (t traits) wantedPapers() []wantedPaper {
	var list []wantedPaper
	want := func(cond bool, w wantedPaper) {
		if cond {
			list = append(list, w)
		}
	}
	want(!t.water, wantedPaper{"sds", nil, "A2a", "need-hazards"})
	want(t.blend && !t.scent, wantedPaper{"composition", []string{"specification"}, "A1b", "need-composition"})
	want(t.solution && !t.blend && !t.scent, wantedPaper{"composition", []string{"specification", "coa"}, "A1b", "need-solution"})
	want(t.allergens, wantedPaper{"allergens", nil, "A1d", "need-allergens"})
	want(t.fragrant, wantedPaper{"certificate", nil, "A1d", "need-certificate"})
	want(t.colourant, wantedPaper{"purity", nil, "A1f", "need-purity"})
	want(t.atRisk, wantedPaper{"microbiology", nil, "A3a", "need-microbiology"})
	want(t.fragrant && !t.scent, wantedPaper{"coa", nil, "A4a", "need-oil"})
	want(!t.own, wantedPaper{"animal-testing", nil, "P5", "need-animal-testing"})
	return list
}
