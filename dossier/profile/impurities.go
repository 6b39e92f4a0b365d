package profile

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// material is a raw material with the impurities to expect in its kind.
type material struct {
	Sheet *ingredients.Sheet
	Kinds []string // of the trade; none: it is unjudged, not clean
	List  []expected
}

// expected is an impurity to expect, with what the sheet states of it.
type expected struct {
	*tox.Impurity
	Stated *ingredients.Impurity // nil: not among the impurities of the sheet
	// Declared is the declaration of allergens, where that answers; nil: none is on file.
	Declared *ingredients.AllergenDeclaration
}

// expectedIn is one impurity to expect in a raw material, with what its sheet states.
func expectedIn(s *ingredients.Sheet, x *tox.Impurity) expected {
	e := expected{Impurity: x, Stated: statedIn(s, x)}
	if x.ByAllergens {
		e.Declared = s.Allergens
	}
	return e
}

// said is what the sheet states, in words; "" where it states nothing. A declaration is
// named with its list and day: what lies outside its list is not stated.
func (e *expected) said() string {
	switch d := e.Declared; {
	case e.Stated != nil:
		return e.Stated.Amount.Text
	case d == nil:
		return ""
	case d.Dated.IsZero():
		return fmt.Sprintf("(%d by list %s, undated)", len(d.Declared), d.List)
	default:
		return fmt.Sprintf("(%d by list %s of %s)", len(d.Declared), d.List, d.Dated)
	}
}

// materials are the raw materials of a product with the impurities to expect, each once.
//
// Source: expected-impurities.csv, matched against the names of the constituents.
func materials(v *show.View, tables *tox.Tables) []material {
	var out []material
	for _, s := range v.A.UsedSheets() {
		m := material{Sheet: s}
		for _, name := range namesIn(s) {
			for _, x := range tables.Expected(name) {
				m.Kinds = words.AddOnce(m.Kinds, x.Kind)
				if !slices.ContainsFunc(m.List, func(y expected) bool { return y.Name == x.Name }) {
					m.List = append(m.List, expectedIn(s, x))
				}
			}
		}
		out = append(out, m)
	}
	return out
}

// namesIn are the names of the constituents, and the one that stands on a label for a
// material whose constituents are not listed there.
func namesIn(s *ingredients.Sheet) (names []string) {
	for _, c := range s.Composition.Constituents {
		names = append(names, c.INCI)
	}
	if s.LabelAs != "" && s.LabelAs != ingredients.LabelINCI {
		names = append(names, words.UpperFirst(string(s.LabelAs)))
	}
	return names
}

// statedIn finds what a sheet states of an impurity, by number or by name.
func statedIn(s *ingredients.Sheet, x *tox.Impurity) *ingredients.Impurity {
	names := namesOf(x.Name)
	for i := range s.Impurities {
		y := &s.Impurities[i]
		if y.CAS != "" && slices.Contains(x.CAS, y.CAS) {
			return y
		}
		for _, n := range namesOf(y.Name) {
			if slices.Contains(names, n) {
				return y
			}
		}
	}
	return nil
}

// namesOf are the keys of a name and of what stands in brackets behind it.
func namesOf(name string) (keys []string) {
	before, inside, _ := strings.Cut(name, "(")
	for _, n := range []string{name, before, strings.TrimSuffix(strings.TrimSpace(inside), ")")} {
		if k := ingredients.NameKey(strings.TrimSpace(n)); k != "" {
			keys = append(keys, k)
		}
	}
	return keys
}
