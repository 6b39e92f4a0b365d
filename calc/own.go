package calc

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// ownLimitFindings asks about the maker's own limits that can never count: those
// whose names are in no list and on no sheet, and which give no number.
//
// Findings: ask "own-limit-name", with the nearest names.
func ownLimitFindings(in *formula.Input) []finding.Finding {
	var fs []finding.Finding
	var printed map[string]bool
	own := formula.MemoryOf[ownMemory](in.Session).Of(struct{}{}, func() []*annex.Limit {
		return slices.DeleteFunc(law.Limits(in.Law),
			func(l *annex.Limit) bool { return !l.Own || len(l.CAS)+len(l.EC) > 0 })
	})
	for _, l := range own {
		if printed == nil {
			printed = printedNames(in)
		}
		for _, n := range l.Names {
			if in.Dict.Resolve(n, "", "").First().Known() || printed[ingredients.NameKey(n)] {
				continue
			}
			near := ""
			if list := in.Dict.Names().Nearest(n, 1); len(list) > 0 {
				near = list[0].Name
			}
			f := finding.NewFinding(finding.Ask, "own-limit-name", exact.Pos{File: l.File, Line: l.Line, Col: 1},
				formula.With().Name("row", l.Key).Name("near", near)).On(n).By(finding.TheMaker)
			fs = append(fs, f)
		}
	}
	return fs
}

// ownMemory keeps the maker's own rows that give no number.
type ownMemory struct {
	formula.Memo[struct{}, []*annex.Limit]
}

// printedNames are the keys of all names on the sheets.
func printedNames(in *formula.Input) map[string]bool {
	keys := map[string]bool{}
	for _, s := range in.Sheets {
		for _, c := range s.Composition.Constituents {
			keys[ingredients.NameKey(c.INCI)] = true
		}
		for _, t := range s.Impurities {
			keys[ingredients.NameKey(t.Name)] = true
		}
		if s.Allergens != nil {
			for _, d := range s.Allergens.Declared {
				keys[ingredients.NameKey(d.Name)] = true
			}
		}
	}
	return keys
}
