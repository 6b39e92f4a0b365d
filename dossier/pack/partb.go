package pack

import (
	"fmt"

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
		low = fmt.Sprintf("%s (%s, %s; target %s)", document.FormatPlain(m[0].mos, mosDigits), m[0].name, m[0].of, document.PlainFloat(m[0].target))
	}
	what := &document.Table{ID: "b-assessed", Title: "What is assessed", Columns: []document.Column{{Head: "Item"}, {Head: "State", Kind: document.KindText}}}
	for _, f := range [][2]string{
		{"Product, revision", p.Name + ", " + p.ID + ", revision " + words.Itoa(p.Revision)}, {"Fingerprint of the figures", v.A.Fingerprint}, {"Markets, law read to", lawTo(v)},
		{"Lowest margin", low}, {"Substances without a value", fmt.Sprintf("%d of %d", len(withoutValue(v)), len(sections.WorstMargins(v)))},
		{"Open points", fmt.Sprintf("%s (S.2), %s (S.3)", words.Count(len(questions(v)), "question", "questions"), words.Count(len(openList(v)), "point", "points"))},
	} {
		what.Add(document.TextCell(f[0]), document.TextCell(f[1]))
	}
	s.Add(what)
	conclusion := s.AddSection("b1", "Assessment conclusion")
	conclusion.Add(fields(field("B1a", "Statement on the safety of the product in relation to Article 3", 1, "safe", "safe under the conditions of B1e", "not safe", "not concluded")),
		coveredTable(v),
		fields(field("B1e", "Conditions: highest use, pH, pack, supplier or grade, shelf life, age, body area", 4),
			field("B1f", "Open points accepted at signature, by number; the others must be settled first", 2)))
	s.AddSection("b2", "Labelled warnings and instructions of use").Add(fields(
		field("B2a", "Warnings that Annexes III to VI set, as on the label", 1, "enough", "to add:"),
		field("B2b", "Warnings beyond the law, with the reason", 1), field("B2c", "No further warning is needed, because", 1),
		field("B2d", "Instructions of use that the exposure rests on", 1, "enough", "to change:"), field("B2e", "Label seen: version, date", 1)))
	s.AddSection("b3", "Reasoning").Add(reasoning())
	s.AddSection("b4", "Assessor's credentials and approval of Part B").Add(fields(
		field("B4", "Name and address", 2), field("B4a", "Qualification; proof attached", 1), field("B4c", "Independence or interest", 1), field("B4d", "Next review: date and events that call for an earlier one", 1),
		field("B4f", "Values replaced: substance, old, new, reason, source", 3), field("B1c", "Fingerprint of the figures assessed", 1), field("B4b", "Date and signature", 2)))
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

func fields(items ...document.Field) *document.Fields { return &document.Fields{Items: items} }

func field(code, label string, lines int, options ...string) document.Field {
	return document.Field{Code: code, Label: label, Lines: lines, Options: options}
}

// reasoning asks for the reasons that Annex I Part B.3 wants explained, one by one, each
// with the section of Part A that it rests on.
//
// Source: Regulation (EC) 1223/2009 Annex I Part B.3; Implementing Decision 2013/674/EU
// 4.3; the splitting into single lines is common practice, no source.
func reasoning() *document.Fields {
	return fields(
		field("B3a", "Composition and legal limits (A.1)", 1), field("B3b", "Physical data and stability: impact on safety (A.2)", 1), field("B3c", "Preservation: limits, challenge test, variant tested (A.3)", 1),
		field("B3d", "Impurities and traces: unavoidable and safe (A.4)", 1), field("B3e", "Packaging: suitability, migration (A.4)", 1), field("B3f", "Use, sections.Misuse, target group (A.5)", 1),
		field("B3g", "Exposure values used and why (A.6, A.7)", 1), field("B3h", "Points of departure chosen, and why (A.8)", 1), field("B3i", "Absorption used, and why (A.8)", 1),
		field("B3j", "Uncertainty factors and target margins (A.8)", 1), field("B3k", "Margins of safety discussed (A.8.1)", 1), field("B3l", "Substances without a margin: reasons (A.8.2)", 2),
		field("B3m", "Local effects: skin, eye, photo-toxicity", 1), field("B3n", "Sensitisers", 1), field("B3o", "Read-across justified", 1), field("B3p", "CMR, nano, endocrine-active substances", 1),
		field("B3q", "Interactions of the substances", 1), field("B3r", "Children under three: the specific assessment", 1), field("B3s", "External intimate hygiene: the specific assessment", 1), field("B3t", "Other vulnerable users", 1),
		field("B3u", "Undesirable effects known (A.9)", 1), field("B3v", "Studies of the product; bridging to variants", 1), field("B3w", "Worst-case variant, and why it covers the rest", 1), field("B3x", "Changes since the last assessment", 1),
		field("B3y", "Weight of evidence", 1))
}
