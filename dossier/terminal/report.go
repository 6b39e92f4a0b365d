package terminal

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// Grouped prints findings under a head for each kind.
func (u Printer) Grouped(to io.Writer, w *workshop.Workshop, findings []finding.Finding) {
	heads := [...]string{
		finding.Stop: "STOP: against a law, a certificate or a fragrance Standard, or not computable as it stands",
		finding.Ask:  "ASK: someone must supply or decide something",
		finding.Note: "NOTE: worth knowing",

		finding.Decided: "DECIDED: asked, and settled in writing",
	}
	for sev, head := range heads {
		var group []finding.Finding
		for _, f := range findings {
			if f.Severity == finding.Severity(sev) {
				group = append(group, f)
			}
		}
		if len(group) > 0 {
			fmt.Fprintf(to, "%s\n\n", head)
			u.Findings(to, w, together(group))
			fmt.Fprintln(to)
		}
	}
}

// Piece prints the findings of one product, or of what has none, under its name; briefly,
// without the name.
func (u Printer) Piece(to io.Writer, w *workshop.Workshop, name string, fs []finding.Finding, brief bool) {
	if len(fs) == 0 {
		return
	}
	if brief {
		u.Brief(to, fs)
		return
	}
	fs = slices.Clone(fs)
	slices.SortStableFunc(fs, func(a, b finding.Finding) int { return cmp.Compare(a.Severity, b.Severity) })
	fmt.Fprintf(to, "%s: %s\n\n", name, Counts(finding.Count(fs)))
	u.Findings(to, w, fs)
	fmt.Fprintln(to)
}

// Counts says how many findings there are of each kind.
func Counts(c finding.Counts) string {
	text := fmt.Sprintf("%d stop, %d ask, %d note", c.Stop, c.Ask, c.Note)
	if c.Decided > 0 {
		text += fmt.Sprintf(", %d decided", c.Decided)
	}
	return text
}
