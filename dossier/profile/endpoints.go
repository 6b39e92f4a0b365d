package profile

import (
	"fmt"
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// figure prints a dose or a margin to the digits that all of them have.
func figure(f float64) document.Cell { return document.FloatCell(f, digits).InFull() }

// Endpoints show the state of the endpoints of each substance, a line each.
func Endpoints(list []*Profile) *document.Section {
	s := &document.Section{ID: "endpoints", Title: "Endpoints on file"}
	t := &document.Table{ID: "endpoints-table", Title: "Endpoints by substance",
		Remark: "○ a result or figure   ▲ a hazard class alone   ‡ read-across   – not relevant, with the reason   □ not supplied",
		Empty:  "No substance is above the threshold.", Columns: []document.Column{{Head: "Substance", Fixed: true,
			Weight: 1.6}, {Head: "Highest", Unit: "% w/w",
			Kind: document.KindNumber}, {Head: "Hazard statements", Weight: 1.5}}}
	var shown []*tox.Endpoint
	for _, e := range tox.Builtin().Endpoints() {
		if e.Short != "" {
			shown = append(shown, e)
			t.Columns = append(t.Columns, document.Column{Head: e.Short, Align: document.AlignCentre})
		}
	}
	for _, x := range list {
		row := []document.Cell{document.TextCell(x.INCI()), document.PctCell(x.Margin.Content.Max), Statements(x)}
		for _, e := range shown {
			row = append(row, document.TextCell(x.Line(e.Key).State.Symbol()))
		}
		t.Add(row...)
	}
	rules := tox.Builtin()
	t.Note(legend(shown))
	t.Note(fmt.Sprintf("Substances above %s %%, or %s %% for allergens and classified substances that stay on the skin. A class is no result of a test; a missing one is no sign that there is none. Classes not of the EU list are the common ones of suppliers, which differ: †. Statements about people alone. One row a substance with all of it: spreadsheet, sheet Substances.",
		rules.Rule(tox.RuleLine).Exact(), rules.Rule(tox.RuleLineLeaveOn).Exact()))
	s.Add(t)
	if d := dosesAgainst(list); len(d.Rows) > 0 {
		s.Add(d)
	}
	return s
}

// legend says what the short heads stand for.
func legend(shown []*tox.Endpoint) string {
	var list []string
	for _, e := range shown {
		list = append(list, e.Short+" "+strings.ToLower(e.Name[:1])+e.Name[1:])
	}
	return strings.Join(list, " · ") + "."
}

// Statements are the hazard statements on file for a substance.
func Statements(p *Profile) document.Cell {
	l := p.Line(classification)
	switch {
	case l.State == NotSupplied:
		return document.MissingCell("□\u00a0not\u00a0stated")
	case p.Class == nil || !p.FromTable():
		return document.TextCell(l.Text)
	case p.Class.NotClassified:
		return document.TextCell("not classified").MarkedIf(l.Unverified, show.MemoryMark)
	}
	text := words.OrWord(strings.Join(ofPeople(p.Class.HPhrases), ", "), "none about people")
	if p.Class.Question {
		text = "? " + text
	}
	return document.TextCell(text).MarkedIf(l.Unverified, show.MemoryMark)
}

// ofPeople leaves out the statements about physics and the environment: H2 and H4 by the
// numbering of CLP.
func ofPeople(statements []string) (list []string) {
	for _, h := range statements {
		if strings.HasPrefix(h, "H3") {
			list = words.AddOnce(list, h)
		}
	}
	return list
}

// dosesAgainst compares doses per area with published ones without sensitisation.
func dosesAgainst(list []*Profile) *document.Table {
	t := &document.Table{ID: "sensitisation",
		Title:  "Dose per area beside published doses without sensitisation",
		Remark: "µg/cm² a day; before any factor", SheetName: "Exposure",
		Columns: []document.Column{{Head: "Substance", Fixed: true},
			{Head: "Dose here", Kind: document.KindNumber}, {Head: "Published",
				Kind: document.KindNumber}, {Head: "Kind", Weight: 1.6}, {Head: "Ratio", Kind: document.KindNumber}}}
	for _, x := range list {
		d := x.Dose
		if d == nil || d.Here == 0 {
			continue
		}
		kind := "weight of evidence"
		if !d.Published.Weighted {
			kind = "one human study, no weight of evidence"
		}
		if d.Published.PureOnly {
			kind += "; pure substance alone"
		}
		t.Add(document.TextCell(x.INCI()), figure(d.Here),
			sections.StatedCell(&formula.Stated{Value: d.Published.UgCM2.Value,
				Seen: formula.SeenGiven}).InFull().MarkedIf(d.Published.FromMemory(),
				show.MemoryMark), document.TextCell(kind), figure(d.Published.UgCM2.Value/d.Here))
	}
	if len(t.Rows) > 0 {
		t.Note("Whether and how a factor is applied is the assessor's. A ratio does not protect persons who are sensitised already.")
	}
	return t
}
