package pack

import (
	"slices"

	"gallipot/dossier/document"
	"gallipot/dossier/profile"
	"gallipot/dossier/sections"
	"gallipot/dossier/show"
)

// partA follows Annex I Part A of Regulation (EC) 1223/2009, section by section.
func partA(v *show.View, c *cited, p profiles) *document.Section {
	a := &document.Section{ID: "part-a", Number: "A", Title: "Part A: safety information", Quiet: true}
	part := func(number, id, title string, build ...func() *document.Section) {
		s := a.AddSection(id, title)
		s.Number = "A." + number
		s.Subsections = slices.DeleteFunc(sideBySide(build...), func(x *document.Section) bool { return x == nil })
	}
	// flat is a part of one subject: its blocks stand under the heading of the part.
	flat := func(number, id, title string, of ...*document.Section) {
		s := a.AddSection(id, title)
		s.Number = "A." + number
		for _, x := range of {
			if x.Intro != "" {
				s.Add(document.Para(x.Intro))
			}
			s.Add(x.Blocks...)
		}
	}
	part("1", "a1", "Quantitative and qualitative composition",
		func() *document.Section { return sections.ProductSection(v) },
		func() *document.Section { return formulaPages(v) },
		func() *document.Section { return methodPages(v) },
		func() *document.Section { return compositionPages(v) },
		func() *document.Section { return allergenPages(v) },
		func() *document.Section { return listPages(v) }, func() *document.Section { return limitPages(v) },
		func() *document.Section { return fragrancePages(v) })
	part("2", "a2", "Physical and chemical characteristics and stability",
		func() *document.Section { return characteristicsPages(v) },
		func() *document.Section { return stabilityPages(v) })
	part("3", "a3", "Microbiological quality",
		func() *document.Section { return microPages(v, c) }, func() *document.Section { return challengePages(v) })
	part("4", "a4", "Impurities, traces and packaging", func() *document.Section { return impuritiesPages(v) },
		func() *document.Section { return sections.PackagingSection(v) })
	flat("5", "a5", "Normal and reasonably foreseeable use", sections.UseSection(v))
	flat("6", "a6", "Exposure to the product", exposurePages(v))
	flat("7", "a7", "Exposure to the substances", exampleOf(v))
	part("8", "a8", "Toxicological profile of the substances",
		func() *document.Section { return marginPages(v, c) }, func() *document.Section { return noMarginPages(v) },
		func() *document.Section { return profile.Endpoints(p.all) })
	a8 := a.Subsections[len(a.Subsections)-1]
	a8.Subsections = append(a8.Subsections, profilePages(v, p, c)) // after the margins: both number their sources
	flat("9", "a9", "Undesirable effects and serious undesirable effects", sections.EffectsSection(v))
	flat("10", "a10", "Information on the product", sections.OtherSection(v))
	a10 := a.Subsections[len(a.Subsections)-1]
	a10.Add(photographs(v)...)
	return a
}

// restOfFile is what the product information file holds besides the report.
func restOfFile(v *show.View) *document.Section {
	s := &document.Section{ID: "file", Number: "C", Title: "The rest of the product information file",
		NewPage: true,
		Intro:   "Article 11(2) of Regulation (EC) 1223/2009 asks for these beside the safety report; the file is kept for ten years after the last batch was placed on the market."}
	making := s.AddSection("c-making", "Method of manufacture and good manufacturing practice")
	if len(v.A.Product.Process) > 0 {
		making.Add(sections.ProcessTable(v))
	} else {
		making.Add(document.Para("No method of manufacture is stated in the product file."))
	}
	making.Add(sections.ProductPapers(v, "c-gmp", "Statement of good manufacturing practice", "gmp",
		"No statement is entered: the maker has to declare that making follows good manufacturing practice (ISO 22716), and to keep the declaration with the file."))
	claims := s.AddSection("c-claims", "Proof of the effect claimed")
	t := &document.Table{ID: "claims-table", Title: "Claims as worded", SheetName: "Product",
		Empty: "The product file makes no claim.", Columns: []document.Column{{Head: "No.",
			Kind: document.KindNumber}, {Head: "Claim", Weight: 2}}}
	for i, c := range v.A.Product.Claims {
		t.Add(document.IntCell(i+1), document.TextCell(c.Text))
	}
	claims.Add(t, sections.ProductPapers(v, "c-proof", "Documents entered as proof", "claim",
		"No proof is entered for any claim."))
	s.AddSection("c-animals", "Animal testing").Add(sections.AnimalTable(v))
	return s
}

// annexes hold what the report refers to.
func annexes(v *show.View, c *cited) *document.Section {
	s := &document.Section{ID: "annexes", Number: "D", Title: "Annexes", NewPage: true, Quiet: true}
	s.Subsections = sideBySide(func() *document.Section { return readinessPages(v) },
		func() *document.Section { return contributionPages(v) }, func() *document.Section { return c.sources(v) })
	return s
}
