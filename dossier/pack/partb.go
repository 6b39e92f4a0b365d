package pack

import (
	"fmt"

	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
)

// partB is for the assessor alone: what is assessed, headings by Annex I Part B, and
// lines to write on. Nothing is filled in.
func partB(v *show.View) *document.Section {
	s := &document.Section{ID: "part-b", Number: "B", Title: "Part B: safety assessment", NewPage: true,
		Intro: "To be filled in and signed by the qualified safety assessor alone; the program fills in nothing here but what is assessed."}
	p := v.A.Product
	low := "none computed"
	if m := lowestMargins(v); len(m) > 0 {
		low = fmt.Sprintf("%s (%s, %s; target %s)", document.FormatPlain(m[0].mos, mosDigits), m[0].name, m[0].of, document.FormatPlain(m[0].target, mosDigits))
	}
	what := &document.Table{ID: "b-assessed", Title: "What is assessed", Columns: []document.Column{{Head: "Item"}, {Head: "State", Kind: document.KindText}}}
	for _, f := range [][2]string{
		{"Product, revision", p.Name + ", " + p.ID + ", revision " + words.Itoa(p.Revision)}, {"Fingerprint of the figures", v.A.Fingerprint}, {"Markets, law read to", lawTo(v)},
		{"Lowest margin", low}, {"Substances without a value", fmt.Sprintf("%d of %d", len(withoutValue(v)), len(worstMargins(v)))},
		{"Open points", fmt.Sprintf("%s (S.2), %s (S.3)", words.Count(len(questions(v)), "question", "questions"), words.Count(len(openList(v)), "point", "points"))},
	} {
		what.Add(document.TextCell(f[0]), document.TextCell(f[1]))
	}
	s.Add(what)
	conclusion := s.AddSection("b1", "Assessment conclusion")
	conclusion.Add(&document.Fields{Items: []document.Field{{Label: "Statement on the safety of the product in relation to Article 3", Options: []string{"safe", "safe under the conditions below", "not safe", "not concluded"}, Lines: 1}}}, coveredTable(v), &document.Fields{Items: []document.Field{
		{Label: "Conditions: highest use, pH, pack, supplier or grade, shelf life, age, body area", Lines: 4},
		{Label: "Open points accepted at signature, by number; the others must be settled first", Lines: 1},
	}})
	s.AddSection("b2", "Labelled warnings and instructions of use").Add(&document.Fields{Items: []document.Field{
		{Label: "Warnings and instructions that have to be on the label under Article 19(1)(d)", Options: []string{"those stated are enough", "to add:"}, Lines: 2},
		{Label: "Reason for each warning, or why none is needed", Lines: 2},
		{Label: "Label seen: version, date", Lines: 1},
	}})
	s.AddSection("b3", "Reasoning").Add(&document.Fields{Items: []document.Field{
		{Label: "Reasoning from Part A, with the margins of safety where they are relevant", Lines: 10},
		{Label: "Products for children under three and for external intimate hygiene: the specific assessment", Lines: 2},
		{Label: "Interactions of the substances", Lines: 2},
		{Label: "Why each toxicological profile was considered or not", Lines: 2},
		{Label: "Impact of stability on the safety of the product", Lines: 2},
	}})
	s.AddSection("b4", "Assessor's credentials and approval").Add(&document.Fields{Items: []document.Field{
		{Label: "Name"}, {Label: "Address", Lines: 2}, {Label: "Qualification", Hint: "proof attached"}, {Label: "Fingerprint of the figures assessed", Hint: "stands at the foot of every page"},
		{Label: "Date"}, {Label: "Signature", Lines: 2},
	}})
	return s
}

// coveredTable asks for the verdict on each variant: conclusions may differ.
func coveredTable(v *show.View) *document.Table {
	t := &document.Table{ID: "b-variants", Title: "Variants covered", Columns: []document.Column{{Head: "Variant"}, {Head: "Name"}, {Head: "Covered", Align: document.AlignCentre}, {Head: "On condition", Align: document.AlignCentre}, {Head: "Not covered", Align: document.AlignCentre}}}
	for _, x := range v.Variants {
		t.Add(document.TextCell(words.OrWord(x.ID, v.A.Product.ID)), document.TextCell(variantOrProduct(v, show.VariantName(x), x.ID)), document.TickCell(false), document.TickCell(false), document.TickCell(false))
	}
	return t
}
