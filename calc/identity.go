package calc

import (
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Identity compares names with CAS numbers on one sheet.
//
// Findings: ask "cas-contradicts" when a CAS number stands for other substances
// in the tables; note "unknown-inci" when the tables do not know a name, with
// the nearest known one.
func Identity(s *ingredients.Sheet, tables *law.Tables) []ingredients.Finding {
	var fs []ingredients.Finding
	check := func(name, cas string, pos ingredients.Pos) {
		if cas != "" {
			if ok, others := tables.CASFits(name, cas); !ok {
				fs = append(fs, ingredients.Findingf(ingredients.Ask, "cas-contradicts", pos,
					"CAS %s stands for %s, not for %s", cas, strings.Join(others, " or "), name).On(name).AskOf(s.Supplier.Name).
					WithFix("check name and number against the supplier's paper; figures follow the name until then"))
				return
			}
		}
		dict := tables.Dictionary()
		if dict.Lookup(name) != nil {
			return
		}
		f := ingredients.Findingf(ingredients.Note, "unknown-inci", pos, "%s is in none of the tables: no limit, allergen or toxicological value is looked up for it", name).On(name)
		f.Fix = "check the spelling against the glossary of ingredient names"
		if near := ingredients.Nearest(name, dict.Names()); near != "" {
			f.Severity = ingredients.Ask
			f.Fix = "did you mean " + near + "? " + f.Fix
		}
		fs = append(fs, f)
	}
	for _, c := range s.Composition.Constituents {
		check(c.INCI, c.CAS, c.Pos)
	}
	if s.Allergens != nil {
		for _, d := range s.Allergens.Declared {
			if d.CAS == "" {
				continue // names off the list are reported against the market's list
			}
			if ok, others := tables.CASFits(d.Name, d.CAS); !ok {
				fs = append(fs, ingredients.Findingf(ingredients.Ask, "cas-contradicts", d.Pos,
					"CAS %s stands for %s, not for %s", d.CAS, strings.Join(others, " or "), d.Name).On(d.Name).AskOf(s.Supplier.Name).
					WithFix("check name and number against the supplier's paper; figures follow the name until then"))
			}
		}
	}
	return fs
}

// colourNames reads colourants from the colourant annex.
type colourNames struct{ tables *law.Tables }

// ColourName takes a name that is a CI number as a colourant, and any other name
// of the colourant annex where the material's sheet says that it colours.
func (c colourNames) ColourName(inci string, functions []string) (string, bool) {
	if isCI(inci) {
		return strings.ToUpper(inci[:2]) + inci[2:], true
	}
	if !colours(functions) {
		return "", false
	}
	return c.tables.ColourIndex(inci)
}

func isCI(name string) bool {
	return len(name) > 3 && strings.EqualFold(name[:3], "CI ") && name[3] >= '0' && name[3] <= '9'
}

func colours(functions []string) bool {
	for _, f := range functions {
		f = strings.ToLower(f)
		if strings.Contains(f, "colorant") || strings.Contains(f, "colourant") || strings.Contains(f, "colour") || strings.Contains(f, "color") {
			return true
		}
	}
	return false
}
