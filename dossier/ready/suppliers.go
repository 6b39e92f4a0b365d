package ready

import (
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
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
	type source struct {
		whom  finding.Party
		typed bool
	}
	type need struct {
		of   *assess.PaperGroup
		kind string
		why  string
		row  string
	}
	var order []source
	groups, asked := map[source]*assess.PaperGroup{}, map[need]bool{}
	add := func(s *ingredients.Sheet, from source, missing []evidence.WantedPaper) {
		if len(missing) == 0 {
			return
		}
		g := groups[from]
		if g == nil {
			g = &assess.PaperGroup{First: s, Typed: from.typed}
			groups[from], order = g, append(order, from)
		}
		var names finding.Values
		for _, w := range missing {
			names = names.Name("", workshop.DocumentName(w.Kind))
			there, of := elsewhere(f, s, w.Kind), need{g, w.Kind, w.Why, w.Row}
			if len(there) == 0 && asked[of] {
				continue
			}
			v := workshop.With().Name("document", workshop.DocumentName(w.Kind)).Term("need", w.Why, nil).
				Name("row", w.Row)
			g.Sum = assess.AddTerm(g.Sum, finding.Term{Key: "paper-needed", Values: append(v, there...)})
			asked[of] = asked[of] || len(there) == 0
		}
		g.Items = g.Items.Term("", "papers-of", workshop.With().Is("material", s.Named()).Those("documents", names))
	}
	for _, s := range f.Sheets {
		lacking, typed := MissingPapersOf(f, s)
		add(s, source{whom: paperSource(f, s)}, lacking)
		add(s, source{finding.TheMaker, true}, typed)
	}
	var fs []finding.Finding
	for _, from := range order {
		fs = append(fs, groups[from].Finding(from.whom))
	}
	return fs
}

// paperSource is who has to supply the papers of a material.
func paperSource(f *evidence.Filing, s *ingredients.Sheet) finding.Party {
	switch {
	case f.Traits[s.ID].Own:
		return finding.TheMaker
	case s.Supplier.Name == "" || IsStarterSupplier(s.Supplier.Name):
		return finding.TheSupplier
	}
	return finding.Party{Role: finding.RoleSupplier, Name: s.Supplier.Name}
}

func IsStarterSupplier(name string) bool {
	return ingredients.HasKey(name, starterKey)
}

var starterKey = ingredients.NameKey(starterSupplier)

// elsewhere points to a statement of the same supplier that another sheet names
// already: one letter often covers all its materials.
func elsewhere(f *evidence.Filing, s *ingredients.Sheet, kind string) finding.Values {
	if kind != "animal-testing" || paperSource(f, s).Name != s.Supplier.Name {
		return nil
	}
	for _, other := range f.A.Options.Session.SheetsOf(s.Supplier.Name) {
		if other == s {
			continue
		}
		for _, d := range other.Documents {
			if d.Kind == kind && f.There(d.File) && d.ThereOn(f.A.Options.Date) {
				return workshop.With().Name("file", d.File).Is("other", other.Named())
			}
		}
	}
	return nil
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
	add := func(list []*ingredients.Sheet, sev finding.Severity, form string, v finding.Values) {
		if len(list) == 0 {
			return
		}
		x := finding.NewFinding(sev, "supplier-not-entered", list[0].Supplier.Pos, v).As(form).By(finding.TheMaker).
			At(list[0].Pos.File, "supplier", nil)
		for _, s := range list {
			x.Things = append(x.Things, s.Named())
		}
		fs = append(fs, x.On(assess.ItemSubjects(x.Things)))
	}
	add(starter, finding.Ask, "", workshop.With().Quote("supplier", starterSupplier))
	add(own, finding.Note, "own", nil)
	return fs
}
