package calc

import (
	"gallipot/calc/formula"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// functionFindings asks about words for functions that no table has: limits turn
// on what a material is there for.
//
// Findings: ask "unknown-function", with the nearest words.
func functionFindings(s *ingredients.Sheet, dict *ingredients.Dictionary) []finding.Finding {
	var fs []finding.Finding
	for _, wording := range s.Functions {
		if _, ok := dict.Names().Function(wording); ok {
			continue
		}
		fs = append(fs, finding.NewFinding(finding.Ask, "unknown-function", s.Pos,
			formula.With().Quote("typed", wording).
				Names("near", dict.Names().NearestFunctions(wording, formula.NearNames))).OnValue(s.Named()).
			By(finding.TheMaker).At(s.Pos.File, "functions", nil).With(finding.Action{Kind: finding.ActionFunctions}))
	}
	return fs
}
