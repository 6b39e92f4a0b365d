package pack

import (
	"cmp"
	"strings"

	"gallipot/calc/law"
	"gallipot/calc/limits"
	"gallipot/dossier/document"
	"gallipot/dossier/show"
	"gallipot/dossier/stability"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// summarySection stands before the report: what is open and what is there.
func summarySection(v *show.View) *document.Section {
	s := &document.Section{ID: "summary", Number: "S", Title: "Summary", NewPage: true}
	open := findingsSection(v)
	open.Blocks = append(open.Blocks, questionsSection(v).Blocks...)
	ready := readinessInPack(v)
	withoutCharts(ready) // it stands on the cover
	s.Subsections = []*document.Section{open, ready}
	return s
}

// partA follows Annex I Part A of Regulation (EC) 1223/2009, section by section.
func partA(v *show.View) *document.Section {
	a := &document.Section{ID: "part-a", Number: "A", Title: "Part A: safety information", NewPage: true,
		Intro: "Sections 1 to 10 of Annex I Part A of Regulation (EC) 1223/2009, as far as the workshop's files go."}
	part := func(number, id, title string, build ...func() *document.Section) {
		s := a.AddSection(id, title)
		s.Number = "A." + number
		s.Subsections = sections(build...)
	}
	part("1", "a1", "Quantitative and qualitative composition", func() *document.Section { return productSection(v) }, func() *document.Section { return listsSection(v) }, func() *document.Section { return formulaSection(v) }, func() *document.Section { return compositionSection(v) }, func() *document.Section { return functionsSection(v) }, func() *document.Section { return fragranceSection(v) }, func() *document.Section { return allergensSection(v) })
	part("2", "a2", "Physical and chemical characteristics and stability", func() *document.Section { return characteristicsSection(v) }, func() *document.Section { return stability.StabilitySection(v) })
	part("3", "a3", "Microbiological quality", func() *document.Section { return microbiologySection(v) }, func() *document.Section { return stability.ChallengeSection(v) })
	part("4", "a4", "Impurities, traces and packaging", func() *document.Section { return impuritiesSection(v) }, func() *document.Section { return packagingSection(v) })
	part("5", "a5", "Normal and reasonably foreseeable use", func() *document.Section { return useSection(v) })
	part("6", "a6", "Exposure to the product", func() *document.Section { return exposureSection(v) })
	part("7", "a7", "Exposure to the substances", func() *document.Section { return dosesSection(v) })
	part("8", "a8", "Toxicological profile of the substances", func() *document.Section { return marginsSection(v) }, func() *document.Section { return gapsSection(v) })
	part("9", "a9", "Undesirable effects and serious undesirable effects", func() *document.Section { return EffectsSection(v) })
	part("10", "a10", "Information on the product", func() *document.Section { return headroomSection(v) }, func() *document.Section { return otherSection(v) })
	return a
}

// partB is for the assessor alone: ruled fields and nothing filled in.
func partB(v *show.View) *document.Section {
	s := &document.Section{ID: "part-b", Number: "B", Title: "Part B: safety assessment", NewPage: true,
		Intro: "For the qualified safety assessor alone. Nothing here is filled in by the program."}
	s.AddSection("b1", "Assessment conclusion").Add(&document.Fields{Items: []document.Field{{Label: "Statement on the safety of the product under Article 3 of Regulation (EC) 1223/2009", Lines: 6}}})
	s.AddSection("b2", "Labelled warnings and instructions of use").Add(&document.Fields{Items: []document.Field{{Label: "Warnings and instructions that have to be on the label under Article 19(1)(d)", Lines: 5}}})
	s.AddSection("b3", "Reasoning").Add(&document.Fields{Items: []document.Field{
		{Label: "Reasoning from Part A, with the margins of safety where they are relevant", Lines: 12},
		{Label: "Products for children under three and for external intimate hygiene: the specific assessment", Lines: 4},
		{Label: "Interactions of the substances; why profiles were considered or not; impact of stability", Lines: 5},
	}})
	s.AddSection("b4", "Assessor").Add(&document.Fields{Items: []document.Field{
		{Label: "Name"}, {Label: "Address", Lines: 2}, {Label: "Qualification", Hint: "proof attached", Lines: 2}, {Label: "Fingerprint of the figures assessed", Hint: "stands at the foot of every page"},
		{Label: "Date"}, {Label: "Signature", Lines: 2},
	}})
	return s
}

// restOfFile is what the product information file holds besides the report.
func restOfFile(v *show.View) *document.Section {
	s := &document.Section{ID: "file", Number: "C", Title: "The rest of the product information file", NewPage: true,
		Intro: "Article 11(2) of Regulation (EC) 1223/2009 asks for these beside the safety report; the file is kept for ten years after the last batch was placed on the market."}
	making := s.AddSection("c-making", "Method of manufacture and good manufacturing practice")
	if len(v.A.Product.Process) > 0 {
		making.Add(processTable(v))
	} else {
		making.Add(document.Para("No method of manufacture is stated in the product file."))
	}
	making.Add(productPapers(v, "c-gmp", "Statement of good manufacturing practice", "gmp", "No statement is entered. The maker declares that making follows good manufacturing practice (ISO 22716) and keeps the declaration with the file."))
	claims := s.AddSection("c-claims", "Proof of the effect claimed")
	t := &document.Table{ID: "claims-table", SheetName: "Claims", Empty: "The product file makes no claim.", Columns: []document.Column{{Head: "Claim as worded", Weight: 2}, {Head: "Place"}}}
	for _, c := range v.A.Product.Claims {
		t.Add(document.TextCell(c.Text), show.PlaceCell(c.Pos))
	}
	claims.Add(t, productPapers(v, "c-proof", "Papers entered as proof", "claim", "No proof is entered for any claim."))
	s.AddSection("c-animals", "Animal testing").Add(animalTable(v))
	return s
}

// annexes hold what the report refers to.
func annexes(v *show.View) *document.Section {
	s := &document.Section{ID: "annexes", Number: "D", Title: "Annexes", NewPage: true}
	s.Subsections = sections(func() *document.Section { return wordingSection(v) }, func() *document.Section { return limitsSection(v) }, func() *document.Section { return limitsConsideredSection(v) }, func() *document.Section { return contributionsSection(v) }, func() *document.Section { return sourcesSection(v) })
	return s
}

// functionsSection says what each raw material is for.
func functionsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "functions", Title: "Function and identity of the raw materials"}
	t := &document.Table{ID: "functions-table", SheetName: "Raw materials", Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 1.4}, {Head: "Supplier and code", Weight: 1.2}, {Head: "Form"}, {Head: "Function", Weight: 1.4}, {Head: "Composition"}, {Head: "Sheet"}}}
	for _, m := range v.A.UsedSheets() {
		t.Add(document.TextCell(cmp.Or(m.Name, m.ID)), supplierCell(v, m.ID), show.TextOr(m.Form), show.TextOr(strings.Join(m.Functions, ", ")), compositionCell(m), document.TextCell(m.Pos.File))
	}
	return s.Add(t)
}

