package workshop

import (
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
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
}

// stop adds a finding of kind stop that says the files cannot be read as they
// stand.
func (l *loader) stop(code, form string, pos exact.Pos, subject string, v finding.Values) {
	f := finding.NewFinding(finding.Stop, code, pos, v).As(form).On(subject).By(finding.TheMaker)
	f.Unread = true
	l.findings = append(l.findings, f)
}
