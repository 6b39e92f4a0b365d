package pack

import (
	"slices"
	"strings"
	"unicode/utf8"

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
		Columns: []document.Column{{Head: "Item"}, {Head: "What"},
			{Head: "State"}, {Head: "Found", Weight: 2}, {Head: "To come from"}}}
	for _, part := range ready.DossierSections {
		var rows [][]document.Cell
		for _, x := range items {
			if x.Section != part.ID || len(strings.TrimLeft(x.ID, "A0123456789")) == 0 &&
				strings.HasPrefix(x.ID, "A") && headline(items, x.ID) {
				continue // a headline over the items below it
			}
			rows = append(rows, []document.Cell{document.TextCell(x.ID).MarkedIf(!x.Seen, show.MemoryMark),
				document.TextCell(shortItem.Replace(x.Title)), sections.StateCell(x.State),
				document.TextCell(sections.SentenceCase(inOneLine(x.Short()))), document.TextCell(whomShort(x.Whom()))})
		}
		if len(rows) == 0 {
			continue
		}
		t.Group(part.ID + " " + part.Title)
		for _, row := range rows {
			t.Add(row...)
		}
	}
	t.Remark = strings.Join(counts, " · ")
	t.Note("Present says that something is there, never that it suffices: that is the assessor's to judge. Each item in full, with its legal basis: spreadsheet, sheet Readiness.")
	return s.Add(t)
}

// headline says whether an item only sums up others.
func headline(items []ready.ReadinessItem, id string) bool {
	return slices.ContainsFunc(items, func(x ready.ReadinessItem) bool {
		return len(x.ID) == len(id)+1 && strings.HasPrefix(x.ID, id) && x.ID[len(id)] >= 'a'
	})
}

// mostFound and mostWhom are how many characters a line of the page has room for.
const mostFound, mostWhom = 72, 15

// shortItem has the short forms of long titles.
var shortItem = strings.NewReplacer("Undesirable effects and serious undesirable effects", "Undesirable effects",
	"Guideline does not replace assessor", "Who concludes",
	"Method of manufacture and GMP statement", "Method of manufacture, GMP",
	"Responsible person and file address", "Responsible person, address",
	"Finished-product microbial limits", "Counts of the product",
	"Labelled warnings and instructions", "Warnings and instructions",
	"Serious undesirable effect report", "Serious effects, report",
	"Impurity and particle-size effects", "Impurities, particle size",
	"Break-up of raw-material mixtures", "Break-up of mixtures")

// inOneLine is what was found as far as a line has room: its first and last clause, then its
// first words.
func inOneLine(text string) string {
	clauses := strings.Split(text, "; ")
	for n := len(clauses); n > 1 && utf8.RuneCountInString(text) > mostFound; n-- {
		i := max(n-2, 1) // the first and the last say most
		clauses = slices.Delete(clauses, i, i+1)
		text = strings.Join(clauses, "; ")
	}
	for utf8.RuneCountInString(text) > mostFound {
		i := strings.LastIndex(strings.TrimSuffix(text, " …"), " ")
		if i <= 0 {
			break
		}
		text = strings.TrimRight(text[:i], ",;:") + " …"
	}
	return text
}

// whomShort names who has to supply something in the room that its column has.
func whomShort(whom []string) string {
	var who []string
	for _, name := range whom {
		who = words.AddOnce(who, strings.TrimPrefix(strings.TrimSuffix(name, " (invented)"), "the "))
	}
	text := strings.Join(who, ", ")
	if len(who) > 2 || utf8.RuneCountInString(text) > mostWhom {
		return words.Count(len(who), "supplier", "suppliers")
	}
	return text
}
