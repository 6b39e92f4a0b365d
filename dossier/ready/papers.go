package ready

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/evidence"
	"gallipot/dossier/figures"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Findings are what papers, tests, claims and the assessment on record
// leave open for a product.
//
// Findings: ask "old-document", "missing-document", "document-changed",
// "dossier-open", "changed-since-assessment", "assessed-other-figures",
// "figures-unreadable"; ask and note "supplier-not-entered"; note "assessed";
// those of stability and of claims.
func Findings(a *assess.Assessment) []finding.Finding {
	f := Questioned(a)
	fs := agedPapers(a)
	for _, s := range f.Sheets {
		fs = append(fs,
			a.Options.DateFindings(func(x finding.Finding) finding.Finding { return x.OnValue(s.Named()) },
				assess.DatedSheet(s, a.Options.Date))...)
	}
	fs = append(fs, missingPapers(f)...)
	fs = append(fs, suppliersNotEntered(f)...)
	fs = append(fs, changedPapers(f)...)
	fs = append(fs, stability.StabilityFindings(f)...)
	fs = append(fs, claimsOfFiling(f)...)
	fs = append(fs, figures.AssessedFindings(a)...)
	return append(fs, openItems(f)...)
}

// MissingPapersOf lists what a material lacks, and apart from that the papers whose dated
// figures are typed in: the maker had those, and they are in a folder of the maker's own.
// A paper that is named while its file is absent has a finding of its own and is not asked
// for twice.
func MissingPapersOf(f *evidence.Filing, s *ingredients.Sheet) (missing, typed []evidence.WantedPaper) {
	for _, w := range f.Traits[s.ID].WantedPapers() {
		kinds := append([]string{w.Kind}, w.Also...)
		named := slices.ContainsFunc(s.Documents, func(d ingredients.Document) bool {
			return d.File != "" && slices.Contains(kinds, d.Kind) && d.ThereOn(f.A.Options.Date)
		})
		if w.Kind == "composition" && s.Composition.HeldByAssessor || named {
			continue
		}
		if slices.ContainsFunc(kinds, func(kind string) bool { return typedIn(s, kind, f.A.Options.Date) }) {
			typed = append(typed, w)
			continue
		}
		missing = append(missing, w)
	}
	return missing, typed
}

// typedIn says whether the figures of a paper are in the sheet with its date.
func typedIn(s *ingredients.Sheet, kind string, day exact.Date) bool {
	there := func(dated exact.Date) bool { return !dated.IsZero() && !day.Before(dated) }
	switch {
	case kind == "allergens" && s.Allergens != nil && there(s.Allergens.Dated):
		return true
	case kind == "certificate" && s.FragranceLimits != nil && there(s.FragranceLimits.Dated):
		return true
	}
	return slices.ContainsFunc(s.Documents, func(d ingredients.Document) bool {
		return d.Kind == kind && d.File == "" && there(d.Dated)
	})
}

// changedPapers compares papers with the hash noted when the figures were taken
// from them.
//
// Findings: ask "document-changed".
func changedPapers(f *evidence.Filing) []finding.Finding {
	var fs []finding.Finding
	check := func(d ingredients.Document, about func(finding.Finding) finding.Finding, what string) {
		if d.SHA256 == "" || !f.There(d.File) {
			return
		}
		hash, ok := f.W.EvidenceHash(d.File)
		if !ok || strings.HasPrefix(hash, d.SHA256) {
			return
		}
		fs = append(fs,
			about(finding.NewFinding(finding.Ask, "document-changed", d.Pos, workshop.With().Name("file", d.File).
				Name("document", what).
				Name("now", hash[:16]).Name("noted", d.SHA256[:16]))).By(finding.TheMaker).
				At(d.Pos.File, "documents.sha256", workshop.With().Name("sha256", hash[:16])))
	}
	for _, s := range f.Sheets {
		for _, d := range s.Documents {
			check(d, func(x finding.Finding) finding.Finding { return x.OnValue(s.Named()) },
				workshop.DocumentName(d.Kind))
		}
	}
	for _, d := range f.P.Documents {
		check(d, f.P.About, cmp.Or(workshop.ProductDocumentKinds[d.Kind], d.Kind))
	}
	return fs
}

// saidElsewhere are the items whose gaps have findings of their own.
var saidElsewhere = []string{
	"A1", "A1a", "A1b", "A1d", "A1f", "A2", "A2a", "A2c", "A3", "A3a", "A3c", "A3f", "A4", "A4a", "A4b", "A6",
	"A7", "A8", "N3", "P2", "P4", "P5", "P8", "G1", "X2", "X3", "X4", "X5", "X6", "X8", "X9", "X11", "X12",
}

// openItems sums up, in one finding, the items of the dossier that are still
// open and are said nowhere else.
//
// Findings: ask "dossier-open".
func openItems(f *evidence.Filing) []finding.Finding {
	var sum []finding.Term
	var from []evidence.Asked
	for _, row := range law.Dossier(f.Law) {
		item := f.Answer(row.Key)
		if !item.Open() || slices.Contains(saidElsewhere, row.Key) {
			continue
		}
		from = append(from, item.From...)
		sum = append(sum, finding.Term{Key: "dossier-item", Values: workshop.With().Name("row", row.Key).
			Quote("title", row.Title).Those("state", item.Terms()).Those("from", suppliers(item.From))})
	}
	if len(sum) == 0 {
		return nil
	}
	whom := finding.TheMaker
	if !AsksFor(from, words.MakerWord) && len(from) > 0 {
		whom = from[0].Party()
	}
	x := f.P.About(finding.NewFinding(finding.Ask, "dossier-open", f.P.Pos, workshop.With().
		Count("items", len(sum)))).By(whom).
		With(finding.Action{Kind: finding.ActionReadiness, Product: f.P.ID})
	x.Sum = sum
	return []finding.Finding{x}
}
