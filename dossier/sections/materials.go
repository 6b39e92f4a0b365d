package sections

import (
	"cmp"
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/limits"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// FunctionsSection says what each raw material is for.
func FunctionsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "functions", Title: "Function and identity of the raw materials"}
	t := &document.Table{ID: "functions-table", SheetName: "Raw materials",
		Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 1.4},
			{Head: "Supplier and code", Weight: 1.2}, {Head: "Form"}, {Head: "Function",
				Weight: 1.4}, {Head: "Composition"}, {Head: "Sheet"}}}
	for _, m := range v.A.UsedSheets() {
		t.Add(document.TextCell(cmp.Or(m.Name, m.ID)), supplierCell(v, m.ID), show.TextOr(m.Form),
			show.TextOr(strings.Join(m.Functions, ", ")), CompositionCell(m), document.TextCell(m.Pos.File))
	}
	return s.Add(t)
}

// CompositionCell says how much of a material's composition is known.
func CompositionCell(s *ingredients.Sheet) document.Cell {
	c := s.Composition
	switch {
	case c.HeldByAssessor:
		return document.TextCell("held by the assessor in confidence")
	case len(c.Constituents) == 0:
		return document.MissingCell("not disclosed")
	case !c.Complete:
		return document.VerdictCell(document.VerdictOpen, "not complete")
	}
	return document.TextCell("complete, " + words.Count(len(c.Constituents), "substance", "substances"))
}

// CharacteristicsSection covers raw materials, substances and the finished
// product.
func CharacteristicsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "characteristics", Title: "Characteristics"}
	t := &document.Table{ID: "characteristics-materials", Title: "Raw materials as supplied",
		SheetName: "Characteristics", Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 1.4},
			{Head: "Form"}, {Head: "pH"},
			{Head: "Density", Unit: "g/ml", Kind: document.KindNumber}, {Head: "Melts at", Unit: "°C",
				Kind: document.KindNumber}, {Head: "Flash point", Unit: "°C", Kind: document.KindNumber}}}
	for _, m := range v.A.UsedSheets() {
		ph := document.MissingCell("not supplied")
		if m.Physical.PH != nil {
			ph = show.NumRangeCell(*m.Physical.PH)
		}
		t.Add(document.TextCell(cmp.Or(m.Name, m.ID)), show.TextOr(m.Form), ph, suppliedOr(m.Physical.DensityGML),
			suppliedOr(m.Physical.MeltingC), suppliedOr(m.Physical.FlashC))
	}
	sub := &document.Table{ID: "characteristics-substances",
		Title: "Substances: molar mass and log Pow, where the tables hold them", SheetName: "Characteristics",
		Empty: "The tables hold none for the substances of this product.",
		Columns: []document.Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.4},
			{Head: "Molar mass", Unit: "g/mol", Kind: document.KindNumber}, {Head: "log Pow",
				Kind: document.KindNumber}, {Head: "Row", Weight: 1.4}}}
	for _, x := range v.Substances() {
		for _, row := range law.Tox(v.A.Options.Law, x.INCI, x.CAS) {
			if row.MW == nil && row.LogP == nil {
				continue
			}
			mw, logP := document.MissingCell("not in the table"), document.MissingCell("not in the table")
			if own := law.MassOf(v.A.Options.Law, x.INCI, x.CAS); own != nil {
				mw = document.TextCell(own.Text)
			}
			if row.LogP != nil {
				logP = document.TextCell(row.LogP.Text)
			}
			sub.Add(document.TextCell(show.SubstanceName(x)), mw.MarkedIf(row.FromMemory(), show.MemoryMark),
				logP.MarkedIf(row.FromMemory(), show.MemoryMark), document.TextCell("tox-values.csv, row "+row.Key))
			break
		}
	}
	return s.Add(specificationTable(v), t, sub)
}

func suppliedOr(n *exact.Num) document.Cell {
	if n == nil {
		return document.MissingCell("not supplied")
	}
	return document.NumCell(*n, document.RuleExact)
}

