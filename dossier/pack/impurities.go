package pack

import (
	"cmp"
	"strings"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// expectedPages show, for each raw material, the impurities to expect in its kind against
// what its documents state.
func expectedPages(v *show.View) *document.Table {
	t := &document.Table{ID: "impurities-expected", Title: "Impurities to expect by kind of raw material",
		Remark: "against what the documents state", Empty: "No raw material is used.",
		Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 2},
			{Head: "Stated", Weight: 1.2}, {Head: "□ Not stated", Kind: document.KindText, Weight: 3}}}
	for _, m := range profile.Materials(v, tox.Builtin()) {
		name := document.TextCell(cmp.Or(m.Sheet.Name, m.Sheet.ID))
		if len(m.Kinds) == 0 {
			t.Add(name, document.MissingCell("unjudged"), document.MissingCell("fits no kind of the table"))
			continue
		}
		var stated, open []string
		for _, x := range m.List {
			switch {
			case x.Stated != nil:
				stated = append(stated, x.Name+" "+x.Stated.Amount.Text)
			case x.Banned:
				open = append(open, x.Name+" *")
			default:
				open = append(open, x.Name)
			}
		}
		t.Add(name, document.TextCell(words.OrWord(strings.Join(stated, "; "), "–")),
			document.TextCell(words.OrWord(strings.Join(open, "; "), "–")))
	}
	t.Note("* prohibited as such: a trace needs the statement that it is technically unavoidable and safe (Article 17). A raw material that fits no kind is unjudged, not clean. Usual limits, with what they are of: spreadsheet, sheet Raw materials.")
	return t
}

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
		t.Add(document.TextCell(x.Name), document.TextCell(w.Variant), document.RangeCell(x.MgPerKg), published, verdict,
			sed, mos, why)
	}
	return t.Note("Arithmetic and the source of a published figure: spreadsheet, sheet Raw materials.")
}

// expectedSection is the same in full, for the workbook.
func expectedSection(v *show.View) *document.Section {
	t := &document.Table{ID: "rest-expected", Title: "Impurities to expect", SheetName: "Purity",
		InWorkbook: true, Columns: []document.Column{{Head: "Raw material", Fixed: true}, {Head: "Kind"},
			{Head: "Impurity"}, {Head: "CAS"}, {Head: "Stated", Kind: document.KindText},
			{Head: "Usual limit", Kind: document.KindText}, {Head: "Limit of"}, {Head: "Basis"}, {Head: "Source",
				Weight: 2}}}
	for _, m := range profile.Materials(v, tox.Builtin()) {
		for _, x := range m.List {
			stated := document.MissingCell("not stated")
			if x.Stated != nil {
				stated = document.TextCell(x.Stated.Amount.Text)
			}
			limit := document.MissingCell("none known")
			switch {
			case x.Absent:
				limit = document.TextCell("absent")
			case x.Usual != nil:
				limit = document.TextCell(x.Usual.Exact() + " " + x.Unit)
			}
			t.Add(document.TextCell(cmp.Or(m.Sheet.Name, m.Sheet.ID)), document.TextCell(x.Kind),
				document.TextCell(x.Name), document.TextCell(strings.Join(x.CAS, "; ")), stated,
				limit.MarkedIf(x.FromMemory(),
					show.MemoryMark), document.TextCell(x.LimitOf), document.TextCell(x.Basis), document.TextCell(x.Source))
		}
	}
	return (&document.Section{}).Add(t)
}
