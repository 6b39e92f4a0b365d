package workshop

import (
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
	"io/fs"
)

// loader fills a workshop.
type loader struct {
	fsys   fs.FS
	w      *Workshop
	sheets []string // names of the sheet files, readable or not
	// productFile holds the ids that belong to the product files, readable or not.
	productFile map[string]bool
	findings    []finding.Finding
	kept        map[string]fileRead // as they were read before
	changed     func(string) bool   // which of them may have changed
	sameEnv     bool                // products neither: what they are read against is the same
}

// fileRead is one file as read: what it holds, and what is wrong with it.
type fileRead struct {
	src      *source.Source
	sheet    *ingredients.Sheet
	product  *Product
	batch    *Batch
	lot      *Lot
	findings []finding.Finding
}

// stop adds a finding of kind stop that says the files cannot be read as they
// stand.
func (l *loader) stop(code, form string, pos exact.Pos, subject string, v finding.Values) {
	f := finding.NewFinding(finding.Stop, code, pos, v).As(form).On(subject).By(finding.TheMaker)
	f.Unread = true
	l.findings = append(l.findings, f)
}
