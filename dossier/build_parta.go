package dossier

import (
	"cmp"
	"strings"

	"gallipot/calc"
	"gallipot/ingredients"
)

// summarySection stands before the report: what is open and what is there.
func (v *view) summarySection() *Section {
	s := &Section{ID: "summary", Number: "S", Title: "Summary", NewPage: true}
	open := v.findingsSection()
	open.Blocks = append(open.Blocks, v.questionsSection().Blocks...)
	ready := v.readinessInPack()
	ready.withoutCharts() // it stands on the cover
	s.Subsections = []*Section{open, ready}
	return s
}

// partA follows Annex I Part A of Regulation (EC) 1223/2009, section by section.
func (v *view) partA() *Section {
	a := &Section{ID: "part-a", Number: "A", Title: "Part A: safety information", NewPage: true,
		Intro: "Sections 1 to 10 of Annex I Part A of Regulation (EC) 1223/2009, as far as the workshop's files go."}
	part := func(number, id, title string, build ...func() *Section) {
		s := a.AddSection(id, title)
		s.Number = "A." + number
		s.Subsections = sections(build...)
	}
	part("1", "a1", "Quantitative and qualitative composition", v.productSection, v.listsSection, v.formulaSection, v.compositionSection, v.functionsSection, v.fragranceSection, v.allergensSection)
	part("2", "a2", "Physical and chemical characteristics and stability", v.characteristicsSection, v.stabilitySection)
	part("3", "a3", "Microbiological quality", v.microbiologySection, v.challengeSection)
	part("4", "a4", "Impurities, traces and packaging", v.impuritiesSection, v.packagingSection)
	part("5", "a5", "Normal and reasonably foreseeable use", v.useSection)
	part("6", "a6", "Exposure to the product", v.exposureSection)
	part("7", "a7", "Exposure to the substances", v.dosesSection)
	part("8", "a8", "Toxicological profile of the substances", v.marginsSection, v.gapsSection)
	part("9", "a9", "Undesirable effects and serious undesirable effects", v.effectsSection)
	part("10", "a10", "Information on the product", v.headroomSection, v.otherSection)
	return a
}

// partB is for the assessor alone: ruled fields and nothing filled in.
func (v *view) partB() *Section {
	s := &Section{ID: "part-b", Number: "B", Title: "Part B: safety assessment", NewPage: true,
		Intro: "For the qualified safety assessor alone. Nothing here is filled in by the program."}
	s.AddSection("b1", "Assessment conclusion").Add(&Fields{Items: []Field{{Label: "Statement on the safety of the product under Article 3 of Regulation (EC) 1223/2009", Lines: 6}}})
	s.AddSection("b2", "Labelled warnings and instructions of use").Add(&Fields{Items: []Field{{Label: "Warnings and instructions that have to be on the label under Article 19(1)(d)", Lines: 5}}})
	s.AddSection("b3", "Reasoning").Add(&Fields{Items: []Field{
		{Label: "Reasoning from Part A, with the margins of safety where they are relevant", Lines: 12},
		{Label: "Products for children under three and for external intimate hygiene: the specific assessment", Lines: 4},
		{Label: "Interactions of the substances; why profiles were considered or not; impact of stability", Lines: 5},
	}})
	s.AddSection("b4", "Assessor").Add(&Fields{Items: []Field{
		{Label: "Name"}, {Label: "Address", Lines: 2}, {Label: "Qualification", Hint: "proof attached", Lines: 2}, {Label: "Fingerprint of the figures assessed", Hint: "stands at the foot of every page"},
		{Label: "Date"}, {Label: "Signature", Lines: 2},
	}})
	return s
}

