package calc

import (
	"slices"
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
	*Session  // tables, dictionary and what was found in them
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
func Assess(in *Input) *Result { return AssessMarkets(in, []law.Market{in.Market})[0] }

// AssessMarkets is Assess for each of the markets, in their order: what does not
// depend on the market is computed once, and the results share it.
func AssessMarkets(in *Input, markets []law.Market) []*Result {
	recipe, found := Resolve(in.Product, in.Variant, in.Law.Fact("percent-sum-tolerance").Number)
	found = in.named(found)
	g := newGroundwork(in, recipe)
	results := make([]*Result, len(markets))
	for i, m := range markets {
		results[i] = g.assess(m)
		results[i].Findings = Unique(slices.Concat(found, results[i].Findings))
	}
	return results
}

// AssessRecipe is Assess for given shares, such as those of a batch as weighed.
// Where fats react with lye, everything after the recipe looks at the product as
// sold.
func AssessRecipe(in *Input, recipe *Recipe) *Result {
	return newGroundwork(in, recipe).assess(in.Market)
}

// groundwork is what the results of one variant have in common, whatever the
// market, each with the findings it gave.
type groundwork struct {
	in         *Input // as sold
	recipe     *Recipe
	reactions  []*Reaction
	comps      []*Composition
	joined     []*Composition // the same, see joinNumbers
	marginer   *marginer
	exposure   Exposure
	inhalation Inhalation
	margins    []Margin
	traces     []Trace

	ofRecipe, ofExposure, ofMargins, ofTraces []ingredients.Finding
}

func newGroundwork(in *Input, recipe *Recipe) *groundwork {
	g := &groundwork{recipe: recipe}
	var mixtures []Mixture
	var found []ingredients.Finding
	g.ofRecipe = append(materialFindings(in, recipe), ownLimitFindings(in)...)
	g.in, mixtures, g.reactions, found = Saponify(in, recipe)
	g.ofRecipe = append(g.ofRecipe, found...)
	for _, mix := range mixtures {
		g.comps = append(g.comps, Compose(mix, g.in.Materials))
	}
	g.exposure, g.ofExposure = ExposureOf(g.in)
	g.inhalation = InhalationOf(g.in, g.exposure)
	g.joined, g.marginer = joinNumbers(g.comps), newMarginer(g.in, g.comps, g.exposure)
	g.margins, g.ofMargins = g.marginer.margins(g.joined)
	g.traces, g.ofTraces = g.marginer.traces(g.comps)
	return g
}

// assess adds what depends on the market.
func (g *groundwork) assess(market law.Market) *Result {
	in := g.in
	if in.Market != market {
		there := *in
		there.Market = market
		in = &there
	}
	r := &Result{Recipe: g.recipe, Input: in, Reactions: g.reactions, Compositions: g.comps,
		Exposure: g.exposure, Inhalation: g.inhalation, Margins: g.margins, SumMargins: g.marginer.sums, Traces: g.traces}
	var fs, found []ingredients.Finding
	say := func(more []ingredients.Finding) { fs = append(fs, more...) }

	say(g.ofRecipe)
	r.Allergens, found = Allergens(in, r.Compositions, in.Materials)
	say(found)
	r.List = Order(r.Whole(), in.Materials, r.Allergens, ListRules{
		SortedFromPct: in.Law.Fact("order-threshold").Number, Tail: in.Product.TailOrder, Colours: colourNames{in.Law}})
	say(listFindings(in, r))
	r.Fragrances, r.FragranceSums, found = Fragrances(in, r.Compositions, in.Materials)
	say(found)
	run := newLimitRun(in, r.Compositions)
	r.Limits, found = run.limits()
	say(found)
	r.OtherLaw, found = run.otherLaw()
	say(found)
	say(ComingAllergens(in, r.Compositions, in.Materials, r.Allergens))
	r.Standards, found = run.standards()
	say(found)
	say(Preservation(in, r.Whole()))
	say(SenseFindings(in, r.Whole()))
	say(g.ofExposure)
	say(g.ofMargins)
	there := *g.marginer
	there.in = in
	r.Aggregates, found = there.aggregates(g.joined)
	say(found)
	r.LocalDoses, found = LocalDoses(in, r.Allergens, r.Exposure)
	say(found)
	say(g.ofTraces)
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
			fs = append(fs, functionFindings(m.Sheet, in.Dict)...)
		}
	}
	return fs
}

func itoa(i int) string { return strconv.Itoa(i) }