// compositionCell says how much of a material's composition is known.
func compositionCell(s *ingredients.Sheet) document.Cell {
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

// characteristicsSection covers raw materials, substances and the finished
// product.
func characteristicsSection(v *show.View) *document.Section {
	s := &document.Section{ID: "characteristics", Title: "Characteristics"}
	t := &document.Table{ID: "characteristics-materials", Title: "Raw materials as supplied", SheetName: "Characteristics", Columns: []document.Column{{Head: "Raw material", Fixed: true, Weight: 1.4}, {Head: "Form"}, {Head: "pH"},
		{Head: "Density", Unit: "g/ml", Kind: document.KindNumber}, {Head: "Melts at", Unit: "°C", Kind: document.KindNumber}, {Head: "Flash point", Unit: "°C", Kind: document.KindNumber}}}
	for _, m := range v.A.UsedSheets() {
		ph := document.MissingCell("not supplied")
		if m.Physical.PH != nil {
			ph = show.NumRangeCell(*m.Physical.PH)
		}
		t.Add(document.TextCell(cmp.Or(m.Name, m.ID)), show.TextOr(m.Form), ph, suppliedOr(m.Physical.DensityGML), suppliedOr(m.Physical.MeltingC), suppliedOr(m.Physical.FlashC))
	}
	sub := &document.Table{ID: "characteristics-substances", Title: "Substances: molar mass and log Pow, where the tables hold them", SheetName: "Characteristics", Empty: "The tables hold none for the substances of this product.",
		Columns: []document.Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.4}, {Head: "Molar mass", Unit: "g/mol", Kind: document.KindNumber}, {Head: "log Pow", Kind: document.KindNumber}, {Head: "Row", Weight: 1.4}}}
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
			sub.Add(document.TextCell(show.SubstanceName(x)), mw.MarkedIf(row.FromMemory(), show.MemoryMark), logP.MarkedIf(row.FromMemory(), show.MemoryMark), document.TextCell("tox-values.csv, row "+row.Key))
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

