package pack

import (
	"fmt"
	"strings"

	"gallipot/calc/law/tox"
	"gallipot/dossier/document"
	"gallipot/dossier/sections"
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
		low = fmt.Sprintf("%s (%s, %s; target %s)", document.FormatPlain(m[0].mos, mosDigits), m[0].name,
			m[0].of, document.PlainFloat(m[0].target))
	}
	what := &document.Table{ID: "b-assessed", Title: "What is assessed",
		Columns: []document.Column{{Head: "Item"}, {Head: "State", Kind: document.KindText}}}
	for _, f := range [][2]string{
		{"Product, revision",
			p.Name + ", " + p.ID + ", revision " +
				words.Itoa(p.Revision)}, {"Fingerprint of the figures",
			v.A.Fingerprint}, {"Markets, law read to", lawTo(v)},
		{"Lowest margin", low}, {"Substances without a value", fmt.Sprintf("%d of %d", len(withoutValue(v)),
			len(sections.WorstMargins(v)))},
		{"Open points", fmt.Sprintf("%s (S.2), %s (S.3)", words.Count(len(questions(v)), "question",
			"questions"), words.Count(len(openList(v)), "point", "points"))},
	} {
		what.Add(document.TextCell(f[0]), document.TextCell(f[1]))
	}
	s.Add(what)
	for _, head := range partHeads() {
		sub := s.AddSection(strings.ToLower(head.Key), head.Label)
		first, others := places(head.Key)
		if head.Key == "B1" {
			sub.Add(first, coveredTable(v), others)
			continue
		}
		sub.Add(&document.Fields{Items: append(first.Items, others.Items...)})
	}
	return s
}

// places are those under a heading where the assessor writes: the first, and the others.
func places(heading string) (first, others *document.Fields) {
	first, others = &document.Fields{}, &document.Fields{}
	for _, i := range tox.Builtin().PartB() {
		if i.Heading != heading || i.Answer == tox.AnswerHeading || i.Answer == tox.AnswerStated {
			continue
		}
		label := i.Label
		if i.RestsOn != "" {
			label += " (" + i.RestsOn + ")"
		}
		into := others
		if len(first.Items) == 0 {
			into = first
		}
		into.Items = append(into.Items, document.Field{Code: i.Key, Label: label, Lines: i.Lines,
			Options: i.Choices})
	}
	return first, others
}

// coveredTable asks for the verdict on each variant: conclusions may differ.
func coveredTable(v *show.View) *document.Table {
	t := &document.Table{ID: "b-variants", Title: "Variants and markets covered",
		Columns: []document.Column{{Head: "Of"}, {Head: "Name"},
			{Head: "Covered", Align: document.AlignCentre}, {Head: "On condition",
				Align: document.AlignCentre}, {Head: "Not covered", Align: document.AlignCentre}}}
	for _, x := range v.Variants {
		t.Add(document.TextCell(words.OrWord(x.ID, v.A.Product.ID)),
			document.TextCell(variantOrProduct(v, show.VariantName(x),
				x.ID)), document.TickCell(false), document.TickCell(false), document.TickCell(false))
	}
	for _, m := range v.A.Markets {
		t.Add(document.TextCell(string(m)), document.TextCell("market"), document.TickCell(false),
			document.TickCell(false), document.TickCell(false))
	}
	return t
}
