package profile

import (
	"cmp"
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// ExpectedTable show, for each raw material, the impurities to expect in its kind against
// what its documents state.
func ExpectedTable(v *show.View) *document.Table {
	t := &document.Table{ID: "impurities-expected", Title: "Impurities to expect by kind of raw material",
		Remark: "against what the documents state", Empty: "No raw material is used.",
		Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 2},
			{Head: "Stated", Weight: 1.2}, {Head: "□ Not stated", Kind: document.KindText, Weight: 3}}}
	for _, m := range materials(v, tox.Builtin()) {
		name := document.TextCell(cmp.Or(m.Sheet.Name, m.Sheet.ID))
		if len(m.Kinds) == 0 {
			t.Add(name, document.MissingCell("unjudged"), document.MissingCell("fits no kind of the table"))
			continue
		}
		var stated, open []string
		for _, x := range m.List {
			switch said := x.said(); {
			case said != "":
				stated = append(stated, x.Name+" "+said)
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

// ExpectedInFull is the same in full, for the workbook.
func ExpectedInFull(v *show.View) *document.Section {
	t := &document.Table{ID: "rest-expected", Title: "Impurities to expect", SheetName: "Purity",
		InWorkbook: true, Columns: []document.Column{{Head: "Raw material", Fixed: true}, {Head: "Kind"},
			{Head: "Impurity"}, {Head: "CAS"}, {Head: "Stated", Kind: document.KindText},
			{Head: "Usual limit", Kind: document.KindText}, {Head: "Limit of"}, {Head: "Basis"}, {Head: "Source",
				Weight: 2}}}
	for _, m := range materials(v, tox.Builtin()) {
		for _, x := range m.List {
			stated := document.MissingCell("not stated")
			if said := x.said(); said != "" {
				stated = document.TextCell(said)
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
