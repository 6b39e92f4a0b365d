package dossier

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// ReadyState says how an item of the dossier stands.
type ReadyState string

// The states of an item. Nothing is present because nothing speaks against it:
// present means that something was found, and Because says what.
const (
	ReadyPresent   ReadyState = "present"
	ReadyPartly    ReadyState = "partly"
	ReadyMissing   ReadyState = "missing"
	ReadyNotNeeded ReadyState = "not needed"
	ReadyAssessor  ReadyState = "for the assessor" // nobody else can supply it
)

// ReadinessItem is one row of the dossier contents and how the product stands
// on it.
type ReadinessItem struct {
	ID      string // row of dossier-contents.csv
	Title   string
	Section string // A1 to A10, B, P, G, N or X
	Needs   string // what the item asks for
	State   ReadyState
	Because string   // what was found or not, in words
	Places  []string // where: file:line, or the paper itself
	From    []string // who has to supply what is missing
	Source  string
	Seen    bool // whether the row was read in its source
}

// answer is what a rule has to say on an item.
type answer struct {
	state  ReadyState
	words  string
	places []string
	from   []string
}

func present(format string, args ...any) answer { return saying(ReadyPresent, format, args...) }
func partly(format string, args ...any) answer  { return saying(ReadyPartly, format, args...) }
func lacking(format string, args ...any) answer { return saying(ReadyMissing, format, args...) }
func notNeeded(format string, args ...any) answer {
	return saying(ReadyNotNeeded, format, args...)
}
func forAssessor(format string, args ...any) answer {
	return saying(ReadyAssessor, format, args...).by(assessorWord)
}

func saying(state ReadyState, format string, args ...any) answer {
	return answer{state: state, words: fmt.Sprintf(format, args...)}
}

// at returns the answer with the places it rests on; empty ones are left out.
func (x answer) at(places ...string) answer {
	for _, p := range places {
		if p != "" {
			x.places = addOnce(slices.Clone(x.places), p)
		}
	}
	return x
}

// by returns the answer with those who have to supply what is missing.
func (x answer) by(whom ...string) answer {
	for _, w := range whom {
		x.from = addOnce(slices.Clone(x.from), w)
	}
	return x
}

// open says whether something is still to be supplied.
func (x answer) open() bool { return x.state == ReadyMissing || x.state == ReadyPartly }

// The ones, beside suppliers, who can supply something.
const (
	makerWord      = "the maker"
	assessorWord   = "the assessor"
	laboratoryWord = "a laboratory"
)

// dossierRules holds one rule for each row of dossier-contents.csv, by its id. A
// test fails for a row without one.
func dossierRules() map[string]func(*filing) answer {
	all := map[string]func(*filing) answer{}
	for _, group := range []map[string]func(*filing) answer{
		fileRules, compositionRules, qualityRules, microbeRules, purityRules, exposureRules, partBRules, makingRules, noticeRules, dutyRules,
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

// questioned returns what is on file with a rule for each item of the dossier.
func questioned(a *Assessment) *filing {
	f := newFiling(a)
	f.rules = dossierRules()
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
func (a *Assessment) Readiness() []ReadinessItem {
	f := questioned(a)
	var items []ReadinessItem
	for _, row := range a.Options.Law.Dossier() {
		x := f.answer(row.Key)
		items = append(items, ReadinessItem{
			ID: row.Key, Title: row.Title, Section: dossierSection(row.Key), Needs: row.Needs, State: x.state, Because: x.words, Places: x.places,
			From: mergeFrom(x.from), Source: row.Source, Seen: !row.FromMemory(),
		})
	}
	return items
}

// mostMaterials is how many materials an item names for one supplier; the
// letters name them all.
const mostMaterials = 6

// mergeFrom names each supplier once, with the materials it is about.
func mergeFrom(from []string) []string {
	var who []string
	materials := map[string][]string{}
	for _, f := range from {
		name, material, about := f, "", false
		if cut := strings.LastIndex(f, " for "); cut >= 0 {
			name, material, about = f[:cut], f[cut+len(" for "):], true
		}
		who = addOnce(who, name)
		if about {
			materials[name] = addOnce(materials[name], material)
		}
	}
	for i, name := range who {
		list := materials[name]
		if n := len(list); n > mostMaterials {
			list = append(list[:mostMaterials:mostMaterials], "and "+itoa(n-mostMaterials)+" more")
		}
		if len(list) > 0 {
			who[i] = name + " for " + strings.Join(list, ", ")
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

// dossierSections are the parts in the order of the table, with their names.
var dossierSections = []struct{ ID, Title string }{
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

// filing is a product with all that its items are judged by.
type filing struct {
	a    *Assessment
	p    *Product
	w    *Workshop
	law  *law.Tables
	kind *law.ProductType

	sheets  []*ingredients.Sheet // in use, by id
	traits  map[string]traits    // by sheet id
	absent  map[string]bool      // papers that are named and not there
	counted map[string]bool      // constituents for which microbial counts are asked
	rules   map[string]func(*filing) answer
	answers map[string]answer
	wording []ingredients.Finding // on claims; see [filing.claims]
	read    bool                  // wording is filled in
}

// answer judges one item, once.
func (f *filing) answer(id string) answer {
	if x, known := f.answers[id]; known {
		return x
	}
	rule := f.rules[id]
	if rule == nil {
		panic("no rule for dossier item " + id) // the tests rule this out
	}
	x := rule(f)
	f.answers[id] = x
	return x
}

// together sums up the items below a headline.
func together(ids ...string) func(*filing) answer {
	return func(f *filing) answer {
		count := map[ReadyState]int{}
		var open []string
		var x answer
		for _, id := range ids {
			part := f.answer(id)
			count[part.state]++
			if part.open() {
				open = append(open, id+" "+string(part.state))
				x = x.by(part.from...)
			}
		}
		wanted := len(ids) - count[ReadyNotNeeded] - count[ReadyAssessor]
		switch {
		case wanted == 0 && count[ReadyAssessor] > 0:
			return forAssessor("see %s", strings.Join(ids, ", "))
		case wanted == 0:
			return notNeeded("none of %s is needed", strings.Join(ids, ", "))
		case count[ReadyPresent] == wanted:
			return present("see %s", strings.Join(ids, ", "))
		case count[ReadyMissing] == wanted:
			x.state = ReadyMissing
		default:
			x.state = ReadyPartly
		}
		x.words = joinNames(open)
		return x
	}
}
