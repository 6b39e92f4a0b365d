package evidence

import (
	"cmp"
	"slices"
	"unicode/utf8"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

func New(a *assess.Assessment) *Filing {
	f := &Filing{A: a, P: a.Product, W: a.Workshop, Law: a.Options.Law, Sheets: a.UsedSheets(),
		names: formula.MemoryOf[nameMemory](a.Options.Session.Session), waters: map[string]bool{},
		scents: map[string]bool{}, silent: map[string]bool{},
		Traits: map[string]Traits{}, Absent: map[string]bool{}, answers: map[string]Answer{}}
	f.Kind, _ = law.ProductType(f.Law, a.Product.Type)
	for _, r := range a.Results {
		for _, use := range r.Fragrances {
			f.scents[use.Ingredient] = true
		}
		for i := range r.Findings {
			if r.Findings[i].Code == "no-declaration" {
				f.silent[r.Findings[i].Subject] = true
			}
		}
	}
	maker := ingredients.NameKey(f.W.Maker.Name)
	for _, s := range f.Sheets {
		f.Traits[s.ID] = f.traitsOf(s, maker)
	}
	for _, x := range a.Workshop.Loaded {
		if x.Code == workshop.CodeEvidenceMissing || x.Code == workshop.CodeEvidenceOutside {
			f.Absent[x.Subject] = true
		}
	}
	return f
}

// There says whether a paper is named with a file, and the file is in the
// workshop.
func (f *Filing) There(file string) bool { return file != "" && !f.Absent[file] }

// Paper returns a sheet's paper of one of the kinds.
func (f *Filing) Paper(s *ingredients.Sheet, kinds ...string) (string, bool) {
	return f.among(s.Documents, kinds)
}

// Document returns a product's paper of one of the kinds.
func (f *Filing) Document(kinds ...string) (string, bool) { return f.among(f.P.Documents, kinds) }

func (f *Filing) among(docs []ingredients.Document, kinds []string) (string, bool) {
	for _, d := range docs {
		if slices.Contains(kinds, d.Kind) && f.There(d.File) && d.ThereOn(f.A.Options.Date) {
			return d.File, true
		}
	}
	return "", false
}

// Having returns the sheets in use that have a trait.
func (f *Filing) Having(trait func(Traits) bool) []*ingredients.Sheet {
	var list []*ingredients.Sheet
	for _, s := range f.Sheets {
		if trait(f.Traits[s.ID]) {
			list = append(list, s)
		}
	}
	return list
}

// Each asks every material for the same thing. has returns the place of it.
func (f *Filing) Each(list []*ingredients.Sheet, what Wanted,
	has func(*ingredients.Sheet) (string, bool)) Answer {
	var x Answer
	var places []string
	var asked []Asked
	var without finding.Values
	for _, s := range list {
		place, ok := has(s)
		if ok {
			places = append(places, place)
			continue
		}
		without = without.Is("", s.Named())
		asked = append(asked, f.SupplierOf(s))
	}
	x = x.At(places...).Asking(asked...)
	v := finding.With().Term("what", what.What, nil)
	if len(without) == 0 {
		return Present("there-for-all", v.Count("materials", len(list))).At(x.Places...)
	}
	v = v.Term("lacking", what.Lacking, nil).Those("without", without)
	if one := without[0]; len(without) == 1 && utf8.RuneCountInString(one.Text) <= longestInLine {
		v = v.Is("single", one)
	}
	x.State = ReadyMissing
	if there := len(list) - len(without); there > 0 {
		x.State, v = ReadyPartly, v.Count("others", there)
	}
	return x.Also("not-there-for", v)
}

// longestInLine is how many characters a name may have that stands in one line of a page.
const longestInLine = 25

// WithPaper is each for papers of some kinds.
func (f *Filing) WithPaper(list []*ingredients.Sheet, what Wanted, kinds ...string) Answer {
	return f.Each(list, what, func(s *ingredients.Sheet) (string, bool) { return f.Paper(s, kinds...) })
}

// SupplierOf words who supplies a material's papers.
func (f *Filing) SupplierOf(s *ingredients.Sheet) Asked {
	if f.Traits[s.ID].Own {
		return Asked{words.MakerWord, s.Named().Text}
	}
	return Asked{cmp.Or(s.Supplier.Name, "the supplier"), s.Named().Text}
}

func PlaceOf(p exact.Pos) string {
	if p.IsZero() {
		return ""
	}
	if p.Line == 0 {
		return p.File
	}
	return p.File + ":" + words.Itoa(p.Line)
}

// Substances are those of all variants as a whole, in the order met. What several variants
// and markets have in common, content and all, is there once.
func (f *Filing) Substances() []*formula.Substance {
	if f.substances != nil {
		return f.substances
	}
	met := map[*formula.Substance]bool{}
	for i, r := range f.A.Results {
		if i > 0 && r.Whole() == f.A.Results[i-1].Whole() {
			continue // the same variant in another market
		}
		for _, s := range r.Whole().Substances {
			if !met[s] {
				met[s] = true
				f.substances = append(f.substances, s)
			}
		}
	}
	return f.substances
}

// Wet says whether water is in any variant, and in which words.
func (f *Filing) Wet() (names []string, wet bool) {
	for _, s := range f.Substances() {
		if s.Pct.Max.Sign() > 0 && f.isWater(s.INCI) {
			names = words.AddOnce(names, s.INCI)
		}
	}
	slices.Sort(names)
	return names, len(names) > 0
}

// PhAsked names the water of the product where there is enough of it, in a variant
// or one of its portions, for a pH to mean something.
//
// Source: facts.csv, row ph-water-least.
func (f *Filing) PhAsked() (names []string) {
	least := law.Fact(f.Law, "ph-water-least").Number
	for i, r := range f.A.Results {
		if i > 0 && r.Whole() == f.A.Results[i-1].Whole() {
			continue // the same variant in another market
		}
		for _, c := range r.Compositions {
			var sum exact.Num
			var waters []string
			for _, s := range c.Substances {
				if f.isWater(s.INCI) && s.Pct.Max.Sign() > 0 {
					sum, waters = sum.Add(s.Pct.Max), append(waters, s.INCI)
				}
			}
			if sum.Less(least) {
				continue
			}
			for _, w := range waters {
				names = words.AddOnce(names, w)
			}
		}
	}
	slices.Sort(names)
	return names
}

// isWater says whether a constituent is water or a plant water.
func (f *Filing) isWater(inci string) bool {
	is, known := f.waters[inci]
	if !known {
		is = f.namesWater(inci)
		f.waters[inci] = is
	}
	return is
}

func (f *Filing) namesWater(inci string) bool {
	return ingredients.HasKey(inci, "aqua") || ingredients.HasKey(inci, "water") ||
		f.Law.Words(rows.WordsWater).In(inci)
}

// WetInUse says whether water may get into the pack.
func (f *Filing) WetInUse() bool { return f.Kind != nil && f.Kind.WaterContact }

// Nano names the substances in nano form.
func (f *Filing) Nano() []string {
	var names []string
	for _, s := range f.Substances() {
		if s.Nano && s.IsIngredient() {
			names = words.AddOnce(names, s.INCI)
		}
	}
	slices.Sort(names)
	return names
}

// Signed says whether the newest assessment is there as a paper and was made
// for today's figures.
func (f *Filing) Signed() bool {
	last := f.P.Newest()
	return last != nil && last.Fingerprint == f.A.Fingerprint && f.There(last.File)
}

// EachResult calls what for every variant in every market.
func (f *Filing) EachResult(what func(*calc.Result)) {
	for _, r := range f.A.Results {
		what(r)
	}
}

// MarketNames are the markets of the assessment.
func (f *Filing) MarketNames() []string {
	var names []string
	for _, m := range f.A.Markets {
		names = append(names, string(m))
	}
	return names
}
