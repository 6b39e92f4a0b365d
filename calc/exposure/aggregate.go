package exposure

import (
	"fmt"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Aggregate is the exposure to a preservative or UV filter from all cosmetics a
// person uses, as if each held as much of it as this product.
type Aggregate struct {
	INCI, CAS string
	Nano      bool
	List      string      // preservative or UV filter
	Content   exact.Range // % of the worst mixture
	WorstIn   string
	All       formula.Stated // exposure to all products together, mg/kg bw/d
	// Replaced is the part of All, mg/kg bw/d, that the product's own stated exposure
	// stands in for; it is taken off All.Value. 0 where none is.
	Replaced float64
	// OwnAdded is this product's own exposure, mg/kg bw/d, where it is none of the
	// products that All counts or stands in for one; 0 where All counts it.
	OwnAdded    float64
	ChildFactor *formula.Stated // factor for children; nil for adults

	// AbsorbedPct is the absorption through the skin, % of the dose, also where the
	// product itself is swallowed: the total is mostly skin.
	AbsorbedPct float64
	// ByArea says that SED comes from absorption measured in µg/cm², as that of the
	// single product does: it does not change with the content.
	ByArea bool

	SED        float64 // mg/kg bw/d
	PoDSys     float64 // mg/kg bw/d; 0 where there is none
	MoS        float64 // 0 where there is none
	Target     formula.Stated
	Verdict    MarginVerdict
	Reason     string   // why there is no margin
	HighestPct *float64 // content at which the margin is the target; nil: none
	Arithmetic string
}

// Name is the name of the substance with its form.
func (a *Aggregate) Name() string {
	if a.Nano {
		return a.INCI + " (nano)"
	}
	return a.INCI
}

// aggregatePart begins the rows of facts.csv for the products that the total of
// preservatives counts, aggregateUVPart those of UV filters: the classes that use
// them.
const (
	aggregatePart   = "aggregate-part-"
	aggregateUVPart = "aggregate-uv-part-"
)

// The lists whose substances are added up.
const (
	listPreservative = "preservative"
	listUVFilter     = "UV filter"
)

// Aggregates computes the aggregate exposure to the preservatives and UV filters
// of a product, those of the lists in force for the market that are ingredients.
//
//	SED = (E_all [− E_part] [+ E/bw of the product]) × C/100 × DA/100
//	SED = DA × 10⁻³ × Σ (area × applications) / body weight, where DA is in µg/cm²
//
// A preservative counts in all products of the published total, a UV filter in the
// classes that use one: sunscreen, face cream, hand cream and lipstick. A product's
// own stated exposure stands in for the part of its type; a product of another type
// is added. Absorption measured in µg/cm² counts as it does for the single product.
// The numbers of the compositions are joined.
//
// Units: mg/kg bw/d. Compared unrounded.
// Findings: ask "aggregate-below-target".
// Source: as in SCCS/1647/22, 3-3.4.3, and for UV filters SCCS/1627/21; facts.csv,
// rows aggregate-exposure-relative and aggregate-uv-exposure-relative, whose parts
// add up to them.
func (m *Marginer) Aggregates(comps []*formula.Composition) ([]Aggregate, []finding.Finding) {
	in := m.In
	m.made = nil // where m is a copy, the other has the rest of that room
	var all []Aggregate
	var fs []finding.Finding
	for _, s := range comps[0].Substances {
		list := listOf(in, s)
		if list == "" {
			continue
		}
		x := m.marginOf(s, comps)
		a := m.aggregateOf(s, &x, list)
		all = append(all, a)
		if a.Verdict == MarginBelow {
			fs = append(fs, m.aggregateFinding(&a, &x))
		}
	}
	return all, fs
}

// listOf names the list that a substance of the composition is used from. A
// colourant on the UV filter list is taken for a colourant.
func listOf(in *formula.Input, s *formula.Substance) string {
	switch {
	case !s.IsIngredient():
		return ""
	case law.IsPreservative(in.Law, s.INCI, s.CAS, in.Market, in.Date):
		return listPreservative
	case law.IsUVFilter(in.Law, s.INCI, s.CAS, in.Market, in.Date) && !formula.IsCI(s.INCI) &&
		!(formula.ColourNames{Tables: in.Law}).Colours(s.Functions):
		return listUVFilter
	}
	return ""
}

// partOf returns the part of a total that counts a row of the exposure table; nil
// where it counts none. It names the adults' toothpaste without the age.
func (m *Marginer) partOf(list, key string) *trade.Fact {
	prefix := aggregatePart
	if list == listUVFilter {
		prefix = aggregateUVPart
	}
	part := prefix + strings.TrimSuffix(key, "-adult")
	for _, f := range law.Facts(m.In.Law) {
		if f.Key == part {
			return f
		}
	}
	return nil
}

// total returns the published total of a list.
func (m *Marginer) total(list string) formula.Stated {
	if list == listUVFilter {
		return *m.fact("aggregate-uv-exposure-relative")
	}
	return *m.fact("aggregate-exposure-relative")
}

// aggregateKey is what an aggregate rests on, where no sheet and no assessor gave a figure.
type aggregateKey struct {
	marginKey
	list string
}

// aggregateMemory keeps the aggregates of substances whose content is that of other
// variants or markets.
type aggregateMemory struct {
	formula.Memo[aggregateKey, *Aggregate]
}

// aggregateOf is the aggregate of a substance with its margin.
func (m *Marginer) aggregateOf(s *formula.Substance, x *Margin, list string) Aggregate {
	known := formula.SharedOf[aggregateMemory](m.In)
	if sheets, judged := m.stated(x.INCI); known == nil || sheets != nil || judged != nil {
		return m.aggregate(s, x, list)
	}
	like := *known.Of(aggregateKey{m.keyOf(s, x.Content), list}, func() *Aggregate {
		a := m.aggregate(s, x, list)
		return &a
	})
	like.WorstIn = x.WorstIn
	return like
}

func (m *Marginer) aggregate(s *formula.Substance, x *Margin, list string) Aggregate {
	// also where the product itself is swallowed: the total is mostly skin
	dermal := m.startOf(s.INCI, s.CAS, s.Nano).dermal
	a := Aggregate{INCI: s.INCI, CAS: s.CAS, Nano: s.Nano, List: list, Content: x.Content, WorstIn: x.WorstIn,
		All: m.total(list), AbsorbedPct: dermal.Pct.Value,
		Target: x.Target, Verdict: MarginNone, Reason: x.Reason}
	switch m.exp.Audience {
	case formula.ChildrenThree:
		a.ChildFactor = m.fact("child-surface-factor-12-months")
	case formula.UnderThree:
		a.ChildFactor = m.fact("child-surface-factor-0-months")
	}
	part := m.ownPart(&a)
	text := m.aggregateText(&a, part)
	total := a.All.Value*a.ChildFactor.Or(1) + a.OwnAdded
	a.SED = SEDByPercent(total, x.Content.Max.Float(), dermal.Pct.Value)
	a.Arithmetic = fmt.Sprintf("SED = %s × %s %% × %s %%", text, x.Content.Max.Sig(formula.Significant),
		formula.FigureText(dermal.Pct.Value))
	area, areaText, ok := m.aggregateByArea(&a, &dermal, part)
	if ok && (dermal.Kind != AbsorptionStated || area >= a.SED) {
		a.SED, a.ByArea, a.Arithmetic = area, true, "SED = "+areaText
	}
	a.Arithmetic += fmt.Sprintf(" = %s mg/kg bw/d; ", formula.FigureText(a.SED))
	if x.PoD == nil || a.SED == 0 || x.PoDSys == 0 {
		if a.Reason == "" {
			a.Reason = "absorption 0: no systemic exposure is assumed, so nothing is divided"
		}
		a.Arithmetic += "no MoS: " + a.Reason
		return a
	}
	a.Reason, a.PoDSys = "", x.PoDSys
	a.MoS, a.Verdict = decideMargin(MarginOfSafety(a.PoDSys, a.SED), a.Target.Value, func() exact.Num {
		if a.ByArea {
			return x.PoD.exactSys(x.PoD.Systemic.Num()).Quo(formula.ExactFigure(a.SED))
		}
		total := m.total(list)
		all := total.Num()
		if a.Replaced > 0 {
			all = all.Sub(part.Number)
		}
		all = all.Mul(a.ChildFactor.Num())
		if a.OwnAdded > 0 {
			all = all.Add(m.exp.MgPerKg.Num())
		}
		return x.PoD.exactSys(x.PoD.Systemic.Num()).Quo(all.Pct(x.Content.Max).Pct(dermal.Pct.Num()))
	})
	if !a.ByArea {
		highest := highestPct(x.Content, a.MoS, a.Target.Value)
		a.HighestPct = &highest
	}
	a.Arithmetic += "MoS = " + formula.FigureText(a.PoDSys) + " / " + formula.FigureText(a.SED) + " = " +
		marginText(a.MoS, a.Target.Value)
	return a
}

// ownPart sets what the product itself has to do with the total, and returns the
// part that counts its type: nil where none does.
func (m *Marginer) ownPart(a *Aggregate) *trade.Fact {
	key := m.exp.Key
	if m.exp.Origin == ExposureOwn {
		key = m.In.Type.ExposureKey
	}
	part := m.partOf(a.List, key)
	switch {
	case !m.exp.Known():
	case part == nil:
		a.OwnAdded = m.exp.MgPerKg.Value
	case m.exp.Origin == ExposureOwn:
		a.Replaced, a.OwnAdded = part.Float(), m.exp.MgPerKg.Value
		a.All.Value = formula.ExactFigure(a.All.Value).Sub(part.Number).Float()
	}
	return part
}

// aggregateText is the sum of exposures in one line.
func (m *Marginer) aggregateText(a *Aggregate, part *trade.Fact) string {
	text := formula.FigureText(a.All.Value)
	if a.Replaced > 0 {
		text = "(" + formula.FigureText(m.total(a.List).Value) + " − " + formula.FigureText(part.Float()) + ")"
	}
	if a.ChildFactor != nil {
		text += " × " + formula.FigureText(a.ChildFactor.Value)
	}
	if a.OwnAdded > 0 {
		text = "(" + text + " + " + formula.FigureText(a.OwnAdded) + " of this product)"
	}
	return text
}

// aggregateByArea adds up skin areas times uses a day for absorption in µg/cm²,
// with the product itself in place of the part of its type or beside the others.
// ok is false where no such absorption is known, or an area or use is not.
func (m *Marginer) aggregateByArea(a *Aggregate, dermal *Absorption,
	part *trade.Fact) (sed float64, text string, ok bool) {
	if dermal.UgCm2 == nil {
		return
	}
	prefix := aggregatePart
	if a.List == listUVFilter {
		prefix = aggregateUVPart
	}
	total := 0.0
	for _, f := range law.Facts(m.In.Law) {
		key, is := strings.CutPrefix(f.Key, prefix)
		if !is || f == part && a.Replaced > 0 {
			continue
		}
		row, found := law.Exposure(m.In.Law, key) // of toothpaste there is no area under any name
		if !found || row.SkinSurfaceCM2 == nil || row.PerDay == nil {
			return
		}
		total += row.SkinSurfaceCM2.Value * row.PerDay.Value
	}
	if a.OwnAdded > 0 {
		if m.exp.AreaCm2 == nil || m.exp.PerDay == nil {
			return
		}
		total += m.exp.AreaCm2.Value * m.exp.PerDay.Value
	}
	weight := m.fact("body-weight-adult").Value
	sed = SEDByArea(dermal.UgCm2.Value, total, 1, weight) * a.ChildFactor.Or(1)
	text = fmt.Sprintf("%s µg/cm² × 0.001 × %s cm² a day / %s kg", formula.FigureText(dermal.UgCm2.Value),
		formula.FigureText(total), formula.FigureText(weight))
	if a.ChildFactor != nil {
		text += " × " + formula.FigureText(a.ChildFactor.Value)
	}
	return sed, text, true
}

func (m *Marginer) aggregateFinding(a *Aggregate, x *Margin) finding.Finding {
	most := x.Content.Max
	v := formula.With().Figure("margin", marginText(a.MoS, a.Target.Value), "").
		Figure("target", formula.FigureText(a.Target.Value), "").Quote("arithmetic", a.Arithmetic).
		Source("total", finding.Values{{Kind: finding.KindQuote, Text: a.All.Cite()}})
	if a.HighestPct != nil {
		v = v.Figure("highest", formula.FigureDown(*a.HighestPct), "%")
	}
	f := finding.NewFinding(finding.Ask, "aggregate-below-target", m.posOf(x), v).On(a.INCI).
		By(finding.TheAssessor)
	f.Grade = &most
	return f
}
