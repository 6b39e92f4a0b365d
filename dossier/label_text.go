package dossier

import (
	"fmt"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// LabelText builds what the labels of a product must say, or those of one of its
// variants: the text of each label, an item a line, then the rule behind each
// item, then what is open.
func LabelText(a *Assessment, variant string, opt LabelOptions) *Document {
	v := a.show(variant)
	d := v.document("Label text, proof")
	d.NoContents = true
	labels := Labels(a, variant, opt)
	for _, x := range v.variants {
		s := d.AddSection("label-"+anchorOf(x), upperFirst(variantName(x)))
		for _, l := range labels {
			if l.Variant == x {
				s.Subsections = append(s.Subsections, l.section(opt.Leaflet))
			}
		}
	}
	v.warn(d)
	d.AddSection("label-note", "Before it is printed").Add(Para(LabelProof), List(
		"The words in square brackets are missing: they are no wording for a label.",
		"Quantity, durability, precautions and function have to be in the language of the place of sale, which the program does not supply; the ingredient list stays as it is ("+a.Options.Law.LabelRule("L70").Source+").",
		"The warnings that the assessor asks for belong on the label too: write them under warnings.",
	))
	return d
}

// section is one label as text.
func (l *ProductLabel) section(leaflet bool) *Section {
	id := "label-" + anchorOf(l.Variant)
	for _, m := range l.Markets {
		id += "-" + strings.ToLower(string(m))
	}
	s := &Section{ID: id, Title: l.marketNames()}
	for _, line := range l.labelLines() {
		s.Add(Para(line))
	}
	if n := len(l.results[0].List.Open); n > 0 {
		s.Add(Rich(Span{Text: count(n, "place", "places") + " of the order not settled by the papers: see gallipot check " + l.a.Product.ID, Emph: true}))
	}
	findings := append(append([]ingredients.Finding{}, l.Findings...), l.FitFindings(leaflet)...)
	s.Add(l.rulesTable(id+"-rules"), &FindingList{ID: id + "-open", Title: "Open for this label", Findings: calc.Unique(findings), Empty: "Nothing is open for this label."})
	return s
}

// rulesTable shows what each item rests on.
func (l *ProductLabel) rulesTable(id string) *Table {
	t := &Table{ID: id, Columns: []Column{{Head: "Item", Fixed: true}, {Head: "State", Weight: 0.7}, {Head: "Rules", Weight: 0.9}, {Head: "Remark", Weight: 2.4, Kind: KindText}}}
	for _, i := range l.Items {
		rules := TextCell(ruleNames(i)).MarkedIf(fromMemory(i), memoryMark)
		if source := ruleSources(i); source != "" {
			rules = rules.From(source)
		}
		t.Add(TextCell(itemWords(i)), TextCell(string(i.State)), rules, TextCell(i.Remark))
	}
	return t
}

// itemWords names an item of a label.
func itemWords(i calc.LabelItem) string {
	if i.Kind == calc.ItemPerson && i.Lead != "" {
		return fmt.Sprintf("%s, %s", i.Kind, i.Lead)
	}
	return string(i.Kind)
}
