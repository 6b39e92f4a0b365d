package ready

import (
	"slices"
	"strings"
	"sync"

	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
)

// ReadinessItem is one row of the dossier contents and how the product stands
// on it.
type ReadinessItem struct {
	ID      string // row of dossier-contents.csv
	Title   string
	Section string // A1 to A10, B, P, G, N or X
	Needs   string // what the item asks for
	State   evidence.ReadyState
	Because string   // what was found or not, in words
	Short   string   // the same for one line of a page
	Whom    []string // who has to supply what is missing, without the materials
	Places  []string // where: file:line, or the paper itself
	From    []string // who has to supply what is missing
	Source  string
	Seen    bool // whether the row was read in its source
}

// rulesOfDossier are the rules by the id of their row.
var rulesOfDossier = sync.OnceValue(dossierRules)

// dossierRules holds one rule for each row of dossier-contents.csv, by its id. A
// test fails for a row without one.
func dossierRules() map[string]func(*evidence.Filing) evidence.Answer {
	all := map[string]func(*evidence.Filing) evidence.Answer{}
	for _, group := range []map[string]func(*evidence.Filing) evidence.Answer{
		fileRules, compositionRules, qualityRules, microbeRules, purityRules, exposureRules, partBRules,
		makingRules, noticeRules, dutyRules,
	} {
		for id, rule := range group {
			if all[id] != nil {
				panic("two rules for dossier item " + id)
			}
			all[id] = rule
		}
	}
	return all
}

// Questioned returns what is on file with a rule for each item of the dossier.
func Questioned(a *assess.Assessment) *evidence.Filing {
	f := assess.Once(a, evidence.New)
	f.Rules = rulesOfDossier()
	return f
}

// Readiness judges every item of the dossier contents, in the order of the
// table.
//
// Whether an item is required follows from the product (water, nano, colours,
// scents, claims, markets), never from what the maker has entered for it. A
// paper counts only when its file is in the workshop. Nothing here says that a
// product is safe.
//
// Source: dossier-contents.csv, row by row.
func Readiness(a *assess.Assessment) []ReadinessItem {
	f := Questioned(a)
	var items []ReadinessItem
	for _, row := range law.Dossier(a.Options.Law) {
		x := f.Answer(row.Key)
		items = append(items, ReadinessItem{
			ID: row.Key, Title: row.Title, Section: dossierSection(row.Key), Needs: row.Needs, State: x.State,
			Because: x.Words, Short: x.InLine(), Whom: whom(x.From), Places: x.Places,
			From: mergeFrom(x.From), Source: row.Source, Seen: !row.FromMemory(),
		})
	}
	return items
}

// whom names each who has to supply something once.
func whom(from []evidence.Asked) (who []string) {
	for _, f := range from {
		who = words.AddOnce(who, f.Who)
	}
	return who
}

// mergeFrom names each supplier once, with the materials it is about.
func mergeFrom(from []evidence.Asked) []string {
	var who []string
	materials := map[string][]string{}
	for _, f := range from {
		who = words.AddOnce(who, f.Who)
		if f.Material != "" {
			materials[f.Who] = words.AddOnce(materials[f.Who], f.Material)
		}
	}
	for i, name := range who {
		list := materials[name]
		if n := len(list); n > assess.MostMaterials {
			list = append(list[:assess.MostMaterials:assess.MostMaterials],
				"and "+words.Itoa(n-assess.MostMaterials)+" more")
		}
		if len(list) > 0 {
			who[i] = name + " for " + words.JoinNames(list)
		}
	}
	return who
}

// dossierSection is the part of the dossier that an item belongs to: A1 to A10,
// or its letter.
func dossierSection(id string) string {
	if id[0] != 'A' {
		return id[:1]
	}
	return "A" + id[1:1+len(id[1:])-len(strings.TrimLeft(id[1:], "0123456789"))]
}

// DossierSections are the parts in the order of the table, with their names.
var DossierSections = []struct{ ID, Title string }{
	{"P", "Product file"},
	{"A1", "Composition"},
	{"A2", "Characteristics and stability"},
	{"A3", "Microbiological quality"},
	{"A4", "Impurities, traces, packaging"},
	{"A5", "Use"},
	{"A6", "Exposure to the product"},
	{"A7", "Exposure to substances"},
	{"A8", "Toxicological profile"},
	{"A9", "Undesirable effects"},
	{"A10", "Other information"},
	{"B", "Assessor's conclusion"},
	{"G", "Making"},
	{"N", "Notification"},
	{"X", "Further duties"},
}

// together sums up the items below a headline.
func together(ids ...string) func(*evidence.Filing) evidence.Answer {
	return func(f *evidence.Filing) evidence.Answer {
		count := map[evidence.ReadyState]int{}
		var open []string
		var x evidence.Answer
		for _, id := range ids {
			part := f.Answer(id)
			count[part.State]++
			if part.Open() || part.State == evidence.ReadyNotStated {
				open = append(open, id+" "+string(part.State))
				x = x.Asking(part.From...)
			}
		}
		wanted := len(ids) - count[evidence.ReadyNotNeeded] - count[evidence.ReadyAssessor]
		switch {
		case wanted == 0 && count[evidence.ReadyAssessor] > 0:
			return evidence.ForAssessor("see %s", strings.Join(ids, ", "))
		case wanted == 0:
			return evidence.NotNeeded("none of %s is needed", strings.Join(ids, ", "))
		case count[evidence.ReadyPresent] == wanted:
			return evidence.Present("see %s", strings.Join(ids, ", "))
		case count[evidence.ReadyMissing] == wanted:
			x.State = evidence.ReadyMissing
		case count[evidence.ReadyPresent]+count[evidence.ReadyNotStated] == wanted:
			x.State = evidence.ReadyNotStated // all else is there, and of this nobody has spoken
		default:
			x.State = evidence.ReadyPartly
		}
		x.Words = words.JoinNames(open)
		return x
	}
}

// AsksFor says whether somebody is among those who are asked.
func AsksFor(from []evidence.Asked, who string) bool {
	return slices.ContainsFunc(from, func(x evidence.Asked) bool { return x.Who == who })
}
