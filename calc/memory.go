package calc

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/ingredients"
)

// MemoryFigure is a figure in use that was not, or not wholly, read in its
// source: the assessor is asked to confirm it.
type MemoryFigure struct {
	What  string // what it is used as
	Table string
	Row   string
	Seen  string // partly, memory or none
}

// memory names the figures of a margin that were not read in their source.
func (m *marginer) memory(x *Margin) []MemoryFigure {
	var out []MemoryFigure
	add := func(what string, s *Stated) {
		if s.FromMemory() && s.Table != "" {
			out = append(out, MemoryFigure{what, s.Table, s.Row, s.Seen})
		}
	}
	absorption := "dermal absorption"
	if m.exp.Swallowed {
		absorption = "oral absorption"
	}
	add(absorption, &x.Absorption.Pct)
	if p := x.PoD; p != nil {
		if p.FromMemory() && p.Table != "" {
			out = append(out, MemoryFigure{"point of departure", p.Table, p.Row, p.Seen})
		}
		add("absorption in the study", &p.Systemic)
		add("factor for the effect level", p.LOAELFactor)
		add("factor for the length of the study", p.DurationFactor)
		add("target", &x.Target)
	}
	if x.TTC != nil {
		add("threshold of toxicological concern", &x.TTC.Limit)
	}
	return out
}

// memory names the figures of the exposure that were not read in their source.
func (e *Exposure) memory() []MemoryFigure {
	var out []MemoryFigure
	for _, f := range []struct {
		what string
		s    *Stated
	}{{"amount", e.AmountG}, {"uses a day", e.PerDay}, {"retention", e.Retention}, {"exposure", e.MgPerKg}, {"skin area", e.AreaCm2},
		{"body weight", e.BodyWeightKg}, {"factor for children", e.ChildFactor}} {
		if f.s == e.BodyWeightKg && e.printed {
			continue // nothing was divided by it
		}
		if f.s.FromMemory() && f.s.Table != "" {
			out = append(out, MemoryFigure{f.what, f.s.Table, f.s.Row, f.s.Seen})
		}
	}
	return out
}

func (h *Inhalation) memory() []MemoryFigure {
	var out []MemoryFigure
	for _, p := range h.Parameters {
		if p.FromMemory() && p.Table != "" {
			out = append(out, MemoryFigure{p.Name, p.Table, p.Row, p.Seen})
		}
	}
	return out
}

// MemoryFigures returns every figure behind exposure, margins, aggregate
// exposure, local doses and traces that was not read in its source, one for each
// row of each table, sorted by table and row.
func (r *Result) MemoryFigures() []MemoryFigure {
	all := append(r.Exposure.memory(), r.Inhalation.memory()...)
	for i := range r.Margins {
		all = append(all, r.Margins[i].Memory...)
	}
	add := func(what string, s *Stated) {
		if s.FromMemory() && s.Table != "" {
			all = append(all, MemoryFigure{what, s.Table, s.Row, s.Seen})
		}
	}
	for i := range r.Aggregates {
		add("exposure to all cosmetics", &r.Aggregates[i].All)
	}
	for i := range r.LocalDoses {
		add("skin area", &r.LocalDoses[i].ProductMgCm2)
	}
	for i := range r.Traces {
		all = append(all, r.Traces[i].Margin.Memory...)
		for j := range r.Traces[i].Checks {
			add("published figure for a trace", &r.Traces[i].Checks[j].Figure)
		}
	}
	slices.SortStableFunc(all, func(a, b MemoryFigure) int { return cmp.Or(cmp.Compare(a.Table, b.Table), cmp.Compare(a.Row, b.Row)) })
	return slices.CompactFunc(all, func(a, b MemoryFigure) bool { return a.Table == b.Table && a.Row == b.Row })
}

// byTable splits sorted figures by their table.
func byTable(all []MemoryFigure) [][]MemoryFigure {
	var out [][]MemoryFigure
	for _, f := range all {
		if n := len(out); n > 0 && out[n-1][0].Table == f.Table {
			out[n-1] = append(out[n-1], f)
			continue
		}
		out = append(out, []MemoryFigure{f})
	}
	return out
}

func countOf(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return itoa(n) + " " + what + "s"
}

func rowNames(figures []MemoryFigure) string {
	names := make([]string, len(figures))
	for i, f := range figures {
		names[i] = f.Row
		if f.Seen != "memory" {
			names[i] += " (" + f.Seen + ")"
		}
	}
	return strings.Join(names, "; ")
}

// unverifiedFinding asks the assessor to confirm all rows at once.
func unverifiedFinding(in *Input, figures []MemoryFigure) ingredients.Finding {
	f := in.onProduct(ingredients.NewFinding(ingredients.Ask, "figures-unverified", in.Product.Pos, nil)).By(ingredients.TheAssessor)
	for _, m := range figures {
		v := with().Name("table", m.Table).Name("row", m.Row)
		if m.Seen == "partly" {
			v = v.Term("seen", "partly-checked", nil)
		}
		f.Things = f.Things.Term("", "figure-row", v)
	}
	return f
}
