package dossier

import (
	"strings"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// productSection says what the product is, who makes it and how it is used.
func (v *view) productSection() *Section {
	p := v.a.Product
	s := &Section{ID: "product", Title: "Product and maker"}
	t := &Table{ID: "product-facts", SheetName: "Product", Columns: []Column{{Head: "Item", Fixed: true, Weight: 0.7}, {Head: "As stated", Weight: 2.5, Kind: KindText}}}
	fact := func(label string, c Cell) { t.Add(TextCell(label), c) }
	t.Group("Product")
	fact("Name", TextCell(p.Name))
	fact("Internal code, revision", TextCell(p.ID+", revision "+itoa(p.Revision)))
	fact("Product type", TextCell(v.typeName()+" ("+p.Type+")"))
	fact("Left on or rinsed off", TextCell(v.rinseText()))
	fact("Intended for", TextCell(string(p.IntendedFor)))
	fact("Where it is used", textOr(strings.Join(p.BodyAreas, ", ")))
	fact("Net content", v.netCell())
	fact("Function", textOr(p.Function.Text))
	fact("Directions", textOr(p.Directions.Text))
	fact("Warnings", textOr(sentences(p.Warnings)))
	fact("Claims", textOr(v.claimsText()))
	fact("Packaging", textOr(v.packText()))
	fact("Durability as stated", v.durabilityCell())
	fact("Made in", textOr(p.MadeIn))
	t.Group("Maker and responsible persons")
	fact("Maker", partyCell(v.a.Options.Law, v.a.Workshop.Maker))
	for _, m := range v.a.Markets {
		fact("Responsible person, "+string(m), v.responsibleCell(m))
	}
	return s.Add(t)
}

func textOr(s string) Cell {
	if s == "" {
		return MissingCell("not stated")
	}
	return TextCell(s)
}

func (v *view) rinseText() string {
	t, ok := v.a.Options.Law.ProductType(v.a.Product.Type)
	switch {
	case !ok:
		return "unknown"
	case t.RinseOff:
		return "rinsed off"
	}
	return "left on"
}

func (v *view) netCell() Cell {
	switch n := v.a.Product.Net; {
	case n.G != nil:
		return NumCell(*n.G, RuleExact).In("g")
	case n.ML != nil:
		return NumCell(*n.ML, RuleExact).In("ml")
	}
	return MissingCell("not stated")
}

func sentences(list []Sentence) string {
	var out []string
	for _, s := range list {
		out = append(out, s.Text)
	}
	return strings.Join(out, "\n")
}

func (v *view) claimsText() string {
	var out []string
	for _, c := range v.a.Product.Claims {
		out = append(out, c.Text)
	}
	return strings.Join(out, "\n")
}

func (v *view) packText() string {
	var out []string
	for _, part := range v.a.Product.Packaging {
		text := part.Part + ": " + part.Material
		if part.ML != nil {
			text += ", " + part.ML.Exact() + " ml"
		}
		out = append(out, text)
	}
	return strings.Join(out, "\n")
}

func (v *view) durabilityCell() Cell {
	switch d := v.a.Product.Durability; {
	case d.PAOMonths > 0 && d.BestBeforeMonths > 0:
		return TextCell(count(d.PAOMonths, "month", "months") + " after opening; best before " + count(d.BestBeforeMonths, "month", "months") + " from making")
	case d.PAOMonths > 0:
		return TextCell(count(d.PAOMonths, "month", "months") + " after opening")
	case d.BestBeforeMonths > 0:
		return TextCell("best before " + count(d.BestBeforeMonths, "month", "months") + " from making")
	}
	return MissingCell("not stated")
}

func partyCell(tables *law.Tables, p Party) Cell {
	if p.Name == "" {
		return MissingCell("not stated")
	}
	lines := append([]string{p.Name}, p.Address...)
	if p.Country != "" {
		lines = append(lines, countryNamed(tables, p.Country))
	}
	return TextCell(strings.Join(lines, "\n"))
}

// responsibleCell falls back to nothing: a person for one market is none for
// another, save that the one for the EU serves Northern Ireland too.
func (v *view) responsibleCell(m law.Market) Cell {
	persons := v.a.Workshop.ResponsiblePersons
	if p, ok := persons[m]; ok {
		return partyCell(v.a.Options.Law, p)
	}
	if p, ok := persons[m.Annexes()]; ok {
		return partyCell(v.a.Options.Law, p)
	}
	return MissingCell("none named for " + string(m))
}

// specificationTable shows what the finished product has to be.
func (v *view) specificationTable() *Table {
	spec := v.a.Product.Specification
	t := &Table{ID: "product-specification", Title: "Specification of the finished product", SheetName: "Product", Empty: "No specification is stated.",
		Columns: []Column{{Head: "Property", Fixed: true, Weight: 0.7}, {Head: "Accepted", Weight: 2.5}}}
	if spec.PH != nil {
		t.Add(TextCell("pH"), NumRangeCell(*spec.PH))
	}
	for _, p := range spec.Properties {
		t.Add(TextCell(upperFirst(p.Name)), TextCell(p.Text))
	}
	return t
}

// NumRangeCell prints an amount that is no content, such as a pH, as it was
// typed.
func NumRangeCell(a ingredients.Amount) Cell { return TextCell(strings.ReplaceAll(a.Text, "-", "–")) }

func (v *view) processTable() *Table {
	t := &Table{ID: "product-process", Title: "Method of manufacture", SheetName: "Process",
		Columns: []Column{{Head: "Step", Kind: KindNumber}, {Head: "Phase"}, {Head: "What is done", Weight: 3}, {Head: "Temperature", Unit: "°C", Kind: KindNumber}, {Head: "Time", Unit: "min", Kind: KindNumber}, {Head: "Speed", Unit: "1/min", Kind: KindNumber}}}
	for i, step := range v.a.Product.Process {
		t.Add(IntCell(i+1), TextCell(step.Phase), TextCell(step.Do), exactOrBlank(step.TempC), exactOrBlank(step.Minutes), exactOrBlank(step.RPM))
	}
	return t
}

func exactOrBlank(n *ingredients.Num) Cell {
	if n == nil {
		return BlankCell()
	}
	return NumCell(*n, RuleExact)
}
