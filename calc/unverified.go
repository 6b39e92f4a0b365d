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
func (r *Result) MemoryFigures() []exposure.MemoryFigure { return r.memoryFigures(nil) }

// memoryFigures are MemoryFigures in a room that the caller has for them.
func (r *Result) memoryFigures(all []exposure.MemoryFigure) []exposure.MemoryFigure {
	take := func(more []exposure.MemoryFigure) { // what is met first stays
		for _, f := range more {
			if !slices.ContainsFunc(all,
				func(x exposure.MemoryFigure) bool { return x.Row == f.Row && x.Table == f.Table }) {
				all = append(all, f)
			}
		}
	}
	take(r.Exposure.Memory())
	take(r.Inhalation.Memory())
	for i := range r.Margins {
		take(r.Margins[i].Memory)
	}
	add := func(what string, s *formula.Stated) {
		if s.FromMemory() && s.Table != "" {
			take([]exposure.MemoryFigure{{What: what, Table: s.Table, Row: s.Row, Seen: s.Seen}})
		}
	}
	for i := range r.Aggregates {
		add("exposure to all cosmetics", &r.Aggregates[i].All)
	}
	for i := range r.LocalDoses {
		add("skin area", r.LocalDoses[i].ProductMgCm2)
	}
	for i := range r.Traces {
		take(r.Traces[i].Margin.Memory)
		for j := range r.Traces[i].Checks {
			add("published figure for a trace", &r.Traces[i].Checks[j].Figure)
		}
	}
	slices.SortFunc(all, func(a, b exposure.MemoryFigure) int {
		return cmp.Or(cmp.Compare(a.Table, b.Table), cmp.Compare(a.Row, b.Row))
	})
	return all
}
