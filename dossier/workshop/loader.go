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
	old         *before
	sameEnv     bool // products stay as they were too: what they are read against is the same
}

// before is a workshop as it was read before, with what happened to its files since.
type before struct {
	w         *Workshop              // one without anything where it is read for the first time
	changed   func(name string) bool // which files may hold something else
	untouched func(name string) bool // to which nothing was done
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
