package answer

import (
	"gallipot/dossier/assess"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// Findings say what keeps the newest answer on record from counting.
//
// Findings: ask "assessors-answer" where it lacks what makes it count, is for other
// figures, or its signed report is not filed or was changed.
func Findings(a *assess.Assessment) []finding.Finding {
	var last *workshop.Recorded
	for i := range a.Product.Assessments {
		if r := &a.Product.Assessments[i]; r.Answer.File != "" && (last == nil || !r.Dated.Before(last.Dated)) {
			last = r
		}
	}
	if last == nil {
		return nil
	}
	v := workshop.With().Day("dated", last.Dated).Name("assessor", last.Assessor)
	about := func(form string, v finding.Values, who finding.Party, key string) []finding.Finding {
		return []finding.Finding{a.Product.About(finding.NewFinding(finding.Ask, "assessors-answer", last.Pos,
			v)).As(form).By(who).At(last.Pos.File, "assessments."+key, nil)}
	}
	lacks := last.Lacks()
	switch {
	case len(lacks) > 0:
		return about("incomplete", workshop.With().Names("lacks", lacks).Name("file", last.Answer.File),
			finding.TheAssessor, lacks[0])
	case last.Fingerprint != a.Fingerprint:
		return about("other-figures", v.Name("then", last.Fingerprint).Name("now", a.Fingerprint),
			finding.TheAssessor, "fingerprint")
	case !last.IsSigned():
		return about("unsigned", v, finding.TheMaker, "file")
	}
	if now, there := a.Workshop.EvidenceHash(last.File); there && now != last.SHA256 {
		return about("changed", v.Name("file", last.File).Name("now", now[:shownHash]).Name("noted",
			last.SHA256[:min(len(last.SHA256), shownHash)]), finding.TheMaker, "sha256")
	}
	return nil
}

// shownHash is how many digits of a hash a message shows.
const shownHash = 16
