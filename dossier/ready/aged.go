package ready

import (
	"cmp"

	"gallipot/dossier/assess"
	"gallipot/dossier/words"
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
	old := func(s *ingredients.Sheet, what string, dated exact.Date, pos finding.Pos) {
		if dated.IsZero() || !dated.Before(oldest) {
			return
		}
		fs = append(fs, finding.Findingf(finding.Ask, "old-document", pos, "the %s of %s is of %s, older than %s", what, s.ID, dated, words.Count(a.Workshop.EvidenceYears, "year", "years")).
			On(s.ID).AskOf(s.Supplier.Name).
			WithWhy("workshop.yaml evidence_years: %d; common practice, no source", a.Workshop.EvidenceYears).
			WithFix("ask %s for the current %s of %s", cmp.Or(s.Supplier.Name, "the supplier"), what, s.Name))
	}
	for _, s := range a.UsedSheets() {
		for _, d := range s.Documents {
			old(s, workshop.DocumentName(d.Kind), d.Dated, d.Pos)
		}
		if c := s.FragranceLimits; c != nil && !dated(s, "certificate") {
			old(s, workshop.DocumentName("certificate"), c.Dated, s.Pos)
		}
		if d := s.Allergens; d != nil && !dated(s, "allergens") {
			old(s, workshop.DocumentName("allergens"), d.Dated, d.Pos)
		}
	}
	return fs
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
