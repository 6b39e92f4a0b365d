package ready

import (
	"slices"
	"strings"
	"sync"

	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// ReadinessItem is one row of the dossier contents and how the product stands
// on it.
type ReadinessItem struct {
	ID      string // row of dossier-contents.csv
	Title   string
	Section string // A1 to A10, B, P, G, N or X
	Needs   string // what the item asks for
	State   evidence.ReadyState
	Says    []words.Remark   // what was found or not
	Places  []string         // where: file:line, or the paper itself
	From    []evidence.Asked // who has to supply what is missing
	Source  string
	Seen    bool // whether the row was read in its source
}

// Because is what was found or not, in words.
func (x *ReadinessItem) Because() string { return words.InFull(x.Says) }

// Short is Because for one line of a page.
func (x *ReadinessItem) Short() string { return words.InLine(x.Says) }

// Whom names each who has to supply something once.
func (x *ReadinessItem) Whom() (who []string) {
	for _, f := range x.From {
		who = words.AddOnce(who, f.Who)
	}
	return who
}

// Suppliers names each who has to supply something once, with the materials it is about.
func (x *ReadinessItem) Suppliers() (who []string) {
	for _, v := range suppliers(x.From) {
		who = append(who, words.InFull([]words.Remark{{Code: v.Text, Values: v.List}}))
	}
	return who
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
			Says: x.Says, Places: x.Places, From: x.From, Source: row.Source, Seen: !row.FromMemory(),
		})
	}
	return items
}

// suppliers are those who are asked, each once with the materials it is about, as terms.
func suppliers(from []evidence.Asked) (list finding.Values) {
	var who []string
	materials := map[string]finding.Values{}
	for _, f := range from {
		who = words.AddOnce(who, f.Who)
		if f.Material != "" {
			materials[f.Who] = materials[f.Who].Name("", f.Material)
		}
	}
	for _, name := range who {
		of := words.UniqueValues(materials[name])
		if n := len(of); n > assess.MostMaterials {
			of = of[:assess.MostMaterials].Term("", "and-more",
				finding.With().Count("more", n-assess.MostMaterials))
		}
		list = list.Term("", "asked-for", finding.With().Name("who", name).Those("materials", of))
	}
	return list
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
		var open finding.Values
		var x evidence.Answer
		for _, id := range ids {
			part := f.Answer(id)
			count[part.State]++
			if part.Open() || part.State == evidence.ReadyNotStated {
				open = open.Term("", "item-state", finding.With().Name("item", id).Name("state", string(part.State)))
				x = x.Asking(part.From...)
			}
		}
		items := finding.With().Names("items", ids)
		wanted := len(ids) - count[evidence.ReadyNotNeeded] - count[evidence.ReadyAssessor]
		switch {
		case wanted == 0 && count[evidence.ReadyAssessor] > 0:
			return evidence.ForAssessor("see-items", items)
		case wanted == 0:
			return evidence.NotNeeded("no-item-needed", items)
		case count[evidence.ReadyPresent] == wanted:
			return evidence.Present("see-items", items)
		case count[evidence.ReadyMissing] == wanted:
			x.State = evidence.ReadyMissing
		case count[evidence.ReadyPresent]+count[evidence.ReadyNotStated] == wanted:
			x.State = evidence.ReadyNotStated // all else is there, and of this nobody has spoken
		default:
			x.State = evidence.ReadyPartly
		}
		return x.Also("open-items", finding.With().Those("open", open))
	}
}

// AsksFor says whether somebody is among those who are asked.
func AsksFor(from []evidence.Asked, who string) bool {
	return slices.ContainsFunc(from, func(x evidence.Asked) bool { return x.Who == who })
}
