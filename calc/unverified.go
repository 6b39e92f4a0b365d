package calc

import (
	"cmp"
	"slices"

	"gallipot/calc/exposure"
	"gallipot/calc/formula"
)

// MemoryFigures returns every figure behind exposure, margins, aggregate
// exposure, local doses and traces that was not read in its source, one for each
// row of each table, sorted by table and row.
func (r *Result) MemoryFigures() []exposure.MemoryFigure {
	all := append(r.Exposure.Memory(), r.Inhalation.Memory()...)
	for i := range r.Margins {
		all = append(all, r.Margins[i].Memory...)
	}
	add := func(what string, s *formula.Stated) {
		if s.FromMemory() && s.Table != "" {
			all = append(all, exposure.MemoryFigure{What: what, Table: s.Table, Row: s.Row, Seen: s.Seen})
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
	slices.SortStableFunc(all, func(a, b exposure.MemoryFigure) int {
		return cmp.Or(cmp.Compare(a.Table, b.Table), cmp.Compare(a.Row, b.Row))
	})
	return slices.CompactFunc(all, func(a, b exposure.MemoryFigure) bool {
		return a.Table == b.Table &&
			a.Row == b.Row
	})
}