// packagingSection shows the pack that touches the product.
func packagingSection(v *show.View) *document.Section {
	s := &document.Section{ID: "packaging", Title: "Packaging material"}
	t := &document.Table{ID: "packaging-parts", SheetName: "Packaging", Empty: "No packaging is stated.", Columns: []document.Column{{Head: "Part", Fixed: true}, {Head: "Material"}, {Head: "Volume", Unit: "ml", Kind: document.KindNumber}}}
	for _, p := range v.A.Product.Packaging {
		t.Add(document.TextCell(p.Part), show.TextOr(p.Material), show.ExactOrBlank(p.ML))
	}
	return s.Add(t, productPapers(v, "packaging-papers", "Statements on packaging and compatibility", "packaging", "No statement on the packaging material is entered."))
}

// productPapers lists the papers of one kind that the product file names.
func productPapers(v *show.View, id, title, kind, empty string) *document.Table {
	t := &document.Table{ID: id, Title: title, Empty: empty, Columns: []document.Column{{Head: "Paper", Fixed: true, Weight: 1.4}, {Head: "Dated"}, {Head: "File", Weight: 1.4}}}
	for _, d := range v.A.Product.Documents {
		if d.Kind == kind || kind == "packaging" && d.Kind == "compatibility" {
			t.Add(document.TextCell(workshop.ProductDocumentKinds[d.Kind]), document.DateCell(d.Dated), show.TextOr(d.File))
		}
	}
	return t
}

// impuritiesSection shows traces and what the law asks of raw materials.
func impuritiesSection(v *show.View) *document.Section {
	s := &document.Section{ID: "impurities", Title: "Impurities and traces",
		Intro: "Traces that the sheets declare, against published figures, and the criteria that entries of the limit tables set for raw materials. A sheet that declares no impurity leaves it unknown."}
	t := &document.Table{ID: "impurities-criteria", Title: "Criteria for raw materials to be confirmed by the suppliers", SheetName: "Criteria", Empty: "No row sets a criterion for a raw material of this product.",
		Columns: []document.Column{{Head: "Raw material", Fixed: true}, {Head: "Supplier"}, {Head: "Substance"}, {Head: "What is asked", Weight: 2.4}, {Head: "Row"}}}
	seen := map[string]bool{}
	for _, r := range v.A.Results {
		for _, c := range limits.Criteria(r.Input, r.Compositions) {
			key := c.Ingredient + c.Substance + c.Text
			if !seen[key] {
				seen[key] = true
				t.Add(document.TextCell(c.Ingredient), document.TextCell(c.Supplier), document.TextCell(c.Substance), document.TextCell(c.Text), document.TextCell(c.Row.Key))
			}
		}
	}
	return s.Add(traceTable(v), t)
}

