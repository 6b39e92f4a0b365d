package pack

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/answer"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// Form is Part B of a product as it is issued for writing, with a row for each place of
// Part B, each variant, market, open point, question and substance. It shows the figures
// before any answer, so that an answer given again is held against the same words.
func Form(a *assess.Assessment) *answer.Form {
	v := show.Show(a.WithoutAnswer(), "")
	c := newCited(v)
	f := &answer.Form{Product: a.Product.ID, Fingerprint: a.Fingerprint, Day: a.Options.Date}
	for _, head := range partHeads() {
		p := answer.Part{ID: "answers-" + strings.ToLower(head.Key), Number: "B." + head.Key[1:], Title: head.Label}
		switch head.Key {
		case "B1":
			p.Intro = "Write into the shaded places and leave everything else as it is: answers are found by the code in the first cell of a row. Figures are those before any answer."
			p.Groups = []answer.Group{itemGroup(v, "B1", head.Label), variantGroup(v), marketGroup(v),
				pointGroup(v, c)}
		case "B3":
			p.Groups = []answer.Group{itemGroup(v, "B3", head.Label), questionGroup(v, c)}
		case "B4":
			p.Groups = []answer.Group{valueGroup(v), itemGroup(v, "B4", head.Label)}
		default:
			p.Groups = []answer.Group{itemGroup(v, head.Key, head.Label)}
		}
		f.Parts = append(f.Parts, p)
	}
	f.Seal()
	return f
}

// FormDocument is the form as a document of its own, with what an answer says in its
// places; nil leaves room to write.
func FormDocument(a *assess.Assessment, given *answer.Reading) *document.Document {
	base := show.Show(a, "").Document("Part B: safety assessment")
	base.Marks = nil
	if given != nil {
		base.Caution = "the assessor's words; a safety assessment only when signed by the qualified assessor"
	}
	return Form(a).Document(*base, given)
}

// answerSections are the rows of the form for the workbook.
func answerSections(a *assess.Assessment) []*document.Section { return Form(a).Sections(nil) }

// partHeads are the headings of Part B.
//
// Source: part-b.csv; Regulation (EC) 1223/2009 Annex I Part B.
func partHeads() (list []*tox.Item) {
	seen := map[string]bool{}
	for _, i := range tox.Builtin().PartB() {
		if !seen[i.Heading] {
			seen[i.Heading] = true
			list = append(list, i)
		}
	}
	last := *list[len(list)-1] // the heading of B.4 has a place to write of its own
	last.Label = titleOfB4
	list[len(list)-1] = &last
	return list
}

const titleOfB4 = "Assessor's credentials and approval of Part B"

// itemGroup are the places of Part B under a heading, with what the file states already.
func itemGroup(v *show.View, heading, title string) answer.Group {
	g := answer.Group{ID: "answers-items-" + strings.ToLower(heading), Title: title, Kind: answer.Items,
		Columns: []answer.Column{{Head: "What", Weight: 1.5}, {Head: "Answer", Weight: 2.6, Answer: true}}}
	for _, i := range tox.Builtin().PartB() {
		if i.Heading != heading || i.Answer == tox.AnswerHeading || i.Answer == tox.AnswerValues ||
			i.Answer == tox.AnswerPoints {
			continue
		}
		g.Rows = append(g.Rows, answer.Row{Code: i.Key, Item: i, Issued: []string{itemLabel(i), statedItem(v, i)}})
	}
	return g
}

// itemLabel is a place with what it rests on and the words to choose from.
func itemLabel(i *tox.Item) string {
	s := i.Label
	if i.RestsOn != "" {
		s += " (" + i.RestsOn + ")"
	}
	if len(i.Choices) > 0 {
		s += ": " + strings.Join(i.Choices, " / ")
	}
	if i.Answer == tox.AnswerDate {
		s += ": year-month-day"
	}
	return s
}

// statedItem is what the file states at a place; "" where the assessor has to.
func statedItem(v *show.View, i *tox.Item) string {
	p := v.A.Product
	switch {
	case i.Answer != tox.AnswerStated:
		return ""
	case i.Key == "B1b":
		return fmt.Sprintf("%s, revision %d: %s", p.ID, p.Revision, p.Name)
	case i.Key == "B1c":
		return v.A.Fingerprint
	}
	var markets []string
	for _, m := range v.A.Markets {
		markets = append(markets, string(m))
	}
	return fmt.Sprintf("%s; law of %s, read to %s", strings.Join(markets, ", "), v.A.Options.Date, lawTo(v))
}

var validChoices = []string{"valid", "valid on condition", "not valid"}

func validColumns(head string) []answer.Column {
	return []answer.Column{{Head: head, Weight: 1.6}, {Head: "Valid", Answer: true, Choices: validChoices,
		Weight: 1.3}, {Head: "On condition", Answer: true, Weight: 1.6}}
}

func variantGroup(v *show.View) answer.Group {
	g := answer.Group{ID: "answers-variants", Title: "Variants that the assessment is valid for",
		Kind: answer.Variants, Columns: validColumns("Variant")}
	for i, x := range v.Variants {
		id := words.OrWord(x.ID, v.A.Product.ID)
		g.Rows = append(g.Rows, answer.Row{Code: answer.Code("V", i+1), ID: id,
			Issued: []string{calledBy(variantOrProduct(v, show.VariantName(x), x.ID), id), "", ""}})
	}
	return g
}

