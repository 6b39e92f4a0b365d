package calc

import (
	"cmp"
	"slices"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/calc/otherlaw"
	"gallipot/calc/soap"
	"gallipot/calc/standards"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Result is all that the program has to say about one variant in one market on
// one day. Every printer prints from it; none computes anything further.
type Result struct {
	Input         *formula.Input
	Recipe        *formula.Recipe
	Compositions  []*formula.Composition // the whole first, then each portion
	Reactions     []*soap.Reaction       // of lye with fats, in the same order; nil where none is stated
	List          *listing.List
	Allergens     []listing.AllergenTotal
	Fragrances    []standards.FragranceUse
	FragranceSums []standards.FragranceSum // the highest first
	Limits        []limits.LimitCheck
	OtherLaw      []otherlaw.Check
	Standards     []standards.StandardCheck
	Exposure      exposure.Exposure
	Inhalation    exposure.Inhalation
	Margins       []exposure.Margin // the smallest by its target first, then those without one
	SumMargins    []exposure.SumMargin
	Aggregates    []exposure.Aggregate
	LocalDoses    []exposure.LocalDose
	Traces        []exposure.Trace
	Findings      []finding.Finding
}

// Whole returns the composition of the whole product.
func (r *Result) Whole() *formula.Composition { return r.Compositions[0] }

// Worst returns the highest content of a substance in the whole or any portion,
// and the name of that portion ("" for the whole).
func (r *Result) Worst(s *formula.Substance) (exact.Range, string) {
	worst, where := s.Total, ""
	for _, c := range r.Compositions[1:] {
		if t := c.Same(s); t != nil && worst.Max.Less(t.Total.Max) {
			worst, where = t.Total, c.Mixture.Name
		}
	}
	return worst, where
}

// Unique sorts findings by severity, place and code, and drops repetitions.
func Unique(fs []finding.Finding) []finding.Finding { return uniqueOf(fs) }

// uniqueOf is Unique for lists that follow each other.
func uniqueOf(lists ...[]finding.Finding) []finding.Finding {
	n := 0
	for _, fs := range lists {
		n += len(fs)
	}
	sorted, order := make([]keyedFinding, 0, n), make([]*keyedFinding, 0, n)
	for _, fs := range lists {
		for i := range fs {
			sorted = append(sorted, keyedFinding{Finding: &fs[i]})
			order = append(order, &sorted[len(sorted)-1])
		}
	}
	slices.SortStableFunc(order, compareFindings)
	distinct := order[:0]
	for _, f := range order {
		if len(distinct) == 0 || !distinct[len(distinct)-1].same(f) {
			distinct = append(distinct, f)
		}
	}
	out := make([]finding.Finding, len(distinct))
	for i, f := range distinct {
		out[i] = *f.Finding
	}
	return out
}

// keyedFinding is a finding with what tells it from others, made where severity, place
// and code do not.
type keyedFinding struct {
	*finding.Finding
	key string
}

func (f *keyedFinding) Key() string {
	if f.key == "" {
		f.key = f.Finding.Key()
	}
	return f.key
}

func (f *keyedFinding) same(g *keyedFinding) bool {
	return f.Severity == g.Severity && f.Pos.File == g.Pos.File && f.Pos.Line == g.Pos.Line &&
		f.Pos.Col == g.Pos.Col && f.Code == g.Code && f.Key() == g.Key()
}

func compareFindings(a, b *keyedFinding) int {
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
	return cmp.Compare(a.Key(), b.Key())
}

// listFindings says where the ingredient list cannot be printed as it stands.
func listFindings(in *formula.Input, r *Result) []finding.Finding {
	var fs []finding.Finding
	for _, pair := range r.List.Open {
		fs = append(fs, openPlace(in, r, pair))
	}
	for _, e := range r.List.Entries {
		if e.Kind == listing.EntryUndeclared {
			f := in.OnProduct(finding.NewFinding(finding.Ask, "list-incomplete", in.Product.Pos, nil)).
				By(finding.TheMaker)
			if s := e.Sheet(in.Sheets); s != nil {
				f.Values = formula.With().Is("material", s.Named())
				f = f.At(s.Composition.Pos.File, "composition", nil)
			} else {
				f.Values = formula.With().Name("entry", e.Name)
			}
			fs = append(fs, f)
		}
	}
	for _, name := range in.Product.TailOrder {
		if !slices.ContainsFunc(r.List.Entries,
			func(e listing.ListEntry) bool { return ingredients.NameKey(e.Name) == ingredients.NameKey(name) }) {
			near := nearEntry(name, r.List)
			fs = append(fs, finding.NewFinding(finding.Note, "tail-order", in.Product.TailPos, formula.With().
				Name("near", near)).On(name).
				By(finding.TheMaker).At(in.Product.TailPos.File, "tail_order", formula.With().Name("name", near)))
		}
	}
	return fs
}

// settling names the materials whose papers would settle an open place: beside
// those of the pair, where none does it alone, those that declare an allergen of it
// as a range.
func settling(pair listing.OpenPair, allergens []listing.AllergenTotal) []string {
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
func openPlace(in *formula.Input, r *Result, pair listing.OpenPair) finding.Finding {
	who := settling(pair, r.Allergens)
	which := "either" // one of them alone settles it
	if pair.Together {
		which = "all"
	}
	f := finding.NewFinding(finding.Ask, "open-order", in.Product.Pos, formula.With().
		Those(which, in.MaterialsNamed(who))).
		On(pair.First + " / " + pair.Second).By(finding.TheSupplier)
	f.Sum = []finding.Term{{Key: "smallest-difference", Values: formula.With().Num("difference", pair.LeastPct,
		"%", finding.ThreeDigits)}}
	if len(who) == 0 {
		return f
	}
	if s := in.Sheets[who[0]]; s != nil {
		f = f.By(s.Asked()).At(s.Composition.Pos.File, "composition", nil)
		f.Pos = s.Composition.Pos
	}
	if soap.IsReaction(in, who[0]) {
		f = f.As("saponified").At(in.Product.Pos.File, "saponify.values", nil)
	}
	return f
}

// nearEntry is the entry of a list that a misspelt name may mean.
func nearEntry(name string, l *listing.List) string {
	var names []string
	for _, e := range l.Entries {
		names = append(names, e.Name)
	}
	return source.Nearest(name, names)
}
