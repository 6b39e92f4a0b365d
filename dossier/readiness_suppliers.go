package dossier

import (
	"slices"
	"strings"

	"gallipot/ingredients"
)

// starterSupplier is the name that the sheets of a new workshop have in place of
// a supplier's.
const starterSupplier = "Your supplier"

// paperGroup are the materials that one supplier has to send papers for.
type paperGroup struct {
	first *ingredients.Sheet
	items []string // material: its papers
	sum   []ingredients.Term
}

// missingPapers asks for the papers that raw materials have to have, once for
// each supplier.
//
// Findings: ask "missing-document".
func (f *filing) missingPapers() []ingredients.Finding {
	var order []string
	groups := map[string]*paperGroup{}
	for _, s := range f.sheets {
		missing := f.missingPapersOf(s)
		if len(missing) == 0 {
			continue
		}
		whom := f.paperSource(s)
		g := groups[whom]
		if g == nil {
			g = &paperGroup{first: s}
			groups[whom], order = g, append(order, whom)
		}
		var names []string
		for _, w := range missing {
			names = append(names, documentName(w.kind))
			g.because(documentName(w.kind) + ": " + w.why + " (dossier-contents.csv, row " + w.row + ")" + f.elsewhere(s, w.kind))
		}
		g.items = append(g.items, s.ID+": "+strings.Join(names, ", "))
	}
	var fs []ingredients.Finding
	for _, whom := range order {
		fs = append(fs, groups[whom].finding(whom))
	}
	return fs
}

// theSupplier stands for one whose name is in no sheet.
const theSupplier = "the supplier"

// paperSource is who has to supply the papers of a material.
func (f *filing) paperSource(s *ingredients.Sheet) string {
	switch {
	case f.traits[s.ID].own:
		return makerWord
	case s.Supplier.Name == "" || isStarterSupplier(s.Supplier.Name):
		return theSupplier
	}
	return s.Supplier.Name
}

func isStarterSupplier(name string) bool {
	return ingredients.NameKey(name) == ingredients.NameKey(starterSupplier)
}

// because adds a reason once.
func (g *paperGroup) because(text string) {
	if !slices.ContainsFunc(g.sum, func(t ingredients.Term) bool { return t.Text == text }) {
		g.sum = append(g.sum, ingredients.Term{Text: text})
	}
}

func (g *paperGroup) finding(whom string) ingredients.Finding {
	of, fix := whom, "ask "+whom+" for them (gallipot letters writes it down), put the files into evidence/ and enter them under documents"
	switch whom {
	case makerWord:
		of, fix = "your own materials", "write them, put the files into evidence/ and enter them under documents"
	case theSupplier:
		of, fix = "materials without a supplier's name", "enter the supplier in each sheet, ask for them, put the files into evidence/ and enter them under documents"
	}
	x := ingredients.Findingf(ingredients.Ask, "missing-document", g.first.Pos, "papers of %s are not in the workshop", of).
		On(itemSubjects(g.items)).AskOf(whom).WithFix("%s", fix)
	x.Items, x.Sum = g.items, g.sum
	return x
}

// itemSubjects are the materials that items are about, the first few by name.
func itemSubjects(items []string) string {
	var ids []string
	for _, item := range items {
		id, _, _ := strings.Cut(item, ": ")
		ids = append(ids, id)
	}
	if n := len(ids); n > mostMaterials {
		ids = append(ids[:mostMaterials:mostMaterials], "and "+itoa(n-mostMaterials)+" more")
	}
	return strings.Join(ids, ", ")
}

// elsewhere points to a statement of the same supplier that another sheet names
// already: one letter often covers all its materials.
func (f *filing) elsewhere(s *ingredients.Sheet, kind string) string {
	if kind != "animal-testing" || f.paperSource(s) != s.Supplier.Name {
		return ""
	}
	for _, id := range f.w.SheetIDs() {
		other := f.w.Sheets[id]
		if other == s || other.Supplier.Name != s.Supplier.Name {
			continue
		}
		for _, d := range other.Documents {
			if d.Kind == kind && f.there(d.File) && d.ThereOn(f.a.Options.Date) {
				return "; if " + d.File + ", which " + id + " names, covers the others too, name it there as well"
			}
		}
	}
	return ""
}

// suppliersNotEntered asks for the supplier where a sheet still has the starter
// file's words, and points out materials that bear the maker's own name.
//
// Findings: ask, note "supplier-not-entered".
func (f *filing) suppliersNotEntered() []ingredients.Finding {
	var starter, own []*ingredients.Sheet
	for _, s := range f.sheets {
		switch t := f.traits[s.ID]; {
		case isStarterSupplier(s.Supplier.Name):
			starter = append(starter, s)
		case t.own && !t.water:
			own = append(own, s)
		}
	}
	var fs []ingredients.Finding
	add := func(list []*ingredients.Sheet, x ingredients.Finding) {
		if len(list) == 0 {
			return
		}
		for _, s := range list {
			x.Items = append(x.Items, s.ID)
		}
		x.Pos = list[0].Supplier.Pos
		fs = append(fs, x.On(itemSubjects(x.Items)).AskOf(makerWord))
	}
	add(starter, ingredients.Findingf(ingredients.Ask, "supplier-not-entered", ingredients.Pos{}, "the supplier is still called %q", starterSupplier).
		WithWhy("the safety report names the supplier of each material, and no letter can be written to one without a name").
		WithFix("write the supplier's name and the code on the papers in each sheet"))
	add(own, ingredients.Findingf(ingredients.Note, "supplier-not-entered", ingredients.Pos{}, "the supplier is the maker, so that nobody is asked for papers").
		WithFix("if a material is bought, write its supplier's name and code; your own name stands for what you make yourself"))
	return fs
}

// bySupplier are the findings that stand for all materials of a supplier: those
// of several products become one.
var bySupplier = []string{"missing-document", "supplier-not-entered"}

// joinMaterials joins what two products say about the materials of a supplier.
func joinMaterials(x, y ingredients.Finding) ingredients.Finding {
	papers := map[string][]string{}
	for _, item := range slices.Concat(x.Items, y.Items) {
		id, names, _ := strings.Cut(item, ": ")
		papers[id] = append(papers[id], "")
		for name := range strings.SplitSeq(names, ", ") {
			papers[id] = addOnce(papers[id], name)
		}
	}
	x.Items = nil
	for id, names := range papers {
		names = slices.DeleteFunc(names, func(n string) bool { return n == "" })
		x.Items = append(x.Items, joined(": ", id, strings.Join(names, ", ")))
	}
	slices.Sort(x.Items)
	g := paperGroup{sum: slices.Clone(x.Sum)}
	for _, t := range y.Sum {
		g.because(t.Text)
	}
	if y.Pos.Before(x.Pos) {
		x.Pos = y.Pos
	}
	x.Sum = g.sum
	return x.On(itemSubjects(x.Items))
}