// calledBy is a name with its code, unless it ends with it.
func calledBy(name, id string) string {
	if strings.HasSuffix(strings.ToLower(name), strings.ToLower(id)) {
		return name
	}
	return name + ", " + id
}

func marketGroup(v *show.View) answer.Group {
	g := answer.Group{ID: "answers-markets", Title: "Markets that the assessment is valid for",
		Kind: answer.Markets, Columns: validColumns("Market")}
	for i, m := range v.A.Markets {
		g.Rows = append(g.Rows, answer.Row{Code: answer.Code("M", i+1), ID: string(m),
			Issued: []string{string(m), "", ""}})
	}
	return g
}

// pointGroup are the open points of suppliers, laboratory and maker; a stop has no place
// to accept it.
func pointGroup(v *show.View, c *cited) answer.Group {
	g := answer.Group{ID: "answers-points", Title: "Open points",
		Remark: "accepted at signature, or to be settled first", Empty: "Nothing is open.", Kind: answer.Points,
		Columns: []answer.Column{{Head: "Whom", Weight: 0.8}, {Head: "What", Weight: 2.2},
			{Head: "Answer", Answer: true, Choices: []string{"accepted", "to be settled"},
				Weight: 1}, {Head: "Because", Answer: true, Weight: 1.2}}}
	for _, o := range openList(v) {
		if len(o.points) == 0 {
			continue // worth knowing, nothing to accept
		}
		row := answer.Row{Code: answer.Code("O", len(g.Rows)+1), Points: o.points,
			Issued: []string{o.whom, c.worded(strings.TrimSuffix(o.what+"; "+o.where, "; ")), "", ""}}
		if o.stops {
			row.Points, row.Issued[2], row.Issued[3] = nil, answer.StopCell, "–"
		}
		g.Rows = append(g.Rows, row)
	}
	return g
}

func questionGroup(v *show.View, c *cited) answer.Group {
	g := answer.Group{ID: "answers-questions", Title: "Questions of S.2", Kind: answer.Questions,
		Columns: []answer.Column{{Head: "Question", Weight: 2.2}, {Head: "Where", Weight: 0.7},
			{Head: "Answer", Answer: true, Choices: []string{"accepted", "replaced", "data needed"},
				Weight: 1}, {Head: "In words", Answer: true, Weight: 1.4}}}
	for i, q := range questions(v) {
		g.Rows = append(g.Rows, answer.Row{Code: answer.Code("Q", i+1), Points: q.points,
			Issued: []string{c.worded(q.text), words.OrWord(q.where, "–"), "", ""}})
	}
	return g
}

// valueGroup are the substances with the figures in use: each may be replaced, with a
// reason.
func valueGroup(v *show.View) answer.Group {
	g := answer.Group{ID: "answers-values", Title: "Values replaced",
		Remark: "leave empty what stays as it is; none is taken over without a reason and its source",
		Kind:   answer.Values,
		Columns: []answer.Column{{Head: "Substance", Weight: 1}, {Head: "In the pack", Weight: 1.4},
			{Head: "New PoD, mg/kg bw/d, type, route", Answer: true, Weight: 0.8}, {Head: "New absorption, %",
				Answer: true, Weight: 0.7},
			{Head: "New target", Answer: true, Weight: 0.7}, {Head: "Reason and source", Answer: true, Weight: 1.2}}}
	list := sections.WorstMargins(v)
	slices.SortStableFunc(list, byMargin)
	for i, m := range list {
		g.Rows = append(g.Rows, answer.Row{Code: answer.Code("S", i+1), ID: m.INCI,
			Issued: []string{m.INCI, inUse(&m), "", "", "", ""}})
	}
	return g
}

// inUse says which figures a margin was computed from, or why there is none.
func inUse(m *sections.WorstMargin) string {
	absorbed := ""
	if c := sections.AbsorbedCell(m.Margin); c.IsFigure() {
		absorbed = "absorption " + c.String() + " %"
	}
	if m.None != "" {
		return words.Joined("; ", m.Reason, absorbed)
	}
	return words.Joined("; ", "PoD "+document.PlainFloat(m.PoD.Value)+" "+m.PoD.Type+" "+m.PoD.Route,
		absorbed, "target "+document.PlainFloat(m.Target.Value), "MoS "+document.FormatPlain(m.MoS, mosDigits))
}

// withPoint adds a finding to those behind a row, each once.
func withPoint(list []workshop.Accepted, f finding.Finding) []workshop.Accepted {
	x := assess.Point(f)
	if slices.Contains(list, x) {
		return list
	}
	return append(list, x)
}

// byMargin puts what has a margin first, the lowest over its target before the others,
// then by falling dose.
func byMargin(a, b sections.WorstMargin) int {
	return cmp.Or(cmp.Compare(a.OfTarget(), b.OfTarget()), cmp.Compare(b.SED.Max, a.SED.Max),
		cmp.Compare(a.INCI, b.INCI))
}
