package exposure

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/trade"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Trace is one impurity that sheets declare: how much of it comes into the
// product, what reaches the body, and the published figures for it.
type Trace struct {
	Name, CAS string
	MgPerKg   exact.Range // mg/kg of the worst mixture
	WorstIn   string      // that portion; "" for the whole
	Margin    Margin      // computed as for an ingredient, on the trace alone
	Checks    []TraceCheck
}

// TraceVerdict says how a trace stands against a published figure.
type TraceVerdict string

// The verdicts on a trace.
const (
	TraceWithin     TraceVerdict = "at or below"
	TraceAbove      TraceVerdict = "above"
	TraceMayExceed  TraceVerdict = "may be above" // the declared upper bound is, the lower is not
	TraceComparison TraceVerdict = "for comparison"
)

// TraceCheck compares what is declared with one published figure. Several
// traces that one figure covers are added.
type TraceCheck struct {
	Guide   *trade.TraceGuide
	Figure  formula.Stated // mg/kg
	LimitMg exact.Num      // the same, exact
	Members []string       // traces that were added
	FoundMg exact.Range    // mg/kg of product or raw material
	In      string         // the portion, or the sheet where the figure is for raw materials; "" for the whole product
	Verdict TraceVerdict
	from    []formula.Contribution
}

// mgPerKgPerPct converts % to mg/kg.
var mgPerKgPerPct = exact.Int(10_000)

// Traces gathers the impurities that the sheets declare.
//
//	content = Σ lines  share(line) × declared content / 100
//
// What a sheet does not declare is not known, which is not zero.
//
// Units: mg/kg of the finished product; margins as in [Margins].
// Basis: the highest declared content in the worst mixture; a figure for raw
// materials is compared with the sheet that declares most.
// Findings: ask "trace-above-guidance"; ask "mos-below-target" for a trace.
// Source: trace-guides.csv and facts.csv, rows impurity-*.
func (m *Marginer) Traces(comps []*formula.Composition) ([]Trace, []finding.Finding) {
	in := m.In
	var traces []Trace
	var fs []finding.Finding
	for _, s := range comps[0].Substances {
		if !slices.ContainsFunc(s.Contributions, isTrace) {
			continue
		}
		t := m.trace(s, comps)
		traces = append(traces, t)
		if t.Margin.Verdict == MarginBelow {
			f := m.belowTarget(&t.Margin)
			f.Cause = "trace"
			fs = append(fs, f)
		}
	}
	traced := tracedIn(comps)
	guides := formula.MemoryOf[guideMemory](in.Session).Of(in.Type,
		func() []*trade.TraceGuide { return in.Law.TraceGuides(in.Type) })
	for _, g := range guides {
		c, ok := checkTrace(in, g, comps, traced)
		if !ok {
			continue
		}
		for i := range traces {
			if slices.Contains(c.Members, traces[i].Name) {
				traces[i].Checks = append(traces[i].Checks, c)
			}
		}
		if c.Verdict == TraceAbove || c.Verdict == TraceMayExceed {
			fs = append(fs, traceFinding(in, &c))
		}
	}
	return traces, fs
}

// guideMemory keeps the guides of a product type.
type guideMemory struct {
	formula.Memo[*trade.ProductType, []*trade.TraceGuide]
}

func isTrace(c formula.Contribution) bool { return c.Route == formula.ByImpurity }

// traced is what is in a mixture as a trace, and how much of it.
type traced struct {
	s       *formula.Substance
	content exact.Range
	from    []formula.Contribution
}

// tracedIn lists the traces of each mixture.
func tracedIn(comps []*formula.Composition) [][]traced {
	all := make([][]traced, len(comps))
	for i, c := range comps {
		for _, s := range c.Substances {
			if slices.ContainsFunc(s.Contributions, isTrace) {
				content, from := traceIn(s)
				all[i] = append(all[i], traced{s, content, from})
			}
		}
	}
	return all
}

// traceIn returns the content of a substance as a trace in one mixture, and what
// it is made of.
func traceIn(s *formula.Substance) (exact.Range, []formula.Contribution) {
	var from []formula.Contribution
	for _, c := range s.Contributions {
		if isTrace(c) {
			from = append(from, c)
		}
	}
	return s.ByRoute(formula.ByImpurity), from
}

