package masses

import (
	"slices"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/calc/limits"
	"gallipot/calc/listing"
	"gallipot/calc/soap"
	"gallipot/calc/standards"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// MadeLine is one thing that was weighed into a batch.
type MadeLine struct {
	Ingredient string
	Phase      string
	Portion    string // "" for the base and for a batch of one mixture
	Added      bool
	PlannedG   *exact.Num // g; nil: not planned
	G          exact.Num  // g, as weighed
	Pos        exact.Pos
}

// MadePortion is one part that the base of a batch was divided into.
type MadePortion struct {
	Name  string
	BaseG exact.Num // g of base weighed into it
}

// MadeRecipe turns what was weighed into shares, so that a batch can be looked at
// like a formula.
//
//	one mixture:  share = mass / Σ masses × 100
//	portions:     share(base line) = mass / Σ base × base in the portion / portion × 100
//
// Units: g in, % w/w out, not rounded. Base that was left in the pot counts in
// no portion. ok is false when nothing was weighed, or a portion is empty.
func MadeRecipe(lines []MadeLine, portions []MadePortion) (r *formula.Recipe, ok bool) {
	r = &formula.Recipe{TotalPct: formula.Hundred}
	if len(portions) == 0 {
		var masses []exact.Num
		for _, l := range lines {
			masses = append(masses, l.G)
		}
		r.Whole, ok = mixtureOf("", lines, masses)
		r.Whole.SharePct = formula.Hundred
		return r, ok
	}
	var baseG, allG exact.Num
	for _, l := range lines {
		if l.Portion == "" {
			baseG = baseG.Add(l.G)
		}
	}
	var totals []exact.Num
	whole := make([]exact.Num, len(lines))
	for _, p := range portions {
		var total exact.Num
		masses := make([]exact.Num, len(lines))
		for i, l := range lines {
			switch {
			case l.Portion == p.Name:
				masses[i] = l.G
			case l.Portion == "" && !baseG.IsZero():
				masses[i] = l.G.Mul(p.BaseG).Quo(baseG)
			}
			total = total.Add(masses[i])
			whole[i] = whole[i].Add(masses[i])
		}
		m, filled := mixtureOf(p.Name, lines, masses)
		if !filled {
			return r, false
		}
		r.Portions = append(r.Portions, m)
		totals = append(totals, total)
		allG = allG.Add(total)
	}
	for i := range r.Portions {
		r.Portions[i].SharePct = formula.Hundred.Mul(totals[i]).Quo(allG)
	}
	r.Whole, ok = mixtureOf("", lines, whole)
	r.Whole.SharePct = formula.Hundred
	return r, ok
}

func mixtureOf(name string, lines []MadeLine, masses []exact.Num) (formula.Mixture, bool) {
	m := formula.Mixture{Name: name}
	var total exact.Num
	for _, g := range masses {
		total = total.Add(g)
	}
	if total.Sign() <= 0 {
		return m, false
	}
	for i, l := range lines {
		if masses[i].Sign() > 0 {
			m.Shares = append(m.Shares, formula.Share{Ingredient: l.Ingredient, Pct: formula.Hundred.Mul(masses[i]).
				Quo(total), Phase: l.Phase, Added: l.Added, Pos: l.Pos})
		}
	}
	return m, true
}

// CheckMade runs on a batch as weighed what weighing can change: the reaction with
// lye, allergens, fragrance certificates and legal limits. It is AssessRecipe
// without the rest, for there may be hundreds of batches; the other fields of the
// result stay empty.
func CheckMade(in *formula.Input, recipe *formula.Recipe) *calc.Result {
	r := &calc.Result{Recipe: recipe}
	var fs, found []finding.Finding
	say := func(more []finding.Finding) { fs = append(fs, more...) }
	in, mixtures, reactions, found := soap.Saponify(in, recipe)
	r.Input, r.Reactions = in, reactions
	say(found)
	for _, mix := range mixtures {
		r.Compositions = append(r.Compositions, formula.Compose(mix, in.Materials))
	}
	r.Allergens, found = listing.Allergens(in, r.Compositions, in.Materials)
	say(found)
	r.Fragrances, r.FragranceSums, found = standards.Fragrances(in, r.Compositions, in.Materials)
	say(found)
	r.Limits, found = limits.Limits(in, r.Compositions)
	say(found)
	r.Findings = calc.Unique(fs)
	return r
}

// Deviation compares one weighed mass with its plan.
type Deviation struct {
	Line     int         // index into the lines
	DiffG    exact.Num   // g, weighed − planned
	DiffPct  exact.Num   // % of the plan
	AllowedG exact.Num   // g, either way
	Rule     *trade.Fact // the tolerance; nil where one division of the balance is wider
	Within   bool
}

// Deviations compares each weighed line with its plan.
//
//	allowed = planned × tolerance / 100, at least one division of the balance
//
// The tolerance is that of critical lines (preservatives, actives, alkali), of
// small additions, or of main lines. Lines without a plan are left out.
//
// Source: facts.csv, rows weigh-tolerance-critical, -small and -main.
func Deviations(lines []MadeLine, materials map[string]*formula.Material, divisionG exact.Num,
	tables *table.Tables) []Deviation {
	var total exact.Num
	for _, l := range lines {
		if l.PlannedG != nil {
			total = total.Add(*l.PlannedG)
		}
	}
	var out []Deviation
	for i, l := range lines {
		if l.PlannedG == nil || l.PlannedG.Sign() <= 0 {
			continue
		}
		d := deviationOf(*l.PlannedG, l.G, divisionG, toleranceOf(materials[l.Ingredient], *l.PlannedG, total,
			tables))
		d.Line = i
		out = append(out, d)
	}
	return out
}

// deviationOf compares one mass with its plan under a tolerance.
func deviationOf(plannedG, g, divisionG exact.Num, rule *trade.Fact) Deviation {
	d := Deviation{DiffG: g.Sub(plannedG), AllowedG: plannedG.Pct(rule.Number), Rule: rule}
	d.DiffPct = formula.Hundred.Mul(d.DiffG).Quo(plannedG)
	if d.AllowedG.Less(divisionG) {
		d.AllowedG, d.Rule = divisionG, nil
	}
	d.Within = !d.AllowedG.Less(d.DiffG) && !d.AllowedG.Less(d.DiffG.Neg())
	return d
}

func toleranceOf(m *formula.Material, plannedG, totalG exact.Num, tables *table.Tables) *trade.Fact {
	switch small := law.Fact(tables, "weigh-small-below").Number; {
	case m != nil && isCritical(tables, m):
		return law.Fact(tables, "weigh-tolerance-critical")
	case plannedG.Less(totalG.Pct(small)):
		return law.Fact(tables, "weigh-tolerance-small")
	}
	return law.Fact(tables, "weigh-tolerance-main")
}

// isCritical says whether the sheet calls a material a preservative or an
// active, or it brings alkali.
func isCritical(tables *table.Tables, m *formula.Material) bool {
	for _, f := range m.Sheet.Functions {
		if tables.Words(rows.WordsCritical).In(f) && !tables.Words(rows.WordsCriticalUnless).In(f) {
			return true
		}
	}
	return slices.ContainsFunc(m.Parts, func(p formula.Part) bool { return soap.AlkaliOf(p.INCI) != nil })
}

// Yield is what came out of a batch.
type Yield struct {
	WeighedG exact.Num `json:"weighed_g"` // g, sum of what was weighed in
	OutG     exact.Num `json:"out_g"`     // g, filled and retained
	Pct      exact.Num `json:"pct"`       // % of what was weighed in
	LowPct   exact.Num `json:"low_pct"`   // usual band, %
	HighPct  exact.Num `json:"high_pct"`
	Usual    bool      `json:"usual"`
	OverG    exact.Num `json:"over_g"` // g, out − weighed in, where it is more than the balance explains; else 0
}

// YieldOf reconciles what was weighed in with what came out. dryPct is what dried
// off before the packs were weighed, such as the water of a soap, % of what was
// weighed in; it moves the band. stepG is what the steps of the balance explain:
// the band ends there, for no more comes out of a pot than went in.
//
//	yield = (filled + retained) / weighed × 100
//	band  = 95 to 102 % of what is left after drying, at most 100 % + steps / weighed × 100
//
// Units: g and %. ok is false when nothing was weighed in.
// Source: facts.csv, rows yield-usual-low and yield-usual-high.
func YieldOf(weighedG, outG, dryPct, stepG exact.Num, tables *table.Tables) (y Yield, ok bool) {
	if weighedG.Sign() <= 0 {
		return Yield{}, false
	}
	kept := formula.Hundred.Sub(dryPct)
	most := formula.Hundred.Add(formula.Hundred.Mul(stepG).Quo(weighedG))
	y = Yield{WeighedG: weighedG, OutG: outG, Pct: formula.Hundred.Mul(outG).Quo(weighedG),
		LowPct: law.Fact(tables, "yield-usual-low").Number.Pct(kept), HighPct: law.Fact(tables, "yield-usual-high").
			Number.Pct(kept).Min(most)}
	y.Usual = !y.Pct.Less(y.LowPct) && !y.HighPct.Less(y.Pct)
	if most.Less(y.Pct) {
		y.OverG = outG.Sub(weighedG)
	}
	return y, true
}

// EffectRate is how many undesirable effects there were for 10 000 units sold;
// ok is false where none was sold.
func EffectRate(effects, units int) (rate exact.Num, ok bool) {
	if units <= 0 {
		return rate, false
	}
	return exact.Int(int64(effects)).Mul(exact.Int(10_000)).Quo(exact.Int(int64(units))), true
}