// PackagingSection shows the pack that touches the product.
func PackagingSection(v *show.View) *document.Section {
	s := &document.Section{ID: "packaging", Title: "Packaging material"}
	t := &document.Table{ID: "packaging-parts", Title: "Parts of the pack", SheetName: "Product",
		Empty: "No packaging is stated.", Columns: []document.Column{{Head: "Part", Fixed: true},
			{Head: "Material"}, {Head: "Volume", Unit: "ml", Kind: document.KindNumber}}}
	for _, p := range v.A.Product.Packaging {
		t.Add(document.TextCell(p.Part), show.TextOr(p.Material), show.ExactOrBlank(p.ML))
	}
	return s.Add(t, ProductPapers(v, "packaging-papers", "Statements on packaging and compatibility",
		"packaging", "No statement on the packaging material is entered."))
}

// ProductPapers lists the papers of one kind that the product file names.
func ProductPapers(v *show.View, id, title, kind, empty string) *document.Table {
	t := &document.Table{ID: id, Title: title, Empty: empty,
		Columns: []document.Column{{Head: "Paper", Fixed: true, Weight: 1.4}, {Head: "Dated"},
			{Head: "File", Weight: 1.4}}}
	for _, d := range v.A.Product.Documents {
		if d.Kind == kind || kind == "packaging" && d.Kind == "compatibility" {
			t.Add(document.TextCell(workshop.ProductDocumentKinds[d.Kind]), document.DateCell(d.Dated),
				show.TextOr(d.File))
		}
	}
	return t
}

// ImpuritiesSection shows traces and what the law asks of raw materials.
func ImpuritiesSection(v *show.View) *document.Section {
	s := &document.Section{ID: "impurities", Title: "Impurities and traces",
		Intro: "Traces that the sheets declare, against published figures, and the criteria that entries of the limit tables set for raw materials. A sheet that declares no impurity leaves it unknown."}
	t := &document.Table{ID: "impurities-criteria",
		Title: "Criteria for raw materials to be confirmed by the suppliers", SheetName: "Criteria",
		Empty: "No row sets a criterion for a raw material of this product.",
		Columns: []document.Column{{Head: "Raw material", Fixed: true}, {Head: "Supplier"}, {Head: "Substance"},
			{Head: "What is asked", Weight: 2.4}, {Head: "Row"}}}
	seen := map[string]bool{}
	for _, r := range v.A.Results {
		for _, c := range limits.Criteria(r.Input, r.Compositions) {
			key := c.Ingredient + c.Substance + c.Text
			if !seen[key] {
				seen[key] = true
				t.Add(document.TextCell(c.Ingredient), document.TextCell(c.Supplier), document.TextCell(c.Substance),
					document.TextCell(c.Text), document.TextCell(c.Row.Key))
			}
		}
	}
	return s.Add(traceTable(v), t)
}

// UseSection says who uses the product, where and how.
func UseSection(v *show.View) *document.Section {
	p := v.A.Product
	s := &document.Section{ID: "use", Title: "Use as stated"}
	t := &document.Table{ID: "use-stated", SheetName: "Product",
		Columns: []document.Column{{Head: "Item", Fixed: true, Weight: 0.7},
			{Head: "As stated", Weight: 2.5, Kind: document.KindText}}}
	t.Add(document.TextCell("Intended for"), document.TextCell(string(p.IntendedFor)))
	t.Add(document.TextCell("Where it is used"), show.TextOr(strings.Join(p.BodyAreas, ", ")))
	t.Add(document.TextCell("Left on or rinsed off"), document.TextCell(v.RinseText()))
	t.Add(document.TextCell("Directions"), show.TextOr(p.Directions.Text))
	t.Add(document.TextCell("Warnings"), show.TextOr(Sentences(p.Warnings)))
	t.Add(document.TextCell("Professional use only"), ProfessionalCell(p.Professional))
	cases := &document.Table{ID: "use-misuse", Title: "Foreseeable misuse", Remark: "for the assessor to answer",
		Columns: []document.Column{{Head: "Case"}, {Head: "Answer", Weight: 3}}}
	for _, item := range Misuse {
		cases.Add(document.TextCell(item), document.WriteInCell())
	}
	t.Title = "Use as stated"
	return s.Add(t, cases)
}

