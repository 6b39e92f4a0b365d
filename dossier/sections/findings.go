package sections

import (
	"cmp"
	"slices"

	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// FindingsSection lists what has to be done before an assessment, the gravest
// first.
func FindingsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "findings", Title: "Open points",
		Intro: "Stop: against a law, a certificate or a fragrance Standard, or not computable as it stands. Ask: someone must supply or decide something. Note: worth knowing."}
	bySeverity := map[finding.Severity][]finding.Finding{}
	for _, f := range v.Findings() {
		bySeverity[f.Severity] = append(bySeverity[f.Severity], f)
	}
	s.Add(&document.FindingList{ID: "findings-stop", Title: "Stop", Findings: bySeverity[finding.Stop],
		Empty: "Nothing stops this product as far as files can tell."})
	s.Add(&document.FindingList{ID: "findings-ask", Title: "Ask", Findings: bySeverity[finding.Ask],
		Empty: "Nothing is asked for."})
	s.Add(&document.FindingList{ID: "findings-note", Title: "Note", Findings: bySeverity[finding.Note],
		Empty: "Nothing further to note."})
	if settled := bySeverity[finding.Decided]; len(settled) > 0 {
		s.Add(&document.FindingList{ID: "findings-decided", Title: "Decided", Findings: settled})
	}
	return s
}

// QuestionsSection lists what to ask, by the one who can answer.
func QuestionsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "questions", Title: "Questions, by whom they go to",
		Intro: "Each open point of kind ask, sorted by who can settle it."}
	t := &document.Table{ID: "questions-all", SheetName: "Questions", Title: "Questions by whom they go to",
		InWorkbook: true, Empty: "No question is open.",
		Columns: []document.Column{{Head: "About", Weight: 1}, {Head: "What is open", Weight: 2.2},
			{Head: "What to do", Weight: 2}, {Head: "Place"}}}
	who, asked := questionsByWhom(v)
	for _, name := range who {
		t.Group(words.UpperFirst(name))
		for _, f := range words.SayAll(asked[name], words.Assessor) {
			t.Add(document.TextCell(f.Subject), document.TextCell(f.Text()), document.TextCell(f.Fix),
				show.PlaceCell(f.Pos))
		}
	}
	return s.Add(t)
}

// questionsByWhom sorts the open questions by the one who can answer them.
func questionsByWhom(v *show.View) (who []string, asked map[string][]finding.Finding) {
	asked = map[string][]finding.Finding{}
	for _, f := range v.Findings() {
		if f.Severity != finding.Ask {
			continue
		}
		name := cmp.Or(words.Whom(f.Who), "the maker")
		who = words.AddOnce(who, name)
		asked[name] = append(asked[name], f)
	}
	slices.Sort(who)
	return who, asked
}
