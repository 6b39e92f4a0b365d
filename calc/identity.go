package calc

import (
	"slices"
	"strings"
	"sync/atomic"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// canonical returns the name a substance is merged and looked up under: that of
// the dictionary for its name, or, where the dictionary does not know the name,
// that of the substance its CAS number stands for.
func canonical(dict *ingredients.Dictionary, name, cas string) string {
	if byNumber := namedByNumber(dict, name, cas); byNumber != "" {
		return byNumber
	}
	return dict.Canonical(name)
}

// namedByNumber returns the substance that a CAS number stands for where the
// dictionary does not know the name beside it; "" where it does, or where the
// number fits several plant preparations or a colourant and does not decide.
func namedByNumber(dict *ingredients.Dictionary, name, cas string) string {
	if cas == "" || dict.Lookup(name) != nil {
		return ""
	}
	candidates := dict.ByCAS(cas)
	if len(candidates) > 1 && slices.ContainsFunc(candidates, func(s *ingredients.Substance) bool { return isCI(s.INCI) || isPreparation(s.INCI) }) {
		return ""
	}
	if len(candidates) == 0 {
		return ""
	}
	return candidates[0].INCI
}

// isPreparation says whether a name is that of one preparation of a plant: oil,
// extract and water of it can share a number.
func isPreparation(name string) bool {
	for _, word := range []string{" oil", " extract", " water", " butter", " wax", " powder", " juice"} {
		if strings.Contains(strings.ToLower(name), word) {
			return true
		}
	}
	return false
}

// identityMemo keeps the findings of [Identity] for one set of tables, since
// every product with the material asks for them.
type identityMemo struct{ found atomic.Pointer[identityFound] }

type identityFound struct {
	tables   *law.Tables
	findings []ingredients.Finding
}

// identityFindings is [Identity], computed once for a set of tables.
func (m *Material) identityFindings(tables *law.Tables) []ingredients.Finding {
	if f := m.identity.found.Load(); f != nil && f.tables == tables {
		return f.findings
	}
	f := &identityFound{tables, Identity(m.Sheet, tables)}
	m.identity.found.Store(f)
	return f.findings
}

// Identity compares names with CAS numbers on one sheet.
//
// Findings: ask "cas-contradicts" when a CAS number stands for other substances
// in the tables; ask "named-by-number" when a name is unknown and its number is
// not; note "cas-unknown" when the tables give a name other numbers only; note
// "unknown-inci" when the tables know neither, an ask where a known name is near.
func Identity(s *ingredients.Sheet, tables *law.Tables) []ingredients.Finding {
	var fs []ingredients.Finding
	for _, c := range s.Composition.Constituents {
		if f, ok := identityOf(s, tables, c.INCI, c.CAS, c.Pos, true); ok {
			fs = append(fs, f)
		}
	}
	if s.Allergens == nil {
		return fs
	}
	for _, d := range s.Allergens.Declared {
		// names off the list are reported against the market's list
		if f, ok := identityOf(s, tables, d.Name, d.CAS, d.Pos, false); ok {
			fs = append(fs, f)
		}
	}
	return fs
}

func identityOf(s *ingredients.Sheet, tables *law.Tables, name, cas string, pos ingredients.Pos, unknownToo bool) (ingredients.Finding, bool) {
	dict := tables.Dictionary()
	known := dict.Lookup(name)
	if cas != "" {
		ok, others := tables.CASFits(name, cas)
		switch {
		case !ok && len(others) > 0:
			return ingredients.Findingf(ingredients.Ask, "cas-contradicts", pos, "CAS %s stands for %s, not for %s", cas, strings.Join(others, " or "), name).On(name).AskOf(s.Supplier.Name).
				WithFix("check name and number against the supplier's paper; figures follow the name until then"), true
		case !ok:
			return ingredients.Findingf(ingredients.Note, "cas-unknown", pos, "CAS %s is not in our tables; for %s they have %s", cas, name, strings.Join(known.CAS, " and ")).On(name).
				WithFix("check it against the supplier's paper; where it stands there, leave it: one name can have several numbers"), true
		}
		if by := namedByNumber(dict, name, cas); by != "" {
			return ingredients.Findingf(ingredients.Ask, "named-by-number", pos, "%s is no name in our tables; by its CAS number %s it is counted as %s", name, cas, by).On(name).
				WithFix("write %s, if that is what the paper means", by), true
		}
	}
	if known != nil || !unknownToo || len(dict.ByCAS(cas)) > 0 {
		return ingredients.Finding{}, false
	}
	f := ingredients.Findingf(ingredients.Note, "unknown-inci", pos, "%s is in none of the tables: no limit, allergen or toxicological value is found for it by name", name).On(name).
		WithFix("check the spelling against the glossary of ingredient names")
	if near := ingredients.Nearest(name, dict.Names()); near != "" {
		f.Severity = ingredients.Ask
		f.Fix = "did you mean " + near + "? " + f.Fix
	}
	return f, true
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

// IsSubstrate asks the table of customary substrates.
func (c colourNames) IsSubstrate(inci string) bool { return c.tables.IsSubstrate(inci) }

func isCI(name string) bool {
	return len(name) > 3 && strings.EqualFold(name[:3], "CI ") && name[3] >= '0' && name[3] <= '9'
}

func colours(functions []string) bool {
	for _, f := range functions {
		f = strings.ToLower(f)
		if strings.Contains(f, "colour") || strings.Contains(f, "color") {
			return true
		}
	}
	return false
}
