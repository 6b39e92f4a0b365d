package pack

import (
	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/dossier/document"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/ingredients/exact"
)

// tracePages show each trace that the sheets declare, with its dose and margin.
func tracePages(v *show.View) *document.Table {
	t := &document.Table{ID: "traces", Title: "Impurities and traces that the suppliers declare",
		Empty: "No sheet declares an impurity; what is not declared is unknown, not zero.",
		Columns: []document.Column{{Head: "Trace", Fixed: true, Weight: 1.4}, {Head: "Variant"},
			{Head: "Content", Unit: "mg/kg", Kind: document.KindRange}, {Head: "Published", Unit: "mg/kg",
				Kind: document.KindNumber}, {Head: "Verdict"}, {Head: "SED", Unit: "mg/kg bw/d",
				Kind: document.KindNumber}, {Head: "MoS", Kind: document.KindNumber}, {Head: "Why none", Weight: 1.6}}}
	for _, w := range show.WorstOver(v, func(r *calc.Result) []exposure.Trace { return r.Traces },
		func(x exposure.Trace) string { return x.Name }, func(x exposure.Trace) exact.Num { return x.MgPerKg.Max }) {
		x := w.Value
		published, verdict := document.MissingCell("none in the tables"), document.MissingCell("◊\u00a0assessor")
		if len(x.Checks) > 0 {
			c := x.Checks[0]
			published = stated(c.Figure.Value).MarkedIf(c.Figure.FromMemory(), show.MemoryMark)
			verdict = sections.TraceVerdict(c.Verdict)
		}
		sed, mos, why := document.MissingCell("none"), document.MissingCell("□\u00a0none"), document.BlankCell()
		if x.Margin.SED.Max > 0 {
			sed = figure(x.Margin.SED.Max)
		}
		if x.Margin.None == "" && x.Margin.MoS > 0 {
			mos = figure(x.Margin.MoS)
		} else {
			why = document.TextCell(x.Margin.Reason)
		}
		t.Add(document.TextCell(x.Name), document.TextCell(w.Variant), document.RangeCell(x.MgPerKg),
			published, verdict,
			sed, mos, why)
	}
	return t.Note("Arithmetic and the source of a published figure: spreadsheet, sheet Raw materials.")
}