// useSection says who uses the product, where and how.
func useSection(v *show.View) *document.Section {
	p := v.A.Product
	s := &document.Section{ID: "use", Title: "Use as stated", Intro: "What the product file states. Foreseeable misuse is listed for the assessor to answer."}
	t := &document.Table{ID: "use-stated", Columns: []document.Column{{Head: "Item", Fixed: true, Weight: 0.7}, {Head: "As stated", Weight: 2.5, Kind: document.KindText}}}
	t.Add(document.TextCell("Intended for"), document.TextCell(string(p.IntendedFor)))
	t.Add(document.TextCell("Where it is used"), show.TextOr(strings.Join(p.BodyAreas, ", ")))
	t.Add(document.TextCell("Left on or rinsed off"), document.TextCell(v.RinseText()))
	t.Add(document.TextCell("Directions"), show.TextOr(p.Directions.Text))
	t.Add(document.TextCell("Warnings"), show.TextOr(sentences(p.Warnings)))
	t.Add(document.TextCell("Professional use only"), professionalCell(p.Professional))
	misuse := &document.Fields{}
	for _, item := range []string{"Contact with the eyes", "Swallowed by a child", "Used on another part of the body", "Used more often or more of it than meant", "Used on broken or irritated skin", "Slipping on a wet floor", "Breathed in"} {
		misuse.Items = append(misuse.Items, document.Field{Label: item})
	}
	return s.Add(t, document.Para("Foreseeable misuse, for the assessor:"), misuse)
}

func professionalCell(p *bool) document.Cell {
	switch {
	case p == nil:
		return document.MissingCell("not stated")
	case *p:
		return document.TextCell("yes")
	}
	return document.TextCell("no")
}

// otherSection lists what else is known of the product.
func otherSection(v *show.View) *document.Section {
	s := &document.Section{ID: "other", Title: "Other information"}
	t := &document.Table{ID: "other-papers", SheetName: "Product papers", Empty: "No further paper is entered for the product.", Columns: []document.Column{{Head: "Paper", Fixed: true, Weight: 1.4}, {Head: "Dated"}, {Head: "File", Weight: 1.4}}}
	for _, d := range v.A.Product.Documents {
		t.Add(document.TextCell(cmp.Or(workshop.ProductDocumentKinds[d.Kind], d.Kind)), document.DateCell(d.Dated), show.TextOr(d.File))
	}
	return s.Add(t)
}

// animalTable shows which suppliers have made a statement on animal testing.
func animalTable(v *show.View) *document.Table {
	t := &document.Table{ID: "animal-statements", SheetName: "Animal testing", Columns: []document.Column{{Head: "Supplier", Fixed: true}, {Head: "Raw materials", Weight: 1.6}, {Head: "Statement", Weight: 1.4}}}
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

// wordingSection lists the wording that rows of the limit tables ask for.
func wordingSection(v *show.View) *document.Section {
	s := &document.Section{ID: "wording", Title: "Wording that the limit tables ask for on the label"}
	t := &document.Table{ID: "wording-table", SheetName: "Label wording", Empty: "No row in force asks for a wording.", Columns: []document.Column{{Head: "Wording", Fixed: true, Weight: 2}, {Head: "Annex/entry"}, {Head: "Due"}, {Head: "Variants"}, {Head: "Markets"}}}
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
		t.Add(document.TextCell(d.text.Text), document.TextCell(d.text.Row.Annex+"/"+d.text.Row.Entry), document.TextCell(when), document.TextCell(words.JoinNames(d.variants)), document.TextCell(words.JoinNames(d.markets)))
	}
	return s.Add(t)
}
