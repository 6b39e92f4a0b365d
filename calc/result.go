package calc

import (
	"cmp"
	"slices"

	"gallipot/ingredients"
)

// Result is all that the program has to say about one variant in one market on
// one day. Every printer prints from it; none computes anything further.
type Result struct {
	Input         *Input
	Recipe        *Recipe
	Compositions  []*Composition // the whole first, then each portion
	Reactions     []*Reaction    // of lye with fats, in the same order; nil where none is stated
	List          *List
	Allergens     []AllergenTotal
	Fragrances    []FragranceUse
	FragranceSums []FragranceSum // the highest first
	Limits        []LimitCheck
	OtherLaw      []OtherCheck
	Standards     []StandardCheck
	Exposure      Exposure
	Inhalation    Inhalation
	Margins       []Margin // the smallest by its target first, then those without one
	SumMargins    []SumMargin
	Aggregates    []Aggregate
	LocalDoses    []LocalDose
	Traces        []Trace
	Gaps          []Gap
	Findings      []ingredients.Finding
}

// Whole returns the composition of the whole product.
func (r *Result) Whole() *Composition { return r.Compositions[0] }

// Worst returns the highest content of a substance in the whole or any portion,
// and the name of that portion ("" for the whole).
func (r *Result) Worst(s *Substance) (ingredients.Range, string) {
	worst, where := s.Total, ""
	for _, c := range r.Compositions[1:] {
		if t := c.byKey[s.Key()]; t != nil && worst.Max.Less(t.Total.Max) {
			worst, where = t.Total, c.Mixture.Name
		}
	}
	return worst, where
}

// Unique sorts findings by severity, place and code, and drops repetitions.
func Unique(fs []ingredients.Finding) []ingredients.Finding {
	sorted := make([]keyedFinding, len(fs))
	for i := range fs {
		sorted[i] = keyedFinding{fs[i], fs[i].Key()}
	}
	slices.SortStableFunc(sorted, compareFindings)
	sorted = slices.CompactFunc(sorted, func(a, b keyedFinding) bool { return a.key == b.key })
	out := make([]ingredients.Finding, len(sorted))
	for i := range sorted {
		out[i] = sorted[i].Finding
	}
	return out
}

// keyedFinding is a finding with what tells it from others.
type keyedFinding struct {
	ingredients.Finding
	key string
}

func compareFindings(a, b keyedFinding) int {
	if c := cmp.Compare(a.Severity, b.Severity); c != 0 {
		return c
	}
	if a.Pos != b.Pos {
		if a.Pos.Before(b.Pos) {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(a.Code, b.Code), cmp.Compare(a.key, b.key))
}

// listFindings says where the ingredient list cannot be printed as it stands.
func listFindings(in *Input, r *Result) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, pair := range r.List.Open {
		fs = append(fs, openPlace(in, r, pair))
	}
	for _, e := range r.List.Entries {
		if e.Kind == EntryUndeclared {
			fs = append(fs, in.onProduct(ingredients.NewFinding(ingredients.Ask, "list-incomplete", in.Product.Pos, with().Name("entry", e.Name))).By(ingredients.TheMaker))
		}
	}
	for _, name := range in.Product.TailOrder {
		if !slices.ContainsFunc(r.List.Entries, func(e ListEntry) bool { return ingredients.NameKey(e.Name) == ingredients.NameKey(name) }) {
			near := nearEntry(name, r.List)
			fs = append(fs, ingredients.NewFinding(ingredients.Note, "tail-order", in.Product.TailPos, with().Name("near", near)).On(name).
				By(ingredients.TheMaker).At(in.Product.TailPos.File, "tail_order", with().Name("name", near)))
		}
	}
	return fs
}

// settling names the materials whose papers would settle an open place: beside
// those of the pair, where none does it alone, those that declare an allergen of it
// as a range.
func settling(pair OpenPair, allergens []AllergenTotal) []string {
	who := slices.Clone(pair.Materials)
	for _, a := range allergens {
		if !pair.Together || a.LabelName != pair.First && a.LabelName != pair.Second {
			continue
		}
		for _, k := range a.Contributions {
			if !k.InMaterial.IsExact() && !slices.Contains(who, k.Ingredient) {
				who = append(who, k.Ingredient)
			}
		}
	}
	return who
}

// openPlace asks for what would settle the order of two neighbours.
func openPlace(in *Input, r *Result, pair OpenPair) ingredients.Finding {
	who := settling(pair, r.Allergens)
	which := "either" // one of them alone settles it
	if pair.Together {
		which = "all"
	}
	f := ingredients.NewFinding(ingredients.Ask, "open-order", in.Product.Pos, with().Those(which, in.materials(who))).
		On(pair.First + " / " + pair.Second).By(ingredients.TheSupplier)
	f.Sum = []ingredients.Term{{Key: "smallest-difference", Values: with().Num("difference", pair.LeastPct, "%", ingredients.ThreeDigits)}}
	if len(who) == 0 {
		return f
	}
	if s := in.Sheets[who[0]]; s != nil {
		f = f.By(s.Asked()).At(s.Composition.Pos.File, "composition", nil)
		f.Pos = s.Composition.Pos
	}
	if isReaction(in, who[0]) {
		f = f.As("saponified").At(in.Product.Pos.File, "saponify.values", nil)
	}
	return f
}

// nearEntry is the entry of a list that a misspelt name may mean.
func nearEntry(name string, l *List) string {
	var names []string
	for _, e := range l.Entries {
		names = append(names, e.Name)
	}
	return ingredients.Nearest(name, names)
}
