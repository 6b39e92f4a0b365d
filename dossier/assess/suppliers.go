package assess

import (
	"slices"
	"strings"

	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// PaperGroup are the materials that one supplier has to send papers for.
type PaperGroup struct {
	First *ingredients.Sheet
	Items finding.Values // a material with its papers each
	Sum   []finding.Term
	Typed bool // their dated figures are typed in: the maker had them
}

func (g *PaperGroup) Finding(whom finding.Party) finding.Finding {
	form := ""
	switch {
	case g.Typed:
		form = "typed"
	case whom == finding.TheMaker:
		form = "own"
	case whom == finding.TheSupplier:
		form = "no-supplier"
	}
	x := finding.NewFinding(finding.Ask, "missing-document", g.First.Pos, nil).As(form).
		On(ItemSubjects(g.Items)).By(whom).
		At(g.First.Pos.File, "documents", nil).With(finding.Action{Kind: finding.ActionLetters})
	x.Things, x.Sum = g.Items, g.Sum
	return x
}

// ItemSubjects are the materials that items are about, the first few by name.
func ItemSubjects(items finding.Values) string {
	names := materialsOf(items)
	if n := len(names); n > MostMaterials {
		names = append(names[:MostMaterials:MostMaterials], "and "+words.Itoa(n-MostMaterials)+" more")
	}
	return words.JoinNames(names)
}

// bySupplier are the findings that stand for all materials of a supplier: those
// of several products become one.
var bySupplier = []string{"missing-document", "supplier-not-entered"}

// joinMaterials joins what two products say about the materials of a supplier.
func joinMaterials(x, y finding.Finding) finding.Finding {
	documents := map[string]finding.Values{}
	var materials finding.Values
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
			documents[m.ID] = words.UniqueValues(append(documents[m.ID], list.List...))
		}
	}
	slices.SortFunc(materials, func(a, b finding.Value) int { return strings.Compare(a.Text, b.Text) })
	x.Things = nil
	for _, m := range materials {
		if len(documents[m.ID]) == 0 {
			x.Things = x.Things.Is("", m)
			continue
		}
		x.Things = x.Things.Term("", "papers-of", workshop.With().Is("material", m).
			Those("documents", documents[m.ID]))
	}
	x.Sum = slices.Clone(x.Sum)
	for _, t := range y.Sum {
		x.Sum = AddTerm(x.Sum, t)
	}
	if y.Pos.Before(x.Pos) {
		x.Pos = y.Pos
	}
	return x.On(ItemSubjects(x.Things))
}

// AddTerm adds a summand once.
func AddTerm(list []finding.Term, t finding.Term) []finding.Term {
	key := t.Key + t.Values.Key()
	if slices.ContainsFunc(list, func(x finding.Term) bool { return x.Key+x.Values.Key() == key }) {
		return list
	}
	return append(list, t)
}
