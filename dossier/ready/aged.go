package ready

import (
	"slices"

	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// agedPapers asks again for supplier papers that are older than the workshop
// keeps them.
//
// Findings: ask "old-document".
func agedPapers(a *assess.Assessment) []finding.Finding {
	var fs []finding.Finding
	oldest := a.Options.Date.AddYears(-a.Workshop.EvidenceYears)
	old := func(s *ingredients.Sheet, kind string, dated exact.Date, pos exact.Pos) {
		if dated.IsZero() || !dated.Before(oldest) {
			return
		}
		fs = append(fs, finding.NewFinding(finding.Ask, "old-document", pos,
			workshop.With().Name("document", workshop.DocumentName(kind)).Day("dated", dated).
				Count("years", a.Workshop.EvidenceYears)).OnValue(s.Named()).
			By(s.Asked()).At(pos.File, "documents", nil))
	}
	for _, s := range a.UsedSheets() {
		for _, d := range s.Documents {
			if !HasNewer(s, d.Kind, oldest, a.Options.Date) {
				old(s, d.Kind, d.Dated, d.Pos)
			}
		}
		if c := s.FragranceLimits; c != nil && !dated(s, "certificate") {
			old(s, "certificate", c.Dated, s.Pos)
		}
		if d := s.Allergens; d != nil && !dated(s, "allergens") {
			old(s, "allergens", d.Dated, d.Pos)
		}
	}
	return fs
}

// HasNewer says whether a document of a kind is on file that is recent enough: an older one
// beside it is not asked for again.
func HasNewer(s *ingredients.Sheet, kind string, oldest, day exact.Date) bool {
	return slices.ContainsFunc(s.Documents, func(d ingredients.Document) bool {
		return d.Kind == kind && d.File != "" && !d.Dated.IsZero() && !d.Dated.Before(oldest) && d.ThereOn(day)
	})
}

// dated says whether a paper of the kind is entered with its date, so that it is
// not asked for twice.
func dated(s *ingredients.Sheet, kind string) bool {
	for _, d := range s.Documents {
		if d.Kind == kind && !d.Dated.IsZero() {
			return true
		}
	}
	return false
}
