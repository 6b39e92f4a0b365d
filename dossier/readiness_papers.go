package dossier

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/ingredients"
)

// evidenceFindings are what papers, tests, claims and the assessment on record
// leave open for a product.
//
// Findings: ask "old-document", "missing-document", "document-changed",
// "dossier-open", "changed-since-assessment", "assessed-other-figures",
// "figures-unreadable"; ask and note "supplier-not-entered"; note "assessed";
// those of stability and of claims.
func evidenceFindings(a *Assessment) []ingredients.Finding {
	f := questioned(a)
	fs := agedPapers(a)
	for _, s := range f.sheets {
		fs = append(fs, a.Options.dateFindings(func(x ingredients.Finding) ingredients.Finding { return x.OnValue(s.Named()) }, datedSheet(s, a.Options.Date))...)
	}
	fs = append(fs, f.missingPapers()...)
	fs = append(fs, f.suppliersNotEntered()...)
	fs = append(fs, f.changedPapers()...)
	fs = append(fs, f.stabilityFindings()...)
	fs = append(fs, f.claims()...)
	fs = append(fs, assessedFindings(a)...)
	return append(fs, f.openItems()...)
}

// missingPapersOf lists what a material lacks. A paper that is named while its
// file is absent has a finding of its own and is not asked for twice.
func (f *filing) missingPapersOf(s *ingredients.Sheet) []wantedPaper {
	var missing []wantedPaper
	for _, w := range f.traits[s.ID].wantedPapers() {
		kinds := append([]string{w.kind}, w.also...)
		named := slices.ContainsFunc(s.Documents, func(d ingredients.Document) bool {
			return d.File != "" && slices.Contains(kinds, d.Kind) && d.ThereOn(f.a.Options.Date)
		})
		if w.kind == "composition" && s.Composition.HeldByAssessor || named {
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
func (f *filing) changedPapers() []ingredients.Finding {
	var fs []ingredients.Finding
	check := func(d ingredients.Document, about func(ingredients.Finding) ingredients.Finding, what string) {
		if d.SHA256 == "" || !f.there(d.File) {
			return
		}
		hash, ok := f.w.EvidenceHash(d.File)
		if !ok || strings.HasPrefix(hash, d.SHA256) {
			return
		}
		fs = append(fs, about(ingredients.NewFinding(ingredients.Ask, "document-changed", d.Pos, with().Name("file", d.File).Name("document", what).
			Name("now", hash[:16]).Name("noted", d.SHA256[:16]))).By(ingredients.TheMaker).At(d.Pos.File, "documents.sha256", with().Name("sha256", hash[:16])))
	}
	for _, s := range f.sheets {
		for _, d := range s.Documents {
			check(d, func(x ingredients.Finding) ingredients.Finding { return x.OnValue(s.Named()) }, documentName(d.Kind))
		}
	}
	for _, d := range f.p.Documents {
		check(d, f.p.about, cmp.Or(ProductDocumentKinds[d.Kind], d.Kind))
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
func (f *filing) openItems() []ingredients.Finding {
	var sum []ingredients.Term
	var from []asked
	for _, row := range f.law.Dossier() {
		item := f.answer(row.Key)
		if !item.open() || slices.Contains(saidElsewhere, row.Key) {
			continue
		}
		from = append(from, item.from...)
		sum = append(sum, ingredients.Term{Key: "dossier-item", Values: with().Name("row", row.Key).Quote("title", row.Title).Quote("state", item.words).Quotes("from", mergeFrom(item.from))})
	}
	if len(sum) == 0 {
		return nil
	}
	whom := ingredients.TheMaker
	if !asksFor(from, makerWord) && len(from) > 0 {
		whom = from[0].party()
	}
	x := f.p.about(ingredients.NewFinding(ingredients.Ask, "dossier-open", f.p.Pos, with().Count("items", len(sum)))).By(whom).
		With(ingredients.Action{Kind: ingredients.ActionReadiness, Product: f.p.ID})
	x.Sum = sum
	return []ingredients.Finding{x}
}

func joinAnd(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
