package documenttest

import (
	"fmt"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// EmptyTitle heads the section of Rich in which nothing is.
const EmptyTitle = "A section with nothing in it"

// Caution stands on each page of Rich.
const Caution = "prepared for assessment; not a safety assessment"

// Small has no cover, no contents, and one table.
func Small() *document.Document {
	d := &document.Document{
		Title: "Weighing sheet", Subtitle: "Heath wash, plain, 2 kg", Author: "Skerry & Alder Soapworks (invented)",
		Date: 20260331, Product: "Heath wash", Revision: "revision 2", Fingerprint: "4f1c 90ab 77d2", NoContents: true,
	}
	s := d.AddSection("weigh", "To weigh")
	t := &document.Table{ID: "lines", Title: "Lines in order", SheetName: "Weighing", Columns: []document.Column{
		{Head: "Phase"}, {Head: "Material"}, {Head: "Content", Unit: "% w/w", Key: "pct"}, {Head: "Mass", Unit: "g",
			Key: "g"},
		{Head: "Lot"}, {Head: "Done", Align: document.AlignCentre},
	}}
	for _, l := range []struct {
		phase, name string
		pct         exact.Num
	}{
		{"A", "Water", exact.Frac(7185, 100)}, {"A", "Decyl glucoside solution", exact.Frac(27, 1)},
		{"B", "Heather fragrance oil", exact.Frac(8, 10)}, {"B", "Citric acid solution", exact.Frac(35, 100)},
	} {
		t.Add(document.TextCell(l.phase), document.TextCell(l.name), document.PctCell(l.pct),
			document.NumCell(l.pct.Mul(exact.Int(20)), document.RuleFixed(1)).
				Computed("{pct}*20"), document.WriteInCell(), document.TickCell(l.phase == "A"))
	}
	t.Total(document.TextCell(""), document.TextCell("Total"), document.PctCell(exact.Frac(100, 1)),
		document.NumCell(exact.Int(2000), document.RuleFixed(1)).
			Computed("SUM({lines!g})"), document.BlankCell(), document.BlankCell())
	s.Add(document.Para("Weigh in the order of the lines. Tick each line when it is in the vessel."), t)
	return d
}

// Rich has every kind of block and cell, and texts that are hard to set.
func Rich() *document.Document {
	d := &document.Document{
		Title: "Information for the safety assessment", Subtitle: "Heath wash with heather, gorse and juniper",
		Language: "en-GB", Author: "Skerry & Alder Soapworks (invented)",
		Subject:  "Composition, limits, exposure and evidence of one product",
		Keywords: []string{"cosmetic", "Heath wash"}, Date: 20260331,
		Product: "Heath wash", Revision: "revision 2", Fingerprint: "4f1c 90ab 77d2 e015", Caution: Caution,
		Marks: []document.Mark{
			{ID: "memory", Symbol: "†",
				Text: "rests on a value from memory, to be checked against its source before it is relied on"},
			{ID: "open", Symbol: "‡",
				Text: "the supplier's range straddles the threshold; treated as the cautious case"},
		},
	}
	d.Cover = &document.Cover{
		Facts: []document.Fact{
			{Label: "Product", Value: document.TextCell("Heath wash, shower gel, three variants")}, {Label: "Maker",
				Value: document.TextCell("Skerry & Alder Soapworks (invented), 4 Slip Lane, Northness")},
			{Label: "Markets", Value: document.TextCell("Great Britain, European Union")}, {Label: "Prepared on",
				Value: document.DateCell(d.Date)},
			{Label: "Responsible person, EU", Value: document.MissingCell("not supplied")}, {Label: "Findings",
				Value: document.LinkCell("see section 2", "findings")},
		},
		Blocks: []document.Block{
			&document.Callout{Kind: document.CalloutCaution, Title: "Not a safety assessment",
				Body: []*document.Paragraph{
					document.Para("This pack gathers what an assessor needs. It was computed from the maker's files and judges nothing. Only a qualified assessor can say that the product is safe, and only a signed report allows it to be sold.")}},
			keyFigures(), readiness(),
		},
	}
	summary(d)
	findings(d)
	composition(d, 60)
	wide(d)
	charts(d)
	form(d)
	d.AddSection("empty", EmptyTitle)
	d.NumberSections()
	return d
}

// Long is Rich with tables enough for some forty pages.
func Long() *document.Document {
	d := Rich()
	for i := range 12 {
		s := d.AddSection(fmt.Sprintf("annex-%d", i), fmt.Sprintf("Annex %d: raw material %d", i+1, i+1))
		s.NewPage = i%3 == 0
		for j := range 3 {
			sub := s.AddSection(fmt.Sprintf("annex-%d-%d", i, j), fmt.Sprintf("Constituents, lot %d", j+1))
			sub.Add(document.Para(lorem(2)), sampleTable(fmt.Sprintf("t-%d-%d", i, j), 10+7*j))
		}
	}
	d.NumberSections()
	return d
}

func keyFigures() *document.KeyFigures {
	return &document.KeyFigures{Items: []document.KeyFigure{
		{Label: "Substances", Value: document.IntCell(47), Note: "in the finished product"},
		{Label: "Lowest margin of safety", Value: document.FloatCell(132.4, 3).Marked("memory"),
			Note: "Cocamidopropyl Betaine"},
		{Label: "Relative exposure", Value: document.FloatCell(2.79, 3).In("mg/kg bw/d"), Note: "shower gel"},
		{Label: "Still missing", Value: document.IntCell(5), Note: "papers, from 3 suppliers"},
	}}
}

func readiness() *document.ReadinessBars {
	return &document.ReadinessBars{ID: "ready", Title: "How complete the file is", Rows: []document.Readiness{
		{Label: "Formula and composition", Present: 9, Missing: 0, NotNeeded: 1,
			Link: "composition"}, {Label: "Physical and chemical characteristics", Present: 4, Missing: 3,
			NotNeeded: 0, Link: ""},
		{Label: "Microbiological quality", Present: 2, Missing: 2, NotNeeded: 0,
			Link: ""}, {Label: "Exposure and toxicological profile", Present: 11, Missing: 1, NotNeeded: 3, Link: ""},
	}}
}

func summary(d *document.Document) {
	s := d.AddSection("summary", "What this pack says")
	s.Intro = "Each figure below stands in the section that its line leads to, with its source."
	s.Add(
		document.Rich(document.Span{Text: "The composition is in "},
			document.Span{Text: "section 3", Link: "composition"}, document.Span{Text: "; the one open point is the "},
			document.Span{Text: "content of Linalool",
				Link: "linalool"}, document.Span{Text: ". Files: "},
			document.Span{Text: "products/heath-wash.yaml", Mono: true}, document.Span{Text: "."}),
		document.List("All legal limits are kept on the highest possible content.",
			"Two suppliers have not declared against the longer list of allergens, so four allergens are named as the cautious choice until they do: "+lorem(2), "Three papers are older than three years."),
		&document.Bullets{Ordered: true, Items: []*document.Paragraph{document.Para("Read the findings."),
			document.Para("Fill in part B."), document.Para("Sign.")}},
		&document.Callout{Kind: document.CalloutNote, Title: "Languages",
			Body: []*document.Paragraph{document.Para("Ελληνικά: άρωμα. Кириллица: отдушка. Latin Extended: Žižkov, Łódź, Győr, İstanbul, Rīga, ș ț. Signs: ≤ ≥ ± × µg/cm² 10⁻⁷ °C ½ – — „quoted“ … cafe\u0301, non\u2011breaking, thin\u2009space.")}},
		&document.Callout{Kind: document.CalloutStop, Title: "Emoji and marks that the fonts lack",
			Body: []*document.Paragraph{document.Para("A product name with a pine 🌲, a tick ✓ and a lone byte \xff must not stop the print.")}},
	)
}

func findings(d *document.Document) {
	s := d.AddSection("findings", "Findings")
	f := &document.FindingList{ID: "finding-list"}
	for i := range 14 {
		sev := finding.Severity(i % 3)
		v := workshop.With().Num("content", exact.Frac(12, 10), "%", finding.AsIs).Num("limit", exact.Int(1), "%",
			finding.AsIs).Quote("where", "in leave-on products").
			Num("highest", exact.Frac(6, 10), "%", finding.AsIs).
			Source("law", workshop.With().
				Quote("",
					fmt.Sprintf("highest amount in a leave-on product; invented instrument, annex 0, entry %d, GB, from 2026-01-01 (limits.csv, row X-%d)", i, i)))
		if i == 5 {
			v = v.Quote("basis", lorem(40))
		}
		x := finding.NewFinding(sev, "over-limit", exact.Pos{File: "products/heath-wash.yaml", Line: 14 + i,
			Col: 34}, v).On("Invented acid")
		share := func(pos exact.Pos, pct int64, material string) finding.Term {
			return finding.Term{Pos: pos, Key: "share", Values: workshop.With().Num("share", exact.Frac(pct, 100), "%",
				finding.AsIs).Name("material", material)}
		}
		x.Sum = []finding.Term{share(x.Pos, 80, "blend-a"),
			share(exact.Pos{File: "ingredients/blend-b.yaml", Line: 6, Col: 3}, 40, "blend-b")}
		if i%4 == 0 {
			x.Variants, x.Markets = []string{"duo", "scrub"}, []string{"GB"}
			x = x.By(finding.Party{Role: finding.RoleSupplier, Name: "Fellwater Oils"})
		}
		f.Findings = append(f.Findings, x)
	}
	s.Add(f)
	sub := s.AddSection("findings-none", "A list without findings")
	sub.Add(&document.FindingList{Title: "Labels", Empty: "no finding about the labels"})
}

func form(d *document.Document) {
	s := d.AddSection("part-b", "For the assessor")
	s.Intro = "To be filled in by hand."
	s.Add(&document.Fields{Items: []document.Field{
		{Label: "Conclusion", Options: []string{"safe", "safe under the conditions below", "not safe"}, Lines: 2},
		{Label: "Reasoning", Hint: "Art. 10 and Annex I, part B of the regulation", Lines: 9},
		{Label: "Name", Value: "Dr. invented"}, {Label: "Qualification", Lines: 2}, {Label: "Date and signature"},
	}})
}

// lorem is n sentences of filling.
func lorem(n int) string {
	return strings.TrimSpace(strings.Repeat("The batch was kept in the jar it is sold in, at the temperature stated, and looked at by daylight. ", n))
}