// restOfFile is what the product information file holds besides the report.
func (v *view) restOfFile() *Section {
	s := &Section{ID: "file", Number: "C", Title: "The rest of the product information file", NewPage: true,
		Intro: "Article 11(2) of Regulation (EC) 1223/2009 asks for these beside the safety report; the file is kept for ten years after the last batch was placed on the market."}
	making := s.AddSection("c-making", "Method of manufacture and good manufacturing practice")
	if len(v.a.Product.Process) > 0 {
		making.Add(v.processTable())
	} else {
		making.Add(Para("No method of manufacture is stated in the product file."))
	}
	making.Add(v.productPapers("c-gmp", "Statement of good manufacturing practice", "gmp", "No statement is entered. The maker declares that making follows good manufacturing practice (ISO 22716) and keeps the declaration with the file."))
	claims := s.AddSection("c-claims", "Proof of the effect claimed")
	t := &Table{ID: "claims-table", SheetName: "Claims", Empty: "The product file makes no claim.", Columns: []Column{{Head: "Claim as worded", Weight: 2}, {Head: "Place"}}}
	for _, c := range v.a.Product.Claims {
		t.Add(TextCell(c.Text), placeCell(c.Pos))
	}
	claims.Add(t, v.productPapers("c-proof", "Papers entered as proof", "claim", "No proof is entered for any claim."))
	s.AddSection("c-animals", "Animal testing").Add(v.animalTable())
	return s
}

// annexes hold what the report refers to.
func (v *view) annexes() *Section {
	s := &Section{ID: "annexes", Number: "D", Title: "Annexes", NewPage: true}
	s.Subsections = sections(v.wordingSection, v.limitsSection, v.limitsConsideredSection, v.contributionsSection, v.sourcesSection)
	return s
}

// functionsSection says what each raw material is for.
func (v *view) functionsSection() *Section {
	s := &Section{ID: "functions", Title: "Function and identity of the raw materials"}
	t := &Table{ID: "functions-table", SheetName: "Raw materials", Columns: []Column{{Head: "Raw material", Fixed: true, Weight: 1.4}, {Head: "Supplier and code", Weight: 1.2}, {Head: "Form"}, {Head: "Function", Weight: 1.4}, {Head: "Composition"}, {Head: "Sheet"}}}
	for _, m := range v.a.UsedSheets() {
		t.Add(TextCell(cmp.Or(m.Name, m.ID)), v.supplierCell(m.ID), textOr(m.Form), textOr(strings.Join(m.Functions, ", ")), compositionCell(m), TextCell(m.Pos.File))
	}
	return s.Add(t)
}

// compositionCell says how much of a material's composition is known.
func compositionCell(s *ingredients.Sheet) Cell {
	c := s.Composition
	switch {
	case c.HeldByAssessor:
		return TextCell("held by the assessor in confidence")
	case len(c.Constituents) == 0:
		return MissingCell("not disclosed")
	case !c.Complete:
		return VerdictCell(VerdictOpen, "not complete")
	}
	return TextCell("complete, " + count(len(c.Constituents), "substance", "substances"))
}

// characteristicsSection covers raw materials, substances and the finished
// product.
func (v *view) characteristicsSection() *Section {
	s := &Section{ID: "characteristics", Title: "Characteristics"}
	t := &Table{ID: "characteristics-materials", Title: "Raw materials as supplied", SheetName: "Characteristics", Columns: []Column{{Head: "Raw material", Fixed: true, Weight: 1.4}, {Head: "Form"}, {Head: "pH"},
		{Head: "Density", Unit: "g/ml", Kind: KindNumber}, {Head: "Melts at", Unit: "°C", Kind: KindNumber}, {Head: "Flash point", Unit: "°C", Kind: KindNumber}}}
	for _, m := range v.a.UsedSheets() {
		ph := MissingCell("not supplied")
		if m.Physical.PH != nil {
			ph = NumRangeCell(*m.Physical.PH)
		}
		t.Add(TextCell(cmp.Or(m.Name, m.ID)), textOr(m.Form), ph, suppliedOr(m.Physical.DensityGML), suppliedOr(m.Physical.MeltingC), suppliedOr(m.Physical.FlashC))
	}
	sub := &Table{ID: "characteristics-substances", Title: "Substances: molar mass and log Pow, where the tables hold them", SheetName: "Characteristics", Empty: "The tables hold none for the substances of this product.",
		Columns: []Column{{Head: "Substance (INCI)", Fixed: true, Weight: 1.4}, {Head: "Molar mass", Unit: "g/mol", Kind: KindNumber}, {Head: "log Pow", Kind: KindNumber}, {Head: "Row", Weight: 1.4}}}
	for _, x := range v.substances() {
		for _, row := range v.a.Options.Law.Tox(x.INCI, x.CAS) {
			if row.MW == nil && row.LogP == nil {
				continue
			}
			mw, logP := MissingCell("not in the table"), MissingCell("not in the table")
			if own := v.a.Options.Law.MassOf(x.INCI, x.CAS); own != nil {
				mw = TextCell(own.Text)
			}
			if row.LogP != nil {
				logP = TextCell(row.LogP.Text)
			}
			sub.Add(TextCell(substanceName(x)), mw.MarkedIf(row.FromMemory(), memoryMark), logP.MarkedIf(row.FromMemory(), memoryMark), TextCell("tox-values.csv, row "+row.Key))
			break
		}
	}
	return s.Add(v.specificationTable(), t, sub)
}

