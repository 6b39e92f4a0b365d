package pack

import (
	"slices"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/evidence"
	"gallipot/dossier/ready"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// readinessPages show every item in one line: what was found and who has to supply
// what is missing. The spreadsheet has each with its legal basis and place.
func readinessPages(v *show.View) *document.Section {
	s := &document.Section{ID: "readiness", Title: "Readiness of the file"}
	items := ready.Readiness(v.A)
	n := map[evidence.ReadyState]int{}
	for _, x := range items {
		n[x.State]++
	}
	var counts []string
	for _, state := range []evidence.ReadyState{evidence.ReadyPresent, evidence.ReadyPartly,
		evidence.ReadyMissing, evidence.ReadyNotStated, evidence.ReadyAssessor, evidence.ReadyNotNeeded} {
		counts = append(counts, words.Itoa(n[state])+" "+string(state))
	}
	t := &document.Table{ID: "readiness-items", Title: "Items of the product file and the safety report",
		Remark: strings.Join(counts, " · "), Columns: []document.Column{{Head: "Item"}, {Head: "What"},
			{Head: "State"}, {Head: "Found", Weight: 2}, {Head: "To come from"}}}
	for _, part := range ready.DossierSections {
		var rows [][]document.Cell
		for _, x := range items {
			if x.Section != part.ID || len(strings.TrimLeft(x.ID, "A0123456789")) == 0 &&
				strings.HasPrefix(x.ID, "A") && headline(items, x.ID) {
				continue // a headline over the items below it
			}
			rows = append(rows, []document.Cell{document.TextCell(x.ID).MarkedIf(!x.Seen, show.MemoryMark),
				document.TextCell(x.Title), sections.StateCell(x.State), document.TextCell(sections.SentenceCase(x.Because)), document.TextCell(whomShort(x.From))})
		}
		if len(rows) == 0 {
			continue
		}
		t.Group(part.ID + " " + part.Title)
		for _, row := range rows {
			t.Add(row...)
		}
	}
	t.Note("Present says that something is there, never that it suffices: that is the assessor's to judge. Each item with its legal basis: spreadsheet, sheet Readiness.")
	return s.Add(t)
}

// headline says whether an item only sums up others.
func headline(items []ready.ReadinessItem, id string) bool {
	return slices.ContainsFunc(items, func(x ready.ReadinessItem) bool {
		return len(x.ID) == len(id)+1 && strings.HasPrefix(x.ID, id) && x.ID[len(id)] >= 'a'
	})
}

// whomShort names who has to supply something, without the materials.
func whomShort(from []string) string {
	var who []string
	for _, f := range from {
		name, _, _ := strings.Cut(f, " for ")
		who = words.AddOnce(who, strings.TrimPrefix(strings.TrimSuffix(name, " (invented)"), "the "))
	}
	if len(who) > 2 {
		return words.Count(len(who), "supplier", "suppliers")
	}
	return strings.Join(who, ", ")
}