func (m *Marginer) trace(s *formula.Substance, comps []*formula.Composition) Trace {
	x := Margin{marginFigures: &marginFigures{INCI: s.INCI, CAS: s.CAS}}
	x.Content, x.Contributions = traceIn(s)
	x.Whole = x.Content
	for _, c := range comps[1:] {
		if p := c.Same(s); p != nil {
			if content, from := traceIn(p); x.Content.Max.Less(content.Max) {
				x.Content, x.Contributions, x.WorstIn = content, from, c.Mixture.Name
			}
		}
	}
	m.fill(x.marginFigures, false)
	return Trace{Name: s.INCI, CAS: s.CAS, MgPerKg: x.Content.Scale(mgPerKgPerPct), WorstIn: x.WorstIn,
		Margin: x}
}

// checkTrace compares the declared traces that a guide covers; ok is false where
// there is none.
func checkTrace(in *formula.Input, g *trade.TraceGuide, comps []*formula.Composition,
	found [][]traced) (TraceCheck, bool) {
	c := TraceCheck{Guide: g}
	if g.OnMaterial {
		c.onMaterials(in, comps)
	} else {
		c.onProduct(comps, found)
	}
	if len(c.Members) == 0 {
		return c, false
	}
	fact := law.Fact(in.Law, g.Fact)
	c.Figure, c.LimitMg = *formula.OfFact(fact), fact.Number
	if fact.Unit == "ug/kg" {
		c.LimitMg = c.LimitMg.Quo(exact.Int(mgToUg))
		c.Figure.Value = c.LimitMg.Float()
	}
	switch {
	case g.Kind != trade.GuideHere:
		c.Verdict = TraceComparison
	case c.LimitMg.Less(c.FoundMg.Min):
		c.Verdict = TraceAbove
	case c.LimitMg.Less(c.FoundMg.Max):
		c.Verdict = TraceMayExceed
	default:
		c.Verdict = TraceWithin
	}
	return c, true
}

func (c *TraceCheck) onProduct(comps []*formula.Composition, found [][]traced) {
	for i, comp := range comps {
		var sum exact.Range
		var from []formula.Contribution
		for _, t := range found[i] {
			if !c.Guide.Covers(t.s.INCI, t.s.CAS) {
				continue
			}
			sum, from = sum.Add(t.content), append(from, t.from...)
			if i == 0 {
				c.Members = append(c.Members, t.s.INCI)
			}
		}
		if i == 0 || c.FoundMg.Max.Less(sum.Scale(mgPerKgPerPct).Max) {
			c.FoundMg, c.In, c.from = sum.Scale(mgPerKgPerPct), comp.Mixture.Name, from
		}
	}
}

func (c *TraceCheck) onMaterials(in *formula.Input, comps []*formula.Composition) {
	for _, s := range formula.SheetsIn(in, comps) {
		var sum exact.Range
		for _, t := range s.Impurities {
			name := in.Dict.Canonical(t.Name)
			if !c.Guide.Covers(name, t.CAS) && !c.Guide.Covers(t.Name, t.CAS) {
				continue
			}
			sum = sum.Add(t.Amount.Range)
			if !slices.Contains(c.Members, name) {
				c.Members = append(c.Members, name)
			}
			if c.In == "" || c.FoundMg.Max.Less(sum.Scale(mgPerKgPerPct).Max) {
				c.FoundMg, c.In = sum.Scale(mgPerKgPerPct), s.ID
			}
		}
	}
}

func traceFinding(in *formula.Input, c *TraceCheck) finding.Finding {
	v := formula.With().Num("most", c.FoundMg.Max, "mg/kg", finding.Rounding(formula.Significant))
	pos, who := in.Product.Pos, finding.TheSupplier
	if c.Guide.OnMaterial {
		v = v.Is("material", in.Material(c.In))
		if s := in.Sheets[c.In]; s != nil {
			pos, who = s.Pos, s.Asked()
		}
	} else {
		v = formula.PortionNamed(v, c.In)
	}
	var most exact.Num
	for _, k := range c.from {
		if most.Less(k.Pct.Max) {
			most, pos, who = k.Pct.Max, k.SourcePos, in.SupplierOf(k.Ingredient)
		}
	}
	v = v.Num("guidance", c.LimitMg, "mg/kg", finding.AsIs).Flag(c.Verdict == TraceMayExceed, "maybe").
		Source("source", finding.Values{{Kind: finding.KindQuote, Text: c.Figure.Cite()}})
	f := finding.NewFinding(finding.Ask, "trace-above-guidance", pos, v).On(c.Guide.Substance).
		By(who, finding.TheAssessor)
	grade := c.FoundMg.Max
	f.Sum, f.Grade, f.Cause = in.TermsOf(c.from), &grade, c.Guide.Fact
	return f
}