func suppliedOr(n *ingredients.Num) Cell {
	if n == nil {
		return MissingCell("not supplied")
	}
	return NumCell(*n, RuleExact)
}

// packagingSection shows the pack that touches the product.
func (v *view) packagingSection() *Section {
	s := &Section{ID: "packaging", Title: "Packaging material"}
	t := &Table{ID: "packaging-parts", SheetName: "Packaging", Empty: "No packaging is stated.", Columns: []Column{{Head: "Part", Fixed: true}, {Head: "Material"}, {Head: "Volume", Unit: "ml", Kind: KindNumber}}}
	for _, p := range v.a.Product.Packaging {
		t.Add(TextCell(p.Part), textOr(p.Material), exactOrBlank(p.ML))
	}
	return s.Add(t, v.productPapers("packaging-papers", "Statements on packaging and compatibility", "packaging", "No statement on the packaging material is entered."))
}

// productPapers lists the papers of one kind that the product file names.
func (v *view) productPapers(id, title, kind, empty string) *Table {
	t := &Table{ID: id, Title: title, Empty: empty, Columns: []Column{{Head: "Paper", Fixed: true, Weight: 1.4}, {Head: "Dated"}, {Head: "File", Weight: 1.4}}}
	for _, d := range v.a.Product.Documents {
		if d.Kind == kind || kind == "packaging" && d.Kind == "compatibility" {
			t.Add(TextCell(ProductDocumentKinds[d.Kind]), DateCell(d.Dated), textOr(d.File))
		}
	}
	return t
}

// impuritiesSection shows traces and what the law asks of raw materials.
func (v *view) impuritiesSection() *Section {
	s := &Section{ID: "impurities", Title: "Impurities and traces",
		Intro: "Traces that the sheets declare, against published figures, and the criteria that entries of the limit tables set for raw materials. A sheet that declares no impurity leaves it unknown."}
	t := &Table{ID: "impurities-criteria", Title: "Criteria for raw materials to be confirmed by the suppliers", SheetName: "Criteria", Empty: "No row sets a criterion for a raw material of this product.",
		Columns: []Column{{Head: "Raw material", Fixed: true}, {Head: "Supplier"}, {Head: "Substance"}, {Head: "What is asked", Weight: 2.4}, {Head: "Row"}}}
	seen := map[string]bool{}
	for _, r := range v.a.Results {
		for _, c := range calc.Criteria(r.Input, r.Compositions) {
			key := c.Ingredient + c.Substance + c.Text
			if !seen[key] {
				seen[key] = true
				t.Add(TextCell(c.Ingredient), TextCell(c.Supplier), TextCell(c.Substance), TextCell(c.Text), TextCell(c.Row.Key))
			}
		}
	}
	return s.Add(v.traceTable(), t)
}

