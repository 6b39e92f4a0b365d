package decide

import (
	"slices"

	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Unused says which decisions of the workshop are about nothing that any of its products,
// batches or lots asks; as and others are what all of them say.
//
// Findings: note "decision-unmatched".
func Unused(w *workshop.Workshop, day exact.Date, as []*assess.Assessment,
	others []finding.Finding) (said []finding.Finding) {
	all := [][]finding.Finding{others}
	for _, a := range as {
		all = append(all, a.Findings)
	}
	for _, d := range w.Decisions {
		if day.Before(d.Date) {
			continue
		}
		asked, noted := false, false
		for _, f := range slices.Concat(all...) {
			if f.Code == d.Code && Named(&f, d.Subject) {
				noted = noted || f.Severity == finding.Note
				asked = asked || f.Severity != finding.Note
			}
		}
		v := workshop.With().Name("code", d.Code).Name("by", d.By).Day("date", d.Date)
		form := ""
		switch codes := words.Codes(); {
		case asked:
			continue
		case noted:
			form = "note"
		case codes[d.Code] == nil:
			form, v = "code", v.Name("near", source.Nearest(d.Code, sorted(codes)))
		}
		f := finding.NewFinding(finding.Note, "decision-unmatched", d.Pos, v).As(form).On(subjectOf(d)).
			By(finding.TheMaker)
		said = append(said, f.At(d.Pos.File, "decisions", nil))
	}
	return said
}
