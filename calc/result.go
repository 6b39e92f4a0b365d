package calc

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

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
	sorted := slices.Clone(fs)
	slices.SortStableFunc(sorted, compareFindings)
	return slices.CompactFunc(sorted, func(a, b ingredients.Finding) bool {
		return a.Code == b.Code && a.Pos == b.Pos && a.Message == b.Message && a.Form == b.Form &&
			(a.Message != "" || a.Subject == b.Subject && a.Values.Key() == b.Values.Key())
	})
}

func compareFindings(a, b ingredients.Finding) int {
	if c := cmp.Compare(a.Severity, b.Severity); c != 0 {
		return c
	}
	if a.Pos != b.Pos {
		if a.Pos.Before(b.Pos) {
			return -1
		}
		return 1
	}
	if c := cmp.Compare(a.Code, b.Code); c != 0 {
		return c
	}
	return cmp.Compare(a.Message, b.Message)
}

// listFindings says where the ingredient list cannot be printed as it stands.
func listFindings(in *Input, r *Result) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, pair := range r.List.Open {
		who := settling(pair, r.Allergens)
		f := ingredients.Findingf(ingredients.Ask, "open-order", in.Product.Pos,
			"%s stands before %s by typical content, but within the ranges of the papers it could be less", pair.First, pair.Second).
			On(pair.First+" / "+pair.Second).
			WithWhy("ingredients of 1 %% and more stand in descending order; Regulation (EC) 1223/2009 Article 19(1)(g)").
			WithFix("ask for the exact composition of %s", strings.Join(who, ifElse(pair.Together, " and ", " or of ")))
		f.Sum = []ingredients.Term{{Text: "smallest possible difference " + pair.LeastPct.Sig(3) + " % of the product"}}
		if len(who) > 0 {
			if s := in.Sheets[who[0]]; s != nil {
				f.Ask = s.Supplier.Name
				f.Pos = s.Composition.Pos
			}
			if isReaction(in, who[0]) {
				f = f.WithFix("ask for the saponification values of the lots and enter them under saponify: values; the order rests on their ranges")
			}
		}
		fs = append(fs, f)
	}
	for _, e := range r.List.Entries {
		if e.Kind == EntryUndeclared {
			fs = append(fs, ingredients.Findingf(ingredients.Ask, "list-incomplete", in.Product.Pos,
				"the ingredient list cannot be printed: %s stands for substances with no name", e.Name).On(in.Product.ID).
				WithFix("complete the composition of the material it belongs to"))
		}
	}
	for _, name := range in.Product.TailOrder {
		if !slices.ContainsFunc(r.List.Entries, func(e ListEntry) bool { return ingredients.NameKey(e.Name) == ingredients.NameKey(name) }) {
			fs = append(fs, ingredients.Findingf(ingredients.Note, "tail-order", in.Product.TailPos,
				"%s is named in tail_order but is not in the list", name).On(name).WithFix("%s", suggestEntry(name, r.List)))
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

func ifElse(cond bool, yes, no string) string {
	if cond {
		return yes
	}
	return no
}

func suggestEntry(name string, l *List) string {
	var names []string
	for _, e := range l.Entries {
		names = append(names, e.Name)
	}
	if near := ingredients.Nearest(name, names); near != "" {
		return fmt.Sprintf("did you mean %s?", near)
	}
	return "take it out of tail_order"
}
