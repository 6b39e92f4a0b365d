package dossier

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

func newFiling(a *Assessment) *filing {
	f := &filing{a: a, p: a.Product, w: a.Workshop, law: a.Options.Law, sheets: a.UsedSheets(),
		traits: map[string]traits{}, absent: map[string]bool{}, answers: map[string]answer{}}
	f.kind, _ = f.law.ProductType(a.Product.Type)
	f.counted = f.countedMaterials()
	for _, s := range f.sheets {
		f.traits[s.ID] = f.traitsOf(s)
	}
	for _, x := range a.Workshop.loaded {
		if x.Code == CodeEvidenceMissing || x.Code == CodeEvidenceOutside {
			f.absent[x.Subject] = true
		}
	}
	return f
}

// there says whether a paper is named with a file, and the file is in the
// workshop.
func (f *filing) there(file string) bool { return file != "" && !f.absent[file] }

// paper returns a sheet's paper of one of the kinds.
func (f *filing) paper(s *ingredients.Sheet, kinds ...string) (string, bool) {
	return f.among(s.Documents, kinds)
}

// document returns a product's paper of one of the kinds.
func (f *filing) document(kinds ...string) (string, bool) { return f.among(f.p.Documents, kinds) }

func (f *filing) among(docs []ingredients.Document, kinds []string) (string, bool) {
	for _, d := range docs {
		if slices.Contains(kinds, d.Kind) && f.there(d.File) && d.ThereOn(f.a.Options.Date) {
			return d.File, true
		}
	}
	return "", false
}

// having returns the sheets in use that have a trait.
func (f *filing) having(trait func(traits) bool) []*ingredients.Sheet {
	var list []*ingredients.Sheet
	for _, s := range f.sheets {
		if trait(f.traits[s.ID]) {
			list = append(list, s)
		}
	}
	return list
}

// each asks every material for the same thing. has returns the place of it.
func (f *filing) each(list []*ingredients.Sheet, what string, has func(*ingredients.Sheet) (string, bool)) answer {
	var x answer
	var without []string
	for _, s := range list {
		place, ok := has(s)
		if ok {
			x = x.at(place)
			continue
		}
		without = append(without, s.ID)
		x = x.by(f.supplierOf(s))
	}
	switch {
	case len(without) == 0:
		x.state, x.words = ReadyPresent, what+" for "+count(len(list), "material", "materials")
	case len(without) == len(list):
		x.state, x.words = ReadyMissing, "no "+what+" for "+joinNames(without)
	default:
		x.state, x.words = ReadyPartly, "no "+what+" for "+joinNames(without)+"; there for "+count(len(list)-len(without), "other", "others")
	}
	return x
}

// withPaper is each for papers of some kinds.
func (f *filing) withPaper(list []*ingredients.Sheet, what string, kinds ...string) answer {
	return f.each(list, what, func(s *ingredients.Sheet) (string, bool) { return f.paper(s, kinds...) })
}

// supplierOf words who supplies a material's papers.
func (f *filing) supplierOf(s *ingredients.Sheet) string {
	if f.traits[s.ID].own {
		return makerWord + " for " + s.ID
	}
	return cmp.Or(s.Supplier.Name, "the supplier") + " for " + s.ID
}

func placeOf(p ingredients.Pos) string {
	if p.IsZero() {
		return ""
	}
	if p.Line == 0 {
		return p.File
	}
	return p.File + ":" + itoa(p.Line)
}

// wet says whether water is in any variant, and in which words.
func (f *filing) wet() (names []string, wet bool) {
	for _, r := range f.a.Results {
		for _, s := range r.Whole().Substances {
			if s.Pct.Max.Sign() > 0 && isWater(s.INCI) {
				names = addOnce(names, s.INCI)
			}
		}
	}
	slices.Sort(names)
	return names, len(names) > 0
}

// phAsked names the water of the product where there is enough of it, in a variant
// or one of its portions, for a pH to mean something.
//
// Source: facts.csv, row ph-water-least.
func (f *filing) phAsked() (names []string) {
	least := f.law.Fact("ph-water-least").Number
	for _, r := range f.a.Results {
		for _, c := range r.Compositions {
			var sum ingredients.Num
			var waters []string
			for _, s := range c.Substances {
				if isWater(s.INCI) && s.Pct.Max.Sign() > 0 {
					sum, waters = sum.Add(s.Pct.Max), append(waters, s.INCI)
				}
			}
			if sum.Less(least) {
				continue
			}
			for _, w := range waters {
				names = addOnce(names, w)
			}
		}
	}
	slices.Sort(names)
	return names
}

// isWater says whether a constituent is water or a plant water.
func isWater(inci string) bool {
	key := ingredients.NameKey(inci)
	return key == "aqua" || key == "water" || strings.HasSuffix(key, " water")
}

// wetInUse says whether water may get into the pack.
func (f *filing) wetInUse() bool { return f.kind != nil && f.kind.WaterContact }

// nano names the substances in nano form.
func (f *filing) nano() []string {
	var names []string
	for _, r := range f.a.Results {
		for _, s := range r.Whole().Substances {
			if s.Nano && s.IsIngredient() {
				names = addOnce(names, s.INCI)
			}
		}
	}
	slices.Sort(names)
	return names
}

// newest is the newest assessment on record, or nil.
func (p *Product) newest() *Recorded {
	var last *Recorded
	for i := range p.Assessments {
		if last == nil || !p.Assessments[i].Dated.Before(last.Dated) {
			last = &p.Assessments[i]
		}
	}
	return last
}

// signed says whether the newest assessment is there as a paper and was made
// for today's figures.
func (f *filing) signed() bool {
	last := f.p.newest()
	return last != nil && last.Fingerprint == f.a.Fingerprint && f.there(last.File)
}

// eachResult calls what for every variant in every market.
func (f *filing) eachResult(what func(*calc.Result)) {
	for _, r := range f.a.Results {
		what(r)
	}
}

// marketNames are the markets of the assessment.
func (f *filing) marketNames() []string {
	var names []string
	for _, m := range f.a.Markets {
		names = append(names, string(m))
	}
	return names
}
