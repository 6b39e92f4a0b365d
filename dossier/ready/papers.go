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
		fs = append(fs, a.Options.DateFindings(s.ID, assess.DatedSheet(s, a.Options.Date))...)
	}
	fs = append(fs, missingPapers(f)...)
	fs = append(fs, suppliersNotEntered(f)...)
	fs = append(fs, changedPapers(f)...)
	fs = append(fs, stability.StabilityFindings(f)...)
	fs = append(fs, claims(f)...)
	fs = append(fs, figures.AssessedFindings(a)...)
	return append(fs, openItems(f)...)
}

// MissingPapersOf lists what a material lacks. A paper that is named while its
// file is absent has a finding of its own and is not asked for twice.
func MissingPapersOf(f *evidence.Filing, s *ingredients.Sheet) []evidence.WantedPaper {
	var missing []evidence.WantedPaper
	for _, w := range f.Traits[s.ID].WantedPapers() {
		kinds := append([]string{w.Kind}, w.Also...)
		named := slices.ContainsFunc(s.Documents, func(d ingredients.Document) bool {
			return d.File != "" && slices.Contains(kinds, d.Kind) && d.ThereOn(f.A.Options.Date)
		})
		if w.Kind == "composition" && s.Composition.HeldByAssessor || named {
			continue
		}
		missing = append(missing, w)
	}
	return missing
}

// changedPapers compares papers with the hash noted when the figures were taken
// from them.
//
// Findings: ask "document-changed".
func changedPapers(f *evidence.Filing) []finding.Finding {
	var fs []finding.Finding
	check := func(d ingredients.Document, about, what string) {
		if d.SHA256 == "" || !f.There(d.File) {
			return
		}
		hash, ok := f.W.EvidenceHash(d.File)
		if !ok || strings.HasPrefix(hash, d.SHA256) {
			return
		}
		fs = append(fs, finding.Findingf(finding.Ask, "document-changed", d.Pos, "%s is not the file that was read: its SHA-256 begins %s, noted is %s", d.File, hash[:16], d.SHA256[:16]).
			On(about).AskOf(words.Maker).WithWhy("figures were taken from the %s as it was", what).
			WithFix("compare it with the figures, correct them where they differ, then write sha256: %s", hash[:16]))
	}
	for _, s := range f.Sheets {
		for _, d := range s.Documents {
			check(d, s.ID, workshop.DocumentName(d.Kind))
		}
	}
	for _, d := range f.P.Documents {
		check(d, f.P.ID, cmp.Or(workshop.ProductDocumentKinds[d.Kind], d.Kind))
	}
	return fs
}

// saidElsewhere are the items whose gaps have findings of their own.
var saidElsewhere = []string{
	"A1", "A1a", "A1b", "A1d", "A1f", "A2", "A2a", "A2c", "A3", "A3a", "A3c", "A3f", "A4", "A4a", "A4b", "A6", "A7", "A8", "N3", "P2", "P4", "P5", "P8", "G1", "X2", "X3", "X4", "X5", "X6", "X8", "X9", "X11", "X12",
}

// openItems sums up, in one finding, the items of the dossier that are still
// open and are said nowhere else.
//
// Findings: ask "dossier-open".
func openItems(f *evidence.Filing) []finding.Finding {
	x := finding.Finding{}
	var ids, from []string
	for _, row := range law.Dossier(f.Law) {
		item := f.Answer(row.Key)
		if !item.Open() || slices.Contains(saidElsewhere, row.Key) {
			continue
		}
		ids = append(ids, row.Key)
		from = append(from, item.From...)
		at := finding.Pos{}
		x.Sum = append(x.Sum, finding.Term{Pos: at, Text: row.Key + " " + row.Title + ": " + item.Words + whoText(item.From)})
	}
	if len(ids) == 0 {
		return nil
	}
	sum := x.Sum
	whom := words.Maker
	if !slices.Contains(from, words.Maker) && len(from) > 0 {
		whom = from[0]
	}
	x = finding.Findingf(finding.Ask, "dossier-open", f.P.Pos, "%s still open", words.Count(len(ids), "item of the dossier is", "items of the dossier are")).On(f.P.ID).AskOf(whom).
		WithWhy("the product file and the report hold them; Regulation (EC) 1223/2009 Article 11 and Annex I (dossier-contents.csv)").
		WithFix("supply them one by one; gallipot figures %s --section readiness lists all items with what was found", f.P.ID)
	x.Sum = sum
	return []finding.Finding{x}
}

func whoText(from []string) string {
	if len(from) == 0 {
		return ""
	}
	return " (from " + words.JoinAnd(mergeFrom(from)) + ")"
}
