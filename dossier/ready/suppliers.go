package ready

import (
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// starterSupplier is the name that the sheets of a new workshop have in place of
// a supplier's.
const starterSupplier = "Your supplier"

// missingPapers asks for the papers that raw materials have to have, once for
// each supplier.
//
// Findings: ask "missing-document".
func missingPapers(f *evidence.Filing) []finding.Finding {
	var order []string
	groups := map[string]*assess.PaperGroup{}
	for _, s := range f.Sheets {
		missing := MissingPapersOf(f, s)
		if len(missing) == 0 {
			continue
		}
		whom := paperSource(f, s)
		g := groups[whom]
		if g == nil {
			g = &assess.PaperGroup{First: s}
			groups[whom], order = g, append(order, whom)
		}
		var names []string
		for _, w := range missing {
			names = append(names, workshop.DocumentName(w.Kind))
			g.Because(workshop.DocumentName(w.Kind) + ": " + w.Why + " (dossier-contents.csv, row " + w.Row + ")" + elsewhere(f, s, w.Kind))
		}
		g.Items = append(g.Items, s.ID+": "+strings.Join(names, ", "))
	}
	var fs []finding.Finding
	for _, whom := range order {
		fs = append(fs, groups[whom].Finding(whom))
	}
	return fs
}

// paperSource is who has to supply the papers of a material.
func paperSource(f *evidence.Filing, s *ingredients.Sheet) string {
	switch {
	case f.Traits[s.ID].Own:
		return words.Maker
	case s.Supplier.Name == "" || IsStarterSupplier(s.Supplier.Name):
		return assess.TheSupplier
	}
	return s.Supplier.Name
}

func IsStarterSupplier(name string) bool {
	return ingredients.NameKey(name) == ingredients.NameKey(starterSupplier)
}

// elsewhere points to a statement of the same supplier that another sheet names
// already: one letter often covers all its materials.
func elsewhere(f *evidence.Filing, s *ingredients.Sheet, kind string) string {
	if kind != "animal-testing" || paperSource(f, s) != s.Supplier.Name {
		return ""
	}
	for _, id := range f.W.SheetIDs() {
		other := f.W.Sheets[id]
		if other == s || other.Supplier.Name != s.Supplier.Name {
			continue
		}
		for _, d := range other.Documents {
			if d.Kind == kind && f.There(d.File) && d.ThereOn(f.A.Options.Date) {
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
func suppliersNotEntered(f *evidence.Filing) []finding.Finding {
	var starter, own []*ingredients.Sheet
	for _, s := range f.Sheets {
		switch t := f.Traits[s.ID]; {
		case IsStarterSupplier(s.Supplier.Name):
			starter = append(starter, s)
		case t.Own && !t.Water:
			own = append(own, s)
		}
	}
	var fs []finding.Finding
	add := func(list []*ingredients.Sheet, x finding.Finding) {
		if len(list) == 0 {
			return
		}
		for _, s := range list {
			x.Items = append(x.Items, s.ID)
		}
		x.Pos = list[0].Supplier.Pos
		fs = append(fs, x.On(assess.ItemSubjects(x.Items)).AskOf(words.Maker))
	}
	add(starter, finding.Findingf(finding.Ask, "supplier-not-entered", finding.Pos{}, "the supplier is still called %q", starterSupplier).
		WithWhy("the safety report names the supplier of each material, and no letter can be written to one without a name").
		WithFix("write the supplier's name and the code on the papers in each sheet"))
	add(own, finding.Findingf(finding.Note, "supplier-not-entered", finding.Pos{}, "the supplier is the maker, so that nobody is asked for papers").
		WithFix("if a material is bought, write its supplier's name and code; your own name stands for what you make yourself"))
	return fs
}
