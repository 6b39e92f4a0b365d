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
	items ingredients.Values // a material with its papers each
	sum   []ingredients.Term
}

// missingPapers asks for the papers that raw materials have to have, once for
// each supplier.
//
// Findings: ask "missing-document".
func (f *filing) missingPapers() []ingredients.Finding {
	var order []ingredients.Party
	groups := map[ingredients.Party]*paperGroup{}
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
		var names ingredients.Values
		for _, w := range missing {
			names = names.Name("", documentName(w.kind))
			v := with().Name("document", documentName(w.kind)).Term("need", w.why, nil).Name("row", w.row)
			g.sum = addTerm(g.sum, ingredients.Term{Key: "paper-needed", Values: append(v, f.elsewhere(s, w.kind)...)})
		}
		g.items = g.items.Term("", "papers-of", with().Is("material", s.Named()).Those("documents", names))
	}
	var fs []ingredients.Finding
	for _, whom := range order {
		fs = append(fs, groups[whom].finding(whom))
	}
	return fs
}

// paperSource is who has to supply the papers of a material.
func (f *filing) paperSource(s *ingredients.Sheet) ingredients.Party {
	switch {
	case f.traits[s.ID].own:
		return ingredients.TheMaker
	case s.Supplier.Name == "" || isStarterSupplier(s.Supplier.Name):
		return ingredients.TheSupplier
	}
	return ingredients.Party{Role: ingredients.RoleSupplier, Name: s.Supplier.Name}
}

func isStarterSupplier(name string) bool {
	return ingredients.NameKey(name) == ingredients.NameKey(starterSupplier)
}

func (g *paperGroup) finding(whom ingredients.Party) ingredients.Finding {
	form := ""
	switch whom {
	case ingredients.TheMaker:
		form = "own"
	case ingredients.TheSupplier:
		form = "no-supplier"
	}
	x := ingredients.NewFinding(ingredients.Ask, "missing-document", g.first.Pos, nil).As(form).On(itemSubjects(g.items)).By(whom).
		At(g.first.Pos.File, "documents", nil).With(ingredients.Action{Kind: ingredients.ActionLetters})
	x.Things, x.Sum = g.items, g.sum
	return x
}

// itemSubjects are the materials that items are about, the first few by name.
func itemSubjects(items ingredients.Values) string {
	names := materialsOf(items)
	if n := len(names); n > mostMaterials {
		names = append(names[:mostMaterials:mostMaterials], "and "+itoa(n-mostMaterials)+" more")
	}
	return strings.Join(names, ", ")
}

// elsewhere points to a statement of the same supplier that another sheet names
// already: one letter often covers all its materials.
func (f *filing) elsewhere(s *ingredients.Sheet, kind string) ingredients.Values {
	if kind != "animal-testing" || f.paperSource(s).Name != s.Supplier.Name {
		return nil
	}
	for _, id := range f.w.SheetIDs() {
		other := f.w.Sheets[id]
		if other == s || other.Supplier.Name != s.Supplier.Name {
			continue
		}
		for _, d := range other.Documents {
			if d.Kind == kind && f.there(d.File) && d.ThereOn(f.a.Options.Date) {
				return with().Name("file", d.File).Is("other", other.Named())
			}
		}
	}
	return nil
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
	add := func(list []*ingredients.Sheet, sev ingredients.Severity, form string, v ingredients.Values) {
		if len(list) == 0 {
			return
		}
		x := ingredients.NewFinding(sev, "supplier-not-entered", list[0].Supplier.Pos, v).As(form).By(ingredients.TheMaker).At(list[0].Pos.File, "supplier", nil)
		for _, s := range list {
			x.Things = append(x.Things, s.Named())
		}
		fs = append(fs, x.On(itemSubjects(x.Things)))
	}
	add(starter, ingredients.Ask, "", with().Quote("supplier", starterSupplier))
	add(own, ingredients.Note, "own", nil)
	return fs
}

// bySupplier are the findings that stand for all materials of a supplier: those
// of several products become one.
var bySupplier = []string{"missing-document", "supplier-not-entered"}

// joinMaterials joins what two products say about the materials of a supplier.
func joinMaterials(x, y ingredients.Finding) ingredients.Finding {
	documents := map[string]ingredients.Values{}
	var materials ingredients.Values
	for _, item := range slices.Concat(x.Things, y.Things) {
		m := item
		if material, ok := item.List.Get("material"); ok {
			m = material
		}
		if _, known := documents[m.ID]; !known {
			materials = append(materials, m)
			documents[m.ID] = nil
		}
		if list, ok := item.List.Get("documents"); ok {
			documents[m.ID] = uniqueValues(append(documents[m.ID], list.List...))
		}
	}
	slices.SortFunc(materials, func(a, b ingredients.Value) int { return strings.Compare(a.Text, b.Text) })
	x.Things = nil
	for _, m := range materials {
		if len(documents[m.ID]) == 0 {
			x.Things = x.Things.Is("", m)
			continue
		}
		x.Things = x.Things.Term("", "papers-of", with().Is("material", m).Those("documents", documents[m.ID]))
	}
	x.Sum = slices.Clone(x.Sum)
	for _, t := range y.Sum {
		x.Sum = addTerm(x.Sum, t)
	}
	if y.Pos.Before(x.Pos) {
		x.Pos = y.Pos
	}
	return x.On(itemSubjects(x.Things))
}

// addTerm adds a summand once.
func addTerm(list []ingredients.Term, t ingredients.Term) []ingredients.Term {
	key := t.Key + t.Values.Key()
	if slices.ContainsFunc(list, func(x ingredients.Term) bool { return x.Key+x.Values.Key() == key }) {
		return list
	}
	return append(list, t)
}
