package dossier

import (
	"cmp"
	"slices"

	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// findingsSection lists what has to be done before an assessment, the gravest
// first.
func (v *view) findingsSection() *Section {
	s := &Section{ID: "findings", Title: "Open points",
		Intro: "Stop: against a law, a certificate or a fragrance Standard, or not computable as it stands. Ask: someone must supply or decide something. Note: worth knowing."}
	bySeverity := map[ingredients.Severity][]ingredients.Finding{}
	for _, f := range v.findings() {
		bySeverity[f.Severity] = append(bySeverity[f.Severity], f)
	}
	s.Add(&FindingList{ID: "findings-stop", Title: "Stop", Findings: bySeverity[ingredients.Stop], Empty: "Nothing stops this product as far as files can tell."})
	s.Add(&FindingList{ID: "findings-ask", Title: "Ask", Findings: bySeverity[ingredients.Ask], Empty: "Nothing is asked for."})
	s.Add(&FindingList{ID: "findings-note", Title: "Note", Findings: bySeverity[ingredients.Note], Empty: "Nothing further to note."})
	return s
}

// OpenPoints builds the document of findings, each with the maker's line, the
// gravest kind first: what `gallipot check` prints.
func OpenPoints(w *Workshop, about string, findings []ingredients.Finding, day ingredients.Date) *Document {
	d := &Document{Title: "Open points", Subtitle: about, Language: "en-GB", Author: w.Maker.Name, Date: day, Caution: CautionLine, NoContents: true}
	for _, kind := range []struct {
		severity ingredients.Severity
		title    string
		empty    string
	}{
		{ingredients.Stop, "Stop: against a law, a certificate or a fragrance Standard, or not computable as it stands", "Nothing stops as far as files can tell."},
		{ingredients.Ask, "Ask: someone must supply or decide something", "Nothing is asked for."},
		{ingredients.Note, "Note: worth knowing", "Nothing further to note."},
	} {
		list := &FindingList{ID: kind.severity.String(), Empty: kind.empty, Excerpt: w.Excerpt}
		for _, f := range findings {
			if f.Severity == kind.severity {
				list.Findings = append(list.Findings, f)
			}
		}
		d.Sections = append(d.Sections, (&Section{ID: "kind-" + list.ID, Title: kind.title}).Add(list))
	}
	return d
}

// questionsSection lists what to ask, by the one who can answer.
func (v *view) questionsSection() *Section {
	s := &Section{ID: "questions", Title: "Questions, by whom they go to",
		Intro: "Each open point of kind ask, sorted by who can settle it."}
	t := &Table{ID: "questions-all", SheetName: "Questions", Title: "Questions by whom they go to", InWorkbook: true, Empty: "No question is open.",
		Columns: []Column{{Head: "About", Weight: 1}, {Head: "What is open", Weight: 2.2}, {Head: "What to do", Weight: 2}, {Head: "Place"}}}
	who, asked := v.questionsByWhom()
	for _, name := range who {
		t.Group(upperFirst(name))
		for _, f := range words.SayAll(asked[name], words.Assessor) {
			t.Add(TextCell(f.Subject), TextCell(f.Text()), TextCell(f.Fix), placeCell(f.Pos))
		}
	}
	return s.Add(t)
}

// questionsByWhom sorts the open questions by the one who can answer them.
func (v *view) questionsByWhom() (who []string, asked map[string][]ingredients.Finding) {
	asked = map[string][]ingredients.Finding{}
	for _, f := range v.findings() {
		if f.Severity != ingredients.Ask {
			continue
		}
		name := cmp.Or(words.Whom(f.Who), "the maker")
		who = addOnce(who, name)
		asked[name] = append(asked[name], f)
	}
	slices.Sort(who)
	return who, asked
}

// mostSubjects is how many subjects a line of the cover names.
const mostSubjects = 6

// subjectsOf names what a finding is about, one by one: what is asked of a supplier
// once can be about several materials.
func subjectsOf(f ingredients.Finding) []string {
	if len(f.Things) > 0 && slices.Contains(bySupplier, f.Code) {
		return materialsOf(f.Things)
	}
	return []string{f.Subject}
}

// nextSteps says on the cover who has to do what next.
func (v *view) nextSteps() *Table {
	t := &Table{ID: "cover-next", Title: "Who has to answer what next", Empty: "No question is open.",
		Columns: []Column{{Head: "Who", Fixed: true}, {Head: "Questions", Kind: KindNumber}, {Head: "About", Weight: 2.5}}}
	who, asked := v.questionsByWhom()
	slices.SortStableFunc(who, func(a, b string) int { return cmp.Compare(len(asked[b]), len(asked[a])) })
	for _, name := range who {
		var about []string
		for _, f := range asked[name] {
			for _, subject := range subjectsOf(f) {
				about = addOnce(about, subject)
			}
		}
		if n := len(about); n > mostSubjects {
			about = append(about[:mostSubjects:mostSubjects], "and "+itoa(n-mostSubjects)+" more")
		}
		t.Add(TextCell(upperFirst(name)), IntCell(len(asked[name])), TextCell(joinNames(about)))
	}
	return t
}

// materialsOf names the raw materials that things are about, each once.
func materialsOf(things ingredients.Values) []string {
	var names []string
	for _, x := range things {
		if m, ok := x.List.Get("material"); ok {
			x = m
		}
		names = addOnce(names, x.Text)
	}
	return names
}
