package label

import (
	"fmt"
	"strings"

	"gallipot/calc"
	"gallipot/calc/labelling"
	"gallipot/calc/law"
	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// Text builds what the labels of a product must say, or those of one of its
// variants: the text of each label, an item a line, then the rule behind each
// item, then what is open.
func Text(a *assess.Assessment, variant string, opt LabelOptions) *document.Document {
	v := show.Show(a, variant)
	d := v.Document("Label text, proof")
	d.NoContents = true
	labels := Labels(a, variant, opt)
	for _, x := range v.Variants {
		s := d.AddSection("label-"+show.AnchorOf(x), words.UpperFirst(show.VariantName(x)))
		for _, l := range labels {
			if l.Variant == x {
				s.Subsections = append(s.Subsections, l.section(opt.Leaflet))
			}
		}
	}
	v.Warn(d)
	d.AddSection("label-note", "Before it is printed").Add(document.Para(LabelProof), document.List(
		"The words in square brackets are missing: they are no wording for a label.",
		"Quantity, durability, precautions and function have to be in the language of the place of sale, which the program does not supply; the ingredient list stays as it is ("+law.LabelRule(a.Options.Law, "L70").Source+").",
		"The warnings that the assessor asks for belong on the label too: write them under warnings.",
	))
	return d
}

// section is one label as text.
func (l *ProductLabel) section(leaflet bool) *document.Section {
	id := "label-" + show.AnchorOf(l.Variant)
	for _, m := range l.Markets {
		id += "-" + strings.ToLower(string(m))
	}
	s := &document.Section{ID: id, Title: l.marketNames()}
	for _, line := range l.labelLines() {
		s.Add(document.Para(line))
	}
	if n := len(l.Results[0].List.Open); n > 0 {
		s.Add(document.Rich(document.Span{Text: words.Count(n, "place", "places") +
			" of the order not settled by the papers: see gallipot check " + l.A.Product.ID, Emph: true}))
	}
	findings := append(append([]finding.Finding{}, l.Findings...), l.FitFindings(leaflet)...)
	s.Add(l.rulesTable(id+"-rules"), &document.FindingList{ID: id + "-open", Title: "Open for this label",
		Findings: calc.Unique(findings), Empty: "Nothing is open for this label."})
	return s
}

// rulesTable shows what each item rests on.
func (l *ProductLabel) rulesTable(id string) *document.Table {
	t := &document.Table{ID: id, Columns: []document.Column{{Head: "Item", Fixed: true},
		{Head: "State", Weight: 0.7}, {Head: "Rules", Weight: 0.9}, {Head: "Remark", Weight: 2.4,
			Kind: document.KindText}}}
	for _, i := range l.Items {
		rules := document.TextCell(ruleNames(i)).MarkedIf(fromMemory(i), show.MemoryMark)
		if source := ruleSources(i, l.Markets); source != "" {
			rules = rules.From(source)
		}
		t.Add(document.TextCell(itemWords(i)), document.TextCell(string(i.State)), rules,
			document.TextCell(i.Remark))
	}
	return t
}

// itemWords names an item of a label.
func itemWords(i labelling.LabelItem) string {
	if i.Kind == labelling.ItemPerson && i.Lead != "" {
		return fmt.Sprintf("%s, %s", i.Kind, i.Lead)
	}
	return string(i.Kind)
}
