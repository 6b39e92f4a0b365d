package sections

import (
	"slices"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// ReadinessSection shows every item of the dossier contents: whether it is
// there, what was found, and who has to supply it.
func ReadinessSection(v *show.View) *document.Section {
	items := ready.Readiness(v.A)
	s := &document.Section{ID: "readiness", Title: "What the dossier holds and what is missing",
		Intro: "Each item of the product file and of the safety report, with what was found on file for it. A paper counts only when its file is there. Present says that something is there, never that it suffices: that is the assessor's to judge."}
	chart := readinessChart(items, true)
	chart.ID = "chart-readiness-items"
	s.Add(readinessFigures(items), chart)
	for _, part := range ready.DossierSections {
		t := &document.Table{ID: "readiness-table-" + part.ID, SheetName: "Readiness", Title: part.ID + " " +
			part.Title, Columns: []document.Column{
			{Head: "Item", Fixed: true, Weight: 0.5}, {Head: "What", Weight: 1.4}, {Head: "State",
				Weight: 0.9}, {Head: "Found", Weight: 2.2}, {Head: "Where",
				Weight: 1.4}, {Head: "To come from", Weight: 1.7}}}
		for _, x := range items {
			if x.Section == part.ID {
				t.Add(document.TextCell(x.ID).At(readyAnchor(x.ID)).MarkedIf(!x.Seen, show.MemoryMark),
					document.TextCell(x.Title).
						From(x.Source), StateCell(x.State), document.TextCell(SentenceCase(x.Because())),
					placesCell(x.Places), document.TextCell(strings.Join(x.Suppliers(), "\n")))
			}
		}
		s.AddSection("readiness-"+part.ID, part.ID+" "+part.Title).Add(t)
	}
	return s
}

// readyAnchor is where an item stands in the readiness section, for links from
// elsewhere.
func readyAnchor(id string) string { return "ready-" + id }

// StateCell prints a state with its sign.
func StateCell(s evidence.ReadyState) document.Cell {
	switch s {
	case evidence.ReadyNotStated:
		return document.MissingCell("□\u00a0" + string(s))
	case evidence.ReadyAssessor:
		return document.TextCell("◊\u00a0assessor")
	}
	return document.VerdictCell(map[evidence.ReadyState]document.Verdict{evidence.ReadyPresent: document.VerdictMet, evidence.ReadyPartly: document.VerdictOpen, evidence.ReadyMissing: document.VerdictFail}[s], string(s))
}

// placesMost is how many places are printed of one item; the rest is counted.
const placesMost = 3

// SentenceCase begins with a capital, save for pH.
func SentenceCase(s string) string {
	if strings.HasPrefix(s, "pH") {
		return s
	}
	return words.UpperFirst(s)
}

func placesCell(places []string) document.Cell {
	if len(places) == 0 {
		return document.BlankCell()
	}
	shown := places
	if len(places) > placesMost {
		shown = append(slices.Clone(places[:placesMost]), words.Count(len(places)-placesMost, "more place",
			"more places"))
	}
	return document.TextCell(strings.Join(shown, "\n"))
}

// readinessChart counts the items of each part. What is there in part counts as
// missing; what only the assessor can supply is not counted.
func readinessChart(items []ready.ReadinessItem, linked bool) *document.ReadinessBars {
	chart := &document.ReadinessBars{ID: "chart-readiness", Title: "Readiness of the dossier"}
	assessor := 0
	for _, part := range ready.DossierSections {
		row := document.Readiness{Label: part.ID + " " + part.Title}
		if linked {
			row.Link = "readiness-" + part.ID
		}
		for _, x := range items {
			if x.Section != part.ID {
				continue
			}
			switch x.State {
			case evidence.ReadyPresent:
				row.Present++
			case evidence.ReadyPartly, evidence.ReadyMissing, evidence.ReadyNotStated:
				row.Missing++
			case evidence.ReadyNotNeeded:
				row.NotNeeded++
			default:
				assessor++
			}
		}
		if row.Present+row.Missing+row.NotNeeded > 0 {
			chart.Rows = append(chart.Rows, row)
		}
	}
	chart.Caption = "Counted by items of the dossier contents; what is there in part counts as missing."
	if assessor > 0 {
		chart.Caption += " " + words.UpperFirst(words.Count(assessor, "item", "items")) +
			" that only the assessor can supply are not counted."
	}
	return chart
}

// readinessFigures counts the states over all items.
func readinessFigures(items []ready.ReadinessItem) *document.KeyFigures {
	n := map[evidence.ReadyState]int{}
	for _, x := range items {
		n[x.State]++
	}
	figures := &document.KeyFigures{}
	for _, s := range []evidence.ReadyState{evidence.ReadyPresent, evidence.ReadyPartly, evidence.ReadyMissing,
		evidence.ReadyNotStated, evidence.ReadyNotNeeded} {
		figures.Items = append(figures.Items, document.KeyFigure{Label: words.UpperFirst(string(s)),
			Value: document.IntCell(n[s])})
	}
	return figures
}
