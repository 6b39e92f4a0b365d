package dossier

import (
	"slices"
	"strings"

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
	t.colourant = slices.ContainsFunc(s.Functions, isColouring)
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
		t.natural = t.natural || isNatural(c.INCI)
	}
	t.water = wet && beside == 0
	t.atRisk = t.atRisk || t.water
	t.blend = beside > 1 || !s.Composition.Complete && !t.scent && len(s.Composition.Constituents) > 0
	t.solution = wet && beside == 1
	return t
}

func isColouring(function string) bool {
	function = strings.ToLower(function)
	return strings.Contains(function, "colour") || strings.Contains(function, "color")
}

func isCINumber(inci string) bool {
	digits, ok := strings.CutPrefix(strings.ToUpper(inci), "CI ")
	return ok && digits != "" && digits[0] >= '0' && digits[0] <= '9'
}

// riskWords are words of INCI names that stand for materials in which microbes
// come along: botanicals, clays, proteins, gums and plant waters.
// Source: dossier-contents.csv, row A3a, which names these groups; the words
// that INCI names have for them are common practice, no source.
var riskWords = []string{
	"water", "extract", "juice", "leaf", "flower", "fruit", "seed", "root", "bark", "stem", "peel", "kernel", "shell", "bran", "flour", "meal", "starch", "oat", "oats",
	"kaolin", "bentonite", "montmorillonite", "illite", "hectorite", "clay", "protein", "collagen", "keratin", "gelatin", "milk", "lac", "yeast", "ferment",
	"gum", "algin", "alginate", "carrageenan", "agar",
}

// dryWords name forms without water and without germs to speak of.
var dryWords = []string{"oil", "butter", "wax", "cera", "unsaponifiables", "glycerides", "triglyceride", "alcohol", "acid", "ester", "esters"}

// naturalWords are words of INCI names that stand for an origin in a plant, an
// animal, a mineral or a culture. Source: dossier-contents.csv, row A1c; the
// words are common practice, no source.
var naturalWords = append([]string{
	"oil", "butter", "wax", "cera", "mel", "lanolin", "propolis", "silk", "sal", "mica", "pumice", "talc", "powder", "resin", "charcoal", "mud", "silt", "algae",
}, riskWords...)

// words are the words of an INCI name in lower case.
func wordsOf(inci string) []string {
	return strings.FieldsFunc(strings.ToLower(inci), func(r rune) bool { return r == ' ' || r == '/' || r == '-' || r == '(' || r == ')' || r == ',' })
}

func hasWord(inci string, list []string) bool {
	return slices.ContainsFunc(wordsOf(inci), func(w string) bool { return slices.Contains(list, w) })
}

func isNatural(inci string) bool {
	words := wordsOf(inci)
	return hasWord(inci, naturalWords) && !slices.Contains(words, "mineral") && words[0] != "peg" && words[0] != "hydrogenated"
}

// carriesMicrobes says whether counts are asked for with a constituent: where
// the table of common raw materials lists them among what to ask the supplier
// for, or where its name is of a group at risk.
func (f *filing) carriesMicrobes(inci string) bool {
	return f.counted[f.nameKey(inci)] || hasWord(inci, riskWords) && !hasWord(inci, dryWords)
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
		asked := slices.ContainsFunc(m.Ask, func(ask string) bool {
			return strings.Contains(ask, "viable count") || strings.Contains(ask, "microbes")
		})
		if !asked || len(m.Constituents) == 0 {
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
