package pack

import (
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// flatSection is one row a substance, to copy from: names, numbers, content, functions,
// limits, margin and the state of each endpoint.
func flatSection(v *show.View) *document.Section {
	t := &document.Table{ID: "flat-substances", Title: "Substances in one table", SheetName: "Substances",
		InWorkbook: true, Columns: []document.Column{
			{Head: "INCI", Fixed: true}, {Head: "CAS"}, {Head: "EC"}, {Head: "Functions",
				Weight: 1.5}, {Head: "Variant with most"},
			{Head: "Lowest", Unit: "% w/w", Kind: document.KindNumber}, {Head: "Typical", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Highest", Unit: "% w/w", Kind: document.KindNumber},
			{Head: "Entries", Weight: 1.5}, {Head: "Limit", Unit: "% w/w",
				Kind: document.KindNumber}, {Head: "Hazard statements", Weight: 1.3},
			{Head: "Absorption", Unit: "%", Kind: document.KindNumber}, {Head: "SED", Unit: "mg/kg bw/d",
				Kind: document.KindNumber}, {Head: "PoD", Unit: "mg/kg bw/d", Kind: document.KindNumber},
			{Head: "Internal PoD", Unit: "mg/kg bw/d", Kind: document.KindNumber}, {Head: "MoS",
				Kind: document.KindNumber}, {Head: "Target", Kind: document.KindNumber}, {Head: "Why no margin", Weight: 1.5}}}
	tables := tox.Builtin()
	var shown []*tox.Endpoint
	for _, e := range tables.Endpoints {
		if e.Short != "" {
			shown = append(shown, e)
			t.Columns = append(t.Columns, document.Column{Head: profile.Brief(e.Name), Align: document.AlignCentre})
		}
	}
	of := map[string]*profile.Profile{}
	for _, p := range profile.All(v, tables) {
		of[ingredients.NameKey(p.INCI())] = p
	}
	limit := lowestLimits(v)
	ec, functions := map[string]string{}, map[string]string{}
	for _, s := range v.Substances() {
		ec[s.INCI], functions[s.INCI] = s.EC, strings.Join(s.Functions, ", ")
	}
	for _, m := range sections.WorstMargins(v) {
		t.Add(flatRow(&m, of[ingredients.NameKey(m.INCI)], shown, limit[m.INCI], ec[m.INCI], functions[m.INCI])...)
	}
	t.Note("Endpoints: ○ a result or figure, ▲ a hazard class alone, ‡ read-across, – not relevant, □ not supplied; blank: below the threshold of a line.")
	return (&document.Section{}).Add(t)
}

// limitOf is what the annexes say of a substance: the entries, and the lowest figure.
type limitOf struct {
	entries []string
	lowest  document.Cell
	has     bool
	figure  float64
}

func lowestLimits(v *show.View) map[string]*limitOf {
	out := map[string]*limitOf{}
	for _, row := range sections.LimitRows(v) {
		for _, name := range row.Check.Substances {
			x := out[name]
			if x == nil {
				x = &limitOf{}
				out[name] = x
			}
			x.entries = words.AddOnce(x.entries, row.Check.Row.Annex+"/"+row.Check.Row.Entry)
			if n := row.Check.LimitPct; n != nil && (!x.has || n.Float() < x.figure) {
				x.has, x.figure, x.lowest = true, n.Float(), document.PctCell(*n)
			}
		}
	}
	return out
}

func flatRow(m *sections.WorstMargin, p *profile.Profile, shown []*tox.Endpoint, limit *limitOf, ec,
	functions string) []document.Cell {
	entries, lowest := document.MissingCell("none that applies"), document.BlankCell()
	if limit != nil {
		entries = document.TextCell(strings.Join(limit.entries, ", "))
		if limit.has {
			lowest = limit.lowest
		}
	}
	hazard := document.BlankCell()
	if p != nil {
		hazard = profile.Statements(p)
	}
	pod, internal, mos, target, why := document.BlankCell(), document.BlankCell(), document.BlankCell(), document.BlankCell(), document.TextCell(m.Reason)
	if m.None == "" {
		pod, internal = stated(m.PoD.Value), figure(m.PoDSys)
		mos = figure(m.MoS).MarkedIf(len(m.Memory) > 0, show.MemoryMark).
			MarkedIf(m.Judged != nil, show.AssessorMark)
		target, why = sections.StatedCell(&m.Target), document.BlankCell()
	}
	row := []document.Cell{document.TextCell(m.INCI), dashOr(m.CAS), dashOr(ec), show.TextOr(functions),
		document.TextCell(m.Where()),
		document.PctCell(m.Content.Min), document.PctCell(m.Content.Typ), document.PctCell(m.Content.Max), entries, lowest, hazard,
		sections.AbsorbedCell(m.Margin), figure(m.SED.Max), pod, internal, mos, target, why}
	for _, e := range shown {
		cell := document.BlankCell()
		if p != nil {
			cell = document.TextCell(p.Line(e.Key).State.Symbol())
		}
		row = append(row, cell)
	}
	return row
}