// Misuse are the cases of foreseeable Misuse that wait for the assessor.
var Misuse = []string{"Contact with the eyes", "Swallowed by a child", "Used on another part of the body",
	"Used more often or more of it than meant", "Used on broken or irritated skin", "Slipping on a wet floor",
	"Breathed in"}

func ProfessionalCell(p *bool) document.Cell {
	switch {
	case p == nil:
		return document.MissingCell("not stated")
	case *p:
		return document.TextCell("yes")
	}
	return document.TextCell("no")
}

// OtherSection lists what else is known of the product.
func OtherSection(v *show.View) *document.Section {
	s := &document.Section{ID: "other", Title: "Other information"}
	t := &document.Table{ID: "other-papers", Title: "Documents on the product", SheetName: "Product papers",
		Empty: "No further paper is entered for the product.", Columns: []document.Column{{Head: "Paper",
			Fixed: true, Weight: 1.4}, {Head: "Dated"}, {Head: "File", Weight: 1.4}}}
	for _, d := range v.A.Product.Documents {
		t.Add(document.TextCell(cmp.Or(workshop.ProductDocumentKinds[d.Kind], d.Kind)), document.DateCell(d.Dated),
			show.TextOr(d.File))
	}
	return s.Add(t)
}

// AnimalTable shows which suppliers have made a statement on animal testing.
func AnimalTable(v *show.View) *document.Table {
	t := &document.Table{ID: "animal-statements", Title: "Statements of the suppliers",
		SheetName: "Product papers", Columns: []document.Column{{Head: "Supplier", Fixed: true},
			{Head: "Raw materials", Weight: 1.6}, {Head: "Statement", Weight: 1.4}}}
	var suppliers []string
	materials, papers := map[string][]string{}, map[string]string{}
	for _, s := range v.A.UsedSheets() {
		name := cmp.Or(s.Supplier.Name, "supplier not given")
		suppliers = words.AddOnce(suppliers, name)
		materials[name] = append(materials[name], s.ID)
		for _, d := range s.Documents {
			if d.Kind == "animal-testing" && d.ThereOn(v.A.Options.Date) {
				papers[name] = strings.TrimSpace(d.File + " " + d.Dated.String())
			}
		}
	}
	for _, name := range suppliers {
		statement := document.MissingCell("not supplied")
		if papers[name] != "" {
			statement = document.TextCell(papers[name])
		}
		t.Add(document.TextCell(name), document.TextCell(strings.Join(materials[name], ", ")), statement)
	}
	return t
}

// WordingSection lists the wording that rows of the limit tables ask for.
func WordingSection(v *show.View) *document.Section {
	s := &document.Section{ID: "wording", Title: "Wording that the limit tables ask for on the label"}
	t := &document.Table{ID: "wording-table", SheetName: "Label wording",
		Empty: "No entry in force asks for a wording.", Columns: []document.Column{{Head: "Wording", Fixed: true,
			Weight: 2}, {Head: "Annex/entry"}, {Head: "Due"}, {Head: "Variants"}, {Head: "Markets"}}}
	type due struct {
		text              limits.LabelText
		variants, markets []string
	}
	var list []*due
	for _, r := range v.A.Results {
		for _, l := range limits.LabelTexts(r.Limits) {
			var d *due
			for _, known := range list {
				if known.text.Text == l.Text {
					d = known
				}
			}
			if d == nil {
				d = &due{text: l}
				list = append(list, d)
			}
			d.variants = words.AddOnce(d.variants, show.ShortName(r.Input.Variant))
			d.markets = words.AddOnce(d.markets, string(r.Input.Market))
		}
	}
	for _, d := range list {
		when := "certain"
		if !d.text.Certain {
			when = "possible; printed as the cautious choice"
		}
		t.Add(document.TextCell(d.text.Text), document.TextCell(d.text.Row.Annex+"/"+d.text.Row.Entry),
			document.TextCell(when), document.TextCell(words.JoinNames(d.variants)),
			document.TextCell(words.JoinNames(d.markets)))
	}
	return s.Add(t)
}
