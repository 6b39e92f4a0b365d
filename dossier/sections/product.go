package sections

import (
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/ingredients/source"
)

// ProductSection says what the product is, who makes it and how it is used.
func ProductSection(v *show.View) *document.Section {
	p := v.A.Product
	s := &document.Section{ID: "product", Title: "Product and maker"}
	t := &document.Table{ID: "product-facts", Title: "Product and persons", SheetName: "Product",
		Columns: []document.Column{{Head: "Item", Fixed: true, Weight: 0.7},
			{Head: "As stated", Weight: 2.5, Kind: document.KindText}}}
	fact := func(label string, c document.Cell) { t.Add(document.TextCell(label), c) }
	t.Group("Product")
	fact("Name", document.TextCell(p.Name))
	fact("Internal code, revision", document.TextCell(p.ID+", revision "+words.Itoa(p.Revision)))
	fact("Product type", document.TextCell(v.TypeName()+" ("+p.Type+")"))
	fact("Net content", NetCell(v))
	fact("Function", show.TextOr(p.Function.Text))
	fact("Claims", show.TextOr(claimsText(v)))
	fact("Packaging", show.TextOr(PackText(v)))
	fact("Durability as stated", DurabilityCell(v))
	fact("Made in", OriginCell(v))
	t.Group("Maker and responsible persons")
	fact("Maker", OneLine(show.PartyCell(v.A.Options.Law, v.A.Workshop.Maker)))
	for _, m := range v.A.Markets {
		fact("Responsible person, "+string(m), OneLine(v.ResponsibleCell(m)))
	}
	return s.Add(t)
}

// OriginCell is where the product is made, as its label says it.
func OriginCell(v *show.View) document.Cell {
	made := v.A.Product.Origin(v.A.Workshop)
	if c, ok := law.Country(v.A.Options.Law, made); ok {
		made = show.CountryWords(c)
	}
	if made != "" && v.A.Product.MadeIn == "" {
		made += ", the maker's country"
	}
	return show.TextOr(made)
}

func NetCell(v *show.View) document.Cell {
	switch n := v.A.Product.Net; {
	case n.G != nil:
		return document.NumCell(*n.G, document.RuleExact).In("g")
	case n.ML != nil:
		return document.NumCell(*n.ML, document.RuleExact).In("ml")
	}
	return document.MissingCell("not stated")
}

func Sentences(list []source.Sentence) string {
	var out []string
	for _, s := range list {
		out = append(out, s.Text)
	}
	return strings.Join(out, "\n")
}

func claimsText(v *show.View) string {
	var out []string
	for _, c := range v.A.Product.Claims {
		out = append(out, c.Text)
	}
	return strings.Join(out, "\n")
}

func PackText(v *show.View) string {
	var out []string
	for _, part := range v.A.Product.Packaging {
		text := part.Part + ": " + part.Material
		if part.ML != nil {
			text += ", " + part.ML.Exact() + " ml"
		}
		out = append(out, text)
	}
	return strings.Join(out, "\n")
}

func DurabilityCell(v *show.View) document.Cell {
	switch d := v.A.Product.Durability; {
	case d.PAOMonths > 0 && d.BestBeforeMonths > 0:
		return document.TextCell(words.Count(d.PAOMonths, "month", "months") + " after opening; best before " +
			words.Count(d.BestBeforeMonths, "month", "months") + " from making")
	case d.PAOMonths > 0:
		return document.TextCell(words.Count(d.PAOMonths, "month", "months") + " after opening")
	case d.BestBeforeMonths > 0:
		return document.TextCell("best before " + words.Count(d.BestBeforeMonths, "month", "months") +
			" from making")
	}
	return document.MissingCell("not stated")
}

// specificationTable shows what the finished product has to be.
func specificationTable(v *show.View) *document.Table {
	spec := v.A.Product.Specification
	t := &document.Table{ID: "product-specification", Title: "Specification of the finished product",
		SheetName: "Product", Empty: "No specification is stated.",
		Columns: []document.Column{{Head: "Property", Fixed: true, Weight: 0.7}, {Head: "Accepted", Weight: 2.5}}}
	if spec.PH != nil {
		t.Add(document.TextCell("pH"), show.NumRangeCell(*spec.PH))
	}
	for _, p := range spec.Properties {
		t.Add(document.TextCell(words.UpperFirst(p.Name)), document.TextCell(p.Text))
	}
	return t
}

func ProcessTable(v *show.View) *document.Table {
	t := &document.Table{ID: "product-process", Title: "Method of manufacture", SheetName: "Process",
		Columns: []document.Column{{Head: "Step", Kind: document.KindNumber}, {Head: "Phase"},
			{Head: "What is done", Weight: 3}, {Head: "Temperature", Unit: "°C",
				Kind: document.KindNumber}, {Head: "Time", Unit: "min",
				Kind: document.KindNumber}, {Head: "Speed", Unit: "1/min", Kind: document.KindNumber}}}
	for i, step := range v.A.Product.Process {
		t.Add(document.IntCell(i+1), document.TextCell(step.Phase), document.TextCell(step.Do),
			show.ExactOrBlank(step.TempC), show.ExactOrBlank(step.Minutes), show.ExactOrBlank(step.RPM))
	}
	return t
}

// OneLine sets the lines of a cell behind each other.
func OneLine(c document.Cell) document.Cell {
	c.Text = strings.ReplaceAll(c.Text, "\n", ", ")
	return c
}
