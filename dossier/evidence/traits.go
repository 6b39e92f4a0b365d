package evidence

import (
	"slices"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
)

// Traits are what decides which papers a raw material needs.
type Traits struct {
	Own       bool // the maker's own, such as water from a filter
	Water     bool // nothing but water
	Scent     bool // listed as parfum or aroma
	Fragrant  bool // a scent, or an oil used as one: needs a conformity certificate
	allergens bool // an allergen declaration is expected
	Colourant bool
	Blend     bool // several substances beside water
	Solution  bool // one substance in water
	AtRisk    bool // can carry or grow microbes
	Natural   bool // from a plant, an animal, a mineral or a culture
	Nano      bool
}

// traitsOf reads a sheet; maker is the key of the maker's name.
func (f *Filing) traitsOf(s *ingredients.Sheet, maker string) Traits {
	t := Traits{Scent: s.IsScent(), Own: s.Supplier.Name != "" && ingredients.HasKey(s.Supplier.Name, maker)}
	t.Fragrant, t.allergens = f.scents[s.ID] || t.Scent, f.silent[s.ID]
	t.allergens = t.allergens || t.Fragrant || s.Allergens != nil
	t.Colourant = slices.ContainsFunc(s.Functions, f.Law.Words(rows.WordsColouring).In)
	beside, wet := 0, false
	for _, c := range s.Composition.Constituents {
		t.Nano = t.Nano || c.Nano
		of := f.named(c.INCI)
		t.Colourant = t.Colourant || of.colour
		if of.key == "aqua" {
			wet = true
			continue
		}
		beside++
		t.AtRisk = t.AtRisk || of.microbes
		t.Natural = t.Natural || of.natural
	}
	t.Water = wet && beside == 0
	t.AtRisk = t.AtRisk || t.Water
	t.Blend = beside > 1 || !s.Composition.Complete && !t.Scent && len(s.Composition.Constituents) > 0
	t.Solution = wet && beside == 1
	return t
}

func isCINumber(inci string) bool {
	digits, ok := strings.CutPrefix(strings.ToUpper(inci), "CI ")
	return ok && digits != "" && digits[0] >= '0' && digits[0] <= '9'
}

// words are the words of an INCI name in lower case.
func WordsOf(inci string) []string {
	return strings.FieldsFunc(strings.ToLower(inci), func(r rune) bool {
		return r == ' ' || r == '/' ||
			r == '-' || r == '(' || r == ')' || r == ','
	})
}

// isNatural says whether a name is that of what comes from a plant, an animal, a
// mineral or a culture. Materials in which microbes come along do.
func (f *Filing) isNatural(inci string) bool {
	return (f.Law.Words(rows.WordsNatural).In(inci) || f.Law.Words(rows.WordsMicrobes).In(inci)) &&
		!f.Law.Words(rows.WordsNaturalUnless).In(inci)
}

// carriesMicrobes says whether counts are asked for with a constituent: where
// the table of common raw materials lists them among what to ask the supplier
// for, or where its name is of a group at risk.
func (f *Filing) carriesMicrobes(key, inci string) bool {
	counted := f.names.counted.Of(struct{}{}, f.countedMaterials)
	return counted[key] || f.Law.Words(rows.WordsMicrobes).In(inci) &&
		!f.Law.Words(rows.WordsMicrobesUnless).In(inci)
}

// nameTraits is what the name of a constituent says.
type nameTraits struct {
	key                       string // of the name after the dictionary
	colour, microbes, natural bool
}

// nameMemory keeps it for a session.
type nameMemory struct {
	names   formula.Memo[string, nameTraits]
	counted formula.Memo[struct{}, map[string]bool] // constituents for which microbial counts are asked
}

// named reads the name of a constituent.
func (f *Filing) named(inci string) nameTraits {
	return f.names.names.Of(inci, func() nameTraits {
		key := f.nameKey(inci)
		return nameTraits{key, isCINumber(inci), f.carriesMicrobes(key, inci), f.isNatural(inci)}
	})
}

// nameKey folds a name after the dictionary.
func (f *Filing) nameKey(inci string) string {
	return ingredients.NameKey(f.Law.Dictionary().Canonical(inci))
}

// countedMaterials are the main constituents of the common raw materials for
// which the table says to ask for microbial counts.
func (f *Filing) countedMaterials() map[string]bool {
	names := map[string]bool{}
	for _, m := range law.Materials(f.Law) {
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

// WantedPaper is a kind of paper that a material has to have, and why.
type WantedPaper struct {
	Kind string   // what is asked for
	Also []string // other kinds that answer as well
	Row  string   // of dossier-contents.csv
	Why  string   // term for what it is needed for
}

// WantedPapers lists the papers of a material, in the order of print.
func (t Traits) WantedPapers() []WantedPaper {
	const most = 9
	var room [most]WantedPaper
	list := room[:0]
	want := func(cond bool, w WantedPaper) {
		if cond {
			list = append(list, w)
		}
	}
	want(!t.Water, WantedPaper{"sds", nil, "A2a", "need-hazards"})
	want(t.Blend && !t.Scent, WantedPaper{"composition", []string{"specification"}, "A1b", "need-composition"})
	want(t.Solution && !t.Blend && !t.Scent, WantedPaper{"composition", []string{"specification", "coa"}, "A1b",
		"need-solution"})
	want(t.allergens, WantedPaper{"allergens", nil, "A1d", "need-allergens"})
	want(t.Fragrant, WantedPaper{"certificate", nil, "A1d", "need-certificate"})
	want(t.Colourant, WantedPaper{"purity", nil, "A1f", "need-purity"})
	want(t.AtRisk, WantedPaper{"microbiology", nil, "A3a", "need-microbiology"})
	want(t.Fragrant && !t.Scent, WantedPaper{"coa", nil, "A4a", "need-oil"})
	want(!t.Own, WantedPaper{"animal-testing", nil, "P5", "need-animal-testing"})
	return append([]WantedPaper(nil), list...)
}
