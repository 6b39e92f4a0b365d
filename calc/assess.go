package calc

import (
	"slices"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/calc/otherlaw"
	"gallipot/calc/preservation"
	"gallipot/calc/sense"
	"gallipot/calc/soap"
	"gallipot/calc/standards"
	"gallipot/ingredients/finding"
)

// Assess computes one variant of a product for one market on one day. It is the
// list of what is checked and nothing more; each check has a file of its own.
func Assess(in *formula.Input) *Result { return AssessMarkets(in, []rows.Market{in.Market})[0] }

// AssessMarkets is Assess for each of the markets, in their order: what does not
// depend on the market is computed once, and the results share it.
func AssessMarkets(in *formula.Input, markets []rows.Market) []*Result {
	recipe, found := formula.Resolve(in.Product, in.Variant, law.Fact(in.Law, "percent-sum-tolerance").Number)
	found = in.Named(found)
	g := newGroundwork(in, recipe)
	results := make([]*Result, len(markets))
	for i, m := range markets {
		results[i] = g.assess(m, found)
	}
	return results
}

// groundwork is what the results of one variant have in common, whatever the
// market, each with the findings it gave.
type groundwork struct {
	in         *formula.Input // as sold
	recipe     *formula.Recipe
	reactions  []*soap.Reaction
	comps      []*formula.Composition
	joined     []*formula.Composition // the same, see joinNumbers
	limits     *limits.Ground
	marginer   *exposure.Marginer
	exposure   exposure.Exposure
	inhalation exposure.Inhalation
	margins    []exposure.Margin
	traces     []exposure.Trace

	fragrances    []standards.FragranceUse
	fragranceSums []standards.FragranceSum

	ofRecipe, ofExposure, ofMargins, ofTraces, ofFragrances []finding.Finding

	gathered *listing.Gathered // nil: not yet
	list     *listing.List     // made last; nil: none yet
	declared []listing.AllergenTotal
}

// listWith is the ingredient list with the allergens of a market: that of the market before
// where it declares the same.
func (g *groundwork) listWith(allergens []listing.AllergenTotal) *listing.List {
	if g.list == nil || !listing.DeclareAlike(g.declared, allergens) {
		rules := listing.ListRules{SortedFromPct: law.Fact(g.in.Law, "order-threshold").Number,
			Tail: g.in.Product.TailOrder}
		if g.gathered == nil {
			g.gathered = listing.Gather(g.comps[0], g.in.Materials, formula.ColourNames{Tables: g.in.Law})
		}
		g.list = g.gathered.Order(allergens, rules)
		g.declared = allergens
	}
	return g.list
}

func newGroundwork(in *formula.Input, recipe *formula.Recipe) *groundwork {
	g := &groundwork{recipe: recipe}
	var mixtures []formula.Mixture
	var found []finding.Finding
	g.ofRecipe = append(materialFindings(in, recipe), ownLimitFindings(in)...)
	g.in, mixtures, g.reactions, found = soap.Saponify(in, recipe)
	g.ofRecipe = append(g.ofRecipe, found...)
	for _, mix := range mixtures {
		g.comps = append(g.comps, g.in.Compose(mix))
	}
	g.exposure, g.ofExposure = exposure.ExposureOf(g.in)
	g.inhalation = exposure.InhalationOf(g.in, g.exposure)
	g.joined, g.marginer = formula.JoinNumbers(g.comps), exposure.NewMarginer(g.in, g.comps, g.exposure)
	g.margins, g.ofMargins = g.marginer.Margins(g.joined)
	g.limits = limits.GroundOf(g.in, g.comps)
	g.traces, g.ofTraces = g.marginer.Traces(g.comps)
	g.fragrances, g.fragranceSums, g.ofFragrances = standards.Fragrances(g.in, g.comps, g.in.Materials)
	return g
}

// assess adds what depends on the market. found is what was found before.
func (g *groundwork) assess(market rows.Market, found []finding.Finding) *Result {
	in := g.in
	if in.Market != market {
		there := *in
		there.Market = market
		in = &there
	}
	r := &Result{Recipe: g.recipe, Input: in, Reactions: g.reactions, Compositions: g.comps,
		Exposure: g.exposure, Inhalation: g.inhalation, Margins: g.margins, SumMargins: g.marginer.Sums,
		Traces: g.traces}
	const mostLists = 24
	lists := make([][]finding.Finding, 0, mostLists)
	say := func(more []finding.Finding) { lists = append(lists, more) }

	say(found)
	say(g.ofRecipe)
	r.Allergens, found = listing.Allergens(in, r.Compositions, in.Materials)
	say(found)
	r.List = g.listWith(r.Allergens)
	say(listFindings(in, r))
	r.Fragrances, r.FragranceSums = g.fragrances, g.fragranceSums
	say(g.ofFragrances)
	run := g.limits.Run(in)
	r.Limits, found = run.Limits()
	say(found)
	r.OtherLaw, found = otherlaw.Against(run)
	say(found)
	say(allergensToCome(in, r.Compositions, in.Materials, r.Allergens))
	r.Standards, found = standards.StandardsOfLimitRun(run)
	say(found)
	say(preservation.Preservation(in, r.Whole()))
	say(sense.Findings(in, r.Whole()))
	say(g.ofExposure)
	say(g.ofMargins)
	there := *g.marginer
	there.In = in
	r.Aggregates, found = there.Aggregates(g.joined)
	say(found)
	r.LocalDoses, found = exposure.LocalDoses(in, r.Allergens, r.Exposure)
	say(found)
	say(g.ofTraces)
	say(r.unverified())
	r.Findings = uniqueOf(lists...)
	return r
}

// materialFindings gathers what is wrong with the raw materials in use.
func materialFindings(in *formula.Input, recipe *formula.Recipe) []finding.Finding {
	known := formula.MemoryOf[materialMemory](in.Session)
	uses := formula.UseOf(recipe.Whole)
	lists := make([][]finding.Finding, 0, len(uses))
	for _, u := range uses {
		if m := in.Materials[u.Ingredient]; m != nil {
			lists = append(lists, known.Of(m, func() []finding.Finding {
				return slices.Concat(m.Findings, m.IdentityFindings(in.Law), functionFindings(m.Sheet, in.Dict))
			}))
		}
	}
	return slices.Concat(lists...)
}

// materialMemory keeps what is wrong with a raw material, whatever it is used for.
type materialMemory struct {
	formula.Memo[*formula.Material, []finding.Finding]
}
