package assess

import (
	"slices"

	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// accepted puts a note in place of each open point that the assessor accepted in writing
// for these figures. A stop cannot be accepted: it stays.
//
// Findings: note "accepted-by-assessor".
func accepted(a *Assessment, fs []finding.Finding) []finding.Finding {
	if a.Answer == nil || len(a.Answer.Accepted) == 0 {
		return fs
	}
	fs = slices.Clone(fs)
	for i, f := range fs {
		if f.Severity != finding.Ask {
			continue
		}
		at := slices.IndexFunc(a.Answer.Accepted, func(x workshop.Accepted) bool { return x == accepting(f, x) })
		if at < 0 {
			continue
		}
		v := workshop.With().Name("assessor", a.Answer.Assessor).Day("dated", a.Answer.Dated).
			Quote("because", a.Answer.Accepted[at].Because)
		inner := fs[i]
		note := finding.NewFinding(finding.Note, "accepted-by-assessor", f.Pos, v)
		note.Inner, note.About, note.Subject, note.Things = &inner, f.About, f.Subject, f.Things
		note.Variants, note.Markets = f.Variants, f.Markets
		fs[i] = note
	}
	return fs
}

// accepting is the entry that accepts a finding, with what x says beside.
func accepting(f finding.Finding, x workshop.Accepted) workshop.Accepted {
	y := Point(f)
	y.Because, y.Pos = x.Because, x.Pos
	return y
}

// Point is an open point as an answer accepts it: by its code, what it is about and what
// the assessor read.
func Point(f finding.Finding) workshop.Accepted {
	said := words.Say(&f, words.Assessor)
	return workshop.Accepted{Finding: f.Code, About: f.Subject, Says: said.Text()}
}
