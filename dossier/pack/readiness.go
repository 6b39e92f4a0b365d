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
				document.TextCell(sections.SentenceCase(foundShort(v, x.Because))), document.TextCell(whomShort(x.From))})
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

// shortFound has the short forms of what is found: the long ones stand in the spreadsheet.
var shortFound = strings.NewReplacer(
	"no specification or certificate of analysis that tells species, part and process", "species, part and process open",
	"no specification, certificate of analysis or purity statement", "no document on purity",
	"no safety data sheet, specification or certificate of analysis", "no data sheet or specification",
	"safety data sheet, specification or certificate of analysis", "data sheet or specification",
	"no supplier's code, conformity certificate and allergen declaration together",
	"code, certificate and declaration not all there",
	"supplier's code, conformity certificate and allergen declaration together",
	"code, certificate and allergen declaration",
	"; no statement of the maker's own, which may be a nil statement", "; none of the maker's own",
	" (Q10 2.0, a rule of thumb)", "", " at room temperature so far", " in real time", " stand for ", " = ",
	"; the challenge test that belongs to it is partly", "; challenge test partly",
	", and no reason covers it", "", ", of which the highest is assessed", "",
	" at all", "", " and report on pack and product together", ", report with the product",
	" and no report on pack and product together", " nor report with the product",
	", with its source beside each figure", "", "none classified by the table of hazard classes", "none in the table",
	"to be judged by the note of the entry", "question", " are not in it: safety data sheets", " not in it",
	"no constituent is marked as nano, and no document on file states particle sizes",
	"none is marked as nano; no document states particle sizes",
	": whether it covers each of them is for a person to check", "; coverage is for a person to check",
	"; 10 years run from the day the last one is placed on the market", "; 10 years from the last one sold",
	"the challenge test of A3c is what has to show it", "the challenge test (A3c) has to show it",
	"it is preserved, with", "preserved with", ": nothing is said about that", "", "to be summed over products", "over all products",
	"every page says that the pack is no safety assessment: Part B is the assessor's alone",
	"the pack is no safety assessment: Part B is the assessor's alone",
	"; a preset frame is checked on the form", "", "; the form says whether they are asked for", "",
	"; that makes no claim lawful", "", "; unverified values are marked", ", unverified ones marked",
	"each value stands with", "each value with", ": contact under the responsible person in workshop.yaml", "")

// foundShort is what was found in one line: a list of raw materials by their number, then
// its first and last clause, then its first words.
func foundShort(v *show.View, because string) string {
	because = keyRE.ReplaceAllString(because, "")
	text := listRE.ReplaceAllStringFunc(shortFound.Replace(because), func(list string) string {
		ids := strings.Split(strings.ReplaceAll(strings.TrimPrefix(list, "for "), " and ", ", "), ", ")
		for _, id := range ids {
			if v.A.Workshop.Sheets[id] == nil {
				return list
			}
		}
		if name := materialName(v, ids[0]); len(ids) == 1 && len(name) < 26 {
			return "for " + name
		}
		return "for " + words.Count(len(ids), "raw material", "raw materials")
	})
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

// whomShort names who has to supply something, without the materials.
func whomShort(from []string) string {
	var who []string
	for _, f := range from {
		name, _, _ := strings.Cut(f, " for ")
		who = words.AddOnce(who, strings.TrimPrefix(strings.TrimSuffix(name, " (invented)"), "the "))
	}
	text := strings.Join(who, ", ")
	if len(who) > 2 || utf8.RuneCountInString(text) > mostWhom {
		return words.Count(len(who), "supplier", "suppliers")
	}
	return text
}
