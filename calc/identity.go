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
	say := func(sev ingredients.Severity, code string, who ingredients.Party, v ingredients.Values) ingredients.Finding {
		return ingredients.NewFinding(sev, code, pos, v.Name("cas", cas)).On(name).By(who).At(pos.File, "name", nil)
	}
	if cas != "" {
		ok, others := tables.CASFits(name, cas)
		switch {
		case !ok && len(others) > 0:
			return say(ingredients.Ask, "cas-contradicts", s.Asked(), with().Names("others", others)), true
		case !ok:
			return say(ingredients.Note, "cas-unknown", ingredients.TheMaker, with().Names("known", known.CAS)), true
		}
		if by := namedByNumber(dict, name, cas); by != "" {
			f := say(ingredients.Ask, "named-by-number", ingredients.TheMaker, with().Name("other", by))
			value := ingredients.Value{Kind: ingredients.KindName, Text: by}
			f.Settle.Value = &value
			return f, true
		}
	}
	if known != nil || !unknownToo || len(dict.ByCAS(cas)) > 0 {
		return ingredients.Finding{}, false
	}
	f := ingredients.NewFinding(ingredients.Note, "unknown-inci", pos, nil).On(name).By(ingredients.TheMaker).At(pos.File, "name", nil)
	if near := ingredients.Nearest(name, dict.Names()); near != "" {
		f.Severity = ingredients.Ask
		f = f.And(with().Name("near", near)).At(pos.File, "name", with().Name("name", near))
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