// useSection says who uses the product, where and how.
func (v *view) useSection() *Section {
	p := v.a.Product
	s := &Section{ID: "use", Title: "Use as stated", Intro: "What the product file states. Foreseeable misuse is listed for the assessor to answer."}
	t := &Table{ID: "use-stated", Columns: []Column{{Head: "Item", Fixed: true, Weight: 0.7}, {Head: "As stated", Weight: 2.5, Kind: KindText}}}
	t.Add(TextCell("Intended for"), TextCell(string(p.IntendedFor)))
	t.Add(TextCell("Where it is used"), textOr(strings.Join(p.BodyAreas, ", ")))
	t.Add(TextCell("Left on or rinsed off"), TextCell(v.rinseText()))
	t.Add(TextCell("Directions"), textOr(p.Directions.Text))
	t.Add(TextCell("Warnings"), textOr(sentences(p.Warnings)))
	t.Add(TextCell("Professional use only"), professionalCell(p.Professional))
	misuse := &Fields{}
	for _, item := range []string{"Contact with the eyes", "Swallowed by a child", "Used on another part of the body", "Used more often or more of it than meant", "Used on broken or irritated skin", "Slipping on a wet floor", "Breathed in"} {
		misuse.Items = append(misuse.Items, Field{Label: item})
	}
	return s.Add(t, Para("Foreseeable misuse, for the assessor:"), misuse)
}

func professionalCell(p *bool) Cell {
	switch {
	case p == nil:
		return MissingCell("not stated")
	case *p:
		return TextCell("yes")
	}
	return TextCell("no")
}

// otherSection lists what else is known of the product.
func (v *view) otherSection() *Section {
	s := &Section{ID: "other", Title: "Other information"}
	t := &Table{ID: "other-papers", SheetName: "Product papers", Empty: "No further paper is entered for the product.", Columns: []Column{{Head: "Paper", Fixed: true, Weight: 1.4}, {Head: "Dated"}, {Head: "File", Weight: 1.4}}}
	for _, d := range v.a.Product.Documents {
		t.Add(TextCell(cmp.Or(ProductDocumentKinds[d.Kind], d.Kind)), DateCell(d.Dated), textOr(d.File))
	}
	return s.Add(t)
}

// animalTable shows which suppliers have made a statement on animal testing.
func (v *view) animalTable() *Table {
	t := &Table{ID: "animal-statements", SheetName: "Animal testing", Columns: []Column{{Head: "Supplier", Fixed: true}, {Head: "Raw materials", Weight: 1.6}, {Head: "Statement", Weight: 1.4}}}
	var suppliers []string
	materials, papers := map[string][]string{}, map[string]string{}
	for _, s := range v.a.UsedSheets() {
		name := cmp.Or(s.Supplier.Name, "supplier not given")
		suppliers = addOnce(suppliers, name)
		materials[name] = append(materials[name], s.ID)
		for _, d := range s.Documents {
			if d.Kind == "animal-testing" && d.ThereOn(v.a.Options.Date) {
				papers[name] = strings.TrimSpace(d.File + " " + d.Dated.String())
			}
		}
	}
	for _, name := range suppliers {
		statement := MissingCell("not supplied")
		if papers[name] != "" {
			statement = TextCell(papers[name])
		}
		t.Add(TextCell(name), TextCell(strings.Join(materials[name], ", ")), statement)
	}
	return t
}

// wordingSection lists the wording that rows of the limit tables ask for.
func (v *view) wordingSection() *Section {
	s := &Section{ID: "wording", Title: "Wording that the limit tables ask for on the label"}
	t := &Table{ID: "wording-table", SheetName: "Label wording", Empty: "No row in force asks for a wording.", Columns: []Column{{Head: "Wording", Fixed: true, Weight: 2}, {Head: "Annex/entry"}, {Head: "Due"}, {Head: "Variants"}, {Head: "Markets"}}}
	type due struct {
		text              calc.LabelText
		variants, markets []string
	}
	var list []*due
	for _, r := range v.a.Results {
		for _, l := range calc.LabelTexts(r.Limits) {
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
			d.variants = addOnce(d.variants, shortName(r.Input.Variant))
			d.markets = addOnce(d.markets, string(r.Input.Market))
		}
	}
	for _, d := range list {
		when := "certain"
		if !d.text.Certain {
			when = "possible; printed as the cautious choice"
		}
		t.Add(TextCell(d.text.Text), TextCell(d.text.Row.Annex+"/"+d.text.Row.Entry), TextCell(when), TextCell(joinNames(d.variants)), TextCell(joinNames(d.markets)))
	}
	return s.Add(t)
}
