package calc

import (
	"strconv"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Input is everything one assessment depends on. Nothing else may change a
// figure.
type Input struct {
	Product   *Product
	Variant   *Variant
	Type      *law.ProductType
	Sheets    map[string]*ingredients.Sheet
	Materials map[string]*Material // Prepare of each sheet; see PrepareAll
	Market    law.Market
	Date      ingredients.Date
	Law       *law.Tables
	Dict      *ingredients.Dictionary
}

// PrepareAll makes every sheet ready for computing. The result may be shared by
// any number of assessments, also in parallel.
func PrepareAll(sheets map[string]*ingredients.Sheet, dict *ingredients.Dictionary) map[string]*Material {
	materials := make(map[string]*Material, len(sheets))
	for id, s := range sheets {
		materials[id] = Prepare(s, dict)
	}
	return materials
}

// Assess computes one variant of a product for one market on one day. It is the
// list of what is checked and nothing more; each check has a file of its own.
func Assess(in *Input) *Result {
	recipe, found := Resolve(in.Product, in.Variant, in.Law.Fact("percent-sum-tolerance").Number)
	r := AssessRecipe(in, recipe)
	r.Findings = Unique(append(found, r.Findings...))
	return r
}

// AssessRecipe is Assess for given shares, such as those of a batch as weighed.
// Where fats react with lye, everything after the recipe looks at the product as
// sold.
func AssessRecipe(in *Input, recipe *Recipe) *Result {
	r := &Result{Recipe: recipe}
	var fs []ingredients.Finding
	say := func(more []ingredients.Finding) { fs = append(fs, more...) }

	say(materialFindings(in, recipe))
	in, mixtures, reactions, found := Saponify(in, recipe)
	r.Input, r.Reactions = in, reactions
	say(found)
	for _, mix := range mixtures {
		r.Compositions = append(r.Compositions, Compose(mix, in.Materials))
	}
	r.Allergens, found = Allergens(in, r.Compositions, in.Materials)
	say(found)
	r.List = Order(r.Whole(), in.Materials, r.Allergens, ListRules{
		SortedFromPct: in.Law.Fact("order-threshold").Number, Tail: in.Product.TailOrder, Colours: colourNames{in.Law}})
	say(listFindings(in, r))
	r.Fragrances, r.FragranceSums, found = Fragrances(in, r.Compositions, in.Materials)
	say(found)
	r.Limits, found = Limits(in, r.Compositions)
	say(found)
	say(ComingAllergens(in, r.Compositions, in.Materials, r.Allergens))
	r.Standards, found = Standards(in, r.Compositions)
	say(found)
	say(Preservation(in, r.Whole()))
	r.Exposure, found = ExposureOf(in)
	say(found)
	r.Inhalation = InhalationOf(in, r.Exposure)
	r.Margins, found = Margins(in, r.Compositions, r.Exposure)
	say(found)
	r.Aggregates, found = Aggregates(in, r.Compositions, r.Exposure)
	say(found)
	r.LocalDoses, found = LocalDoses(in, r.Allergens, r.Exposure)
	say(found)
	r.Traces, found = Traces(in, r.Compositions, r.Exposure)
	say(found)
	r.Gaps, found = Gaps(in, r)
	say(found)
	r.Findings = Unique(fs)
	return r
}

// materialFindings gathers what is wrong with the raw materials in use.
func materialFindings(in *Input, recipe *Recipe) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, u := range useOf(recipe.Whole) {
		if m := in.Materials[u.ingredient]; m != nil {
			fs = append(fs, m.Findings...)
			fs = append(fs, m.identityFindings(in.Law)...)
		}
	}
	return fs
}

func itoa(i int) string { return strconv.Itoa(i) }
