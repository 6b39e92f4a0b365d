package calc

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Aggregate is the exposure to a preservative or UV filter from all cosmetics a
// person uses, as if each held as much of it as this product.
type Aggregate struct {
	INCI, CAS string
	List      string            // preservative or UV filter
	Content   ingredients.Range // % of the worst mixture
	WorstIn   string
	All       Stated // exposure to all products together, mg/kg bw/d
	// OwnAdded is this product's own exposure, mg/kg bw/d, where it is none of the
	// products that All counts; 0 where it is one.
	OwnAdded    float64
	ChildFactor *Stated // factor for children; nil for adults

	// AbsorbedPct is the absorption through the skin, % of the dose, also where the
	// product itself is swallowed: the total is mostly skin.
	AbsorbedPct float64

	SED        float64 // mg/kg bw/d
	PoDSys     float64 // mg/kg bw/d; 0 where there is none
	MoS        float64 // 0 where there is none
	Target     Stated
	Verdict    MarginVerdict
	Reason     string   // why there is no margin
	HighestPct *float64 // content at which the margin is the target; nil: none
	Arithmetic string
}

// aggregatePart begins the rows of facts.csv for the products that the total
// counts.
const aggregatePart = "aggregate-part-"

// Aggregates computes the aggregate exposure to the preservatives and UV filters
// of a product, those of the lists in force for the market that are ingredients.
//
//	SED = (E_all [+ E/bw of a product that E_all does not count]) × C/100 × DA/100
//
// The total is made for preservatives; for UV filters it is shown beside the
// single product in the same way, and the assessor weighs it.
//
// Units: mg/kg bw/d. Compared unrounded.
// Findings: ask "aggregate-below-target".
// Source: as in SCCS/1647/22, 3-3.4.3; facts.csv, row
// aggregate-exposure-relative, whose parts add up to it.
func Aggregates(in *Input, comps []*Composition, exp Exposure) ([]Aggregate, []ingredients.Finding) {
	return newMarginer(in, comps, exp).aggregates(joinNumbers(comps))
}

// aggregates takes compositions whose numbers are joined.
func (m *marginer) aggregates(comps []*Composition) ([]Aggregate, []ingredients.Finding) {
	in := m.in
	var all []Aggregate
	var fs []ingredients.Finding
	for _, s := range comps[0].Substances {
		list := listOf(in, s)
		if list == "" {
			continue
		}
		a, x := m.aggregate(s, list, comps)
		all = append(all, a)
		if a.Verdict == MarginBelow {
			fs = append(fs, m.aggregateFinding(&a, &x))
		}
	}
	return all, fs
}

// listOf names the list that a substance of the composition is used from. A
// colourant on the UV filter list is taken for a colourant.
func listOf(in *Input, s *Substance) string {
	switch {
	case !s.IsIngredient():
		return ""
	case in.Law.IsPreservative(s.INCI, s.CAS, in.Market, in.Date):
		return "preservative"
	case in.Law.IsUVFilter(s.INCI, s.CAS, in.Market, in.Date) && !isCI(s.INCI) && !(colourNames{in.Law}).colours(s.Functions):
		return "UV filter"
	}
	return ""
}

// totalCounts says whether the total counts a row of the exposure table. It names
// the adults' toothpaste without the age.
func (m *marginer) totalCounts(key string) bool {
	part := aggregatePart + strings.TrimSuffix(key, "-adult")
	return slices.ContainsFunc(m.in.Law.Facts(), func(f *law.Fact) bool { return f.Key == part })
}

func (m *marginer) aggregate(s *Substance, list string, comps []*Composition) (Aggregate, Margin) {
	x := m.margin(s, comps)
	k := m.known(s.INCI, s.CAS)
	dermal := m.dermal(k) // also where the product itself is swallowed: the total is mostly skin
	a := Aggregate{INCI: s.INCI, CAS: s.CAS, List: list, Content: x.Content, WorstIn: x.WorstIn, All: *m.fact("aggregate-exposure-relative"), AbsorbedPct: dermal.Pct.Value,
		Target: x.Target, Verdict: MarginNone, Reason: x.Reason}
	total, text := a.All.Value, figureText(a.All.Value)
	switch m.exp.Audience {
	case ChildrenThree:
		a.ChildFactor = m.fact("child-surface-factor-12-months")
	case UnderThree:
		a.ChildFactor = m.fact("child-surface-factor-0-months")
	}
	if a.ChildFactor != nil {
		total *= a.ChildFactor.Value
		text += " × " + figureText(a.ChildFactor.Value)
	}
	if m.exp.Known() && !m.totalCounts(m.exp.Key) {
		a.OwnAdded = m.exp.MgPerKg.Value
		total += a.OwnAdded
		text = "(" + text + " + " + figureText(a.OwnAdded) + " of this product)"
	}
	a.SED = SEDByPercent(total, x.Content.Max.Float(), dermal.Pct.Value)
	a.Arithmetic = fmt.Sprintf("SED = %s × %s %% × %s %% = %s mg/kg bw/d; ", text, x.Content.Max.Sig(significant), figureText(dermal.Pct.Value), figureText(a.SED))
	if x.PoD == nil || a.SED == 0 || x.PoDSys == 0 {
		if a.Reason == "" {
			a.Reason = "absorption 0: no systemic exposure is assumed, so nothing is divided"
		}
		a.Arithmetic += "no MoS: " + a.Reason
		return a, x
	}
	a.Reason, a.PoDSys = "", x.PoDSys
	a.MoS, a.Verdict = decideMargin(MarginOfSafety(a.PoDSys, a.SED), a.Target.Value, func() ingredients.Num {
		total := a.All.num().Mul(a.ChildFactor.num())
		if a.OwnAdded > 0 {
			total = total.Add(m.exp.MgPerKg.num())
		}
		return x.PoD.exactSys(x.PoD.Systemic.num()).Quo(total.Pct(x.Content.Max).Pct(dermal.Pct.num()))
	})
	a.HighestPct = highestPct(x.Content, a.MoS, a.Target.Value)
	a.Arithmetic += "MoS = " + figureText(a.PoDSys) + " / " + figureText(a.SED) + " = " + marginText(a.MoS, a.Target.Value)
	return a, x
}

func (m *marginer) aggregateFinding(a *Aggregate, x *Margin) ingredients.Finding {
	most := x.Content.Max
	f := ingredients.NewFinding(ingredients.Ask, "aggregate-below-target", m.posOf(x),
		with().Figure("margin", marginText(a.MoS, a.Target.Value), "").Figure("target", figureText(a.Target.Value), "").Quote("arithmetic", a.Arithmetic).
			Figure("highest", figureDown(*a.HighestPct), "%").Source("total", ingredients.Values{{Kind: ingredients.KindQuote, Text: a.All.Cite()}})).
		On(a.INCI).By(ingredients.TheAssessor)
	f.Grade = &most
	return f
}
