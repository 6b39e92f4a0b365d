package plain

import (
	"fmt"
	"math"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// The maker, the products and the figures below are invented.

const emptyTitle = "A section with nothing in it"

const sampleCaution = "prepared for assessment; not a safety assessment"

func pct(n, d int64) exact.Num { return exact.Frac(n, d) }

func between(lo, typ, hi exact.Num) exact.Range {
	return exact.Range{Min: lo, Typ: typ, Max: hi}
}

// smallDocument has no cover, no contents, and one table.
func smallDocument() *document.Document {
	d := &document.Document{
		Title: "Weighing sheet", Subtitle: "Heath wash, plain, 2 kg", Author: "Skerry & Alder Soapworks (invented)",
		Date: 20260331, Product: "Heath wash", Revision: "revision 2", Fingerprint: "4f1c 90ab 77d2", NoContents: true,
	}
	s := d.AddSection("weigh", "To weigh")
	t := &document.Table{ID: "lines", Title: "Lines in order", SheetName: "Weighing", Columns: []document.Column{
		{Head: "Phase"}, {Head: "Material"}, {Head: "Content", Unit: "% w/w", Key: "pct"}, {Head: "Mass", Unit: "g", Key: "g"},
		{Head: "Lot"}, {Head: "Done", Align: document.AlignCentre},
	}}
	for _, l := range []struct {
		phase, name string
		pct         exact.Num
	}{
		{"A", "Water", pct(7185, 100)}, {"A", "Decyl glucoside solution", pct(27, 1)},
		{"B", "Heather fragrance oil", pct(8, 10)}, {"B", "Citric acid solution", pct(35, 100)},
	} {
		t.Add(document.TextCell(l.phase), document.TextCell(l.name), document.PctCell(l.pct), document.NumCell(l.pct.Mul(exact.Int(20)), document.RuleFixed(1)).Computed("{pct}*20"), document.WriteInCell(), document.TickCell(l.phase == "A"))
	}
	t.Total(document.TextCell(""), document.TextCell("Total"), document.PctCell(pct(100, 1)), document.NumCell(exact.Int(2000), document.RuleFixed(1)).Computed("SUM({lines!g})"), document.BlankCell(), document.BlankCell())
	s.Add(document.Para("Weigh in the order of the lines. Tick each line when it is in the vessel."), t)
	return d
}

// richDocument has every kind of block and cell, and texts that are hard to set.
func richDocument() *document.Document {
	d := &document.Document{
		Title: "Information for the safety assessment", Subtitle: "Heath wash with heather, gorse and juniper",
		Language: "en-GB", Author: "Skerry & Alder Soapworks (invented)", Subject: "Composition, limits, exposure and evidence of one product",
		Keywords: []string{"cosmetic", "Heath wash"}, Date: 20260331,
		Product: "Heath wash", Revision: "revision 2", Fingerprint: "4f1c 90ab 77d2 e015", Caution: sampleCaution,
		Marks: []document.Mark{
			{ID: "memory", Symbol: "†", Text: "rests on a value from memory, to be checked against its source before it is relied on"},
			{ID: "open", Symbol: "‡", Text: "the supplier's range straddles the threshold; treated as the cautious case"},
		},
	}
	d.Cover = &document.Cover{
		Facts: []document.Fact{
			{Label: "Product", Value: document.TextCell("Heath wash, shower gel, three variants")}, {Label: "Maker", Value: document.TextCell("Skerry & Alder Soapworks (invented), 4 Slip Lane, Northness")},
			{Label: "Markets", Value: document.TextCell("Great Britain, European Union")}, {Label: "Prepared on", Value: document.DateCell(d.Date)},
			{Label: "Responsible person, EU", Value: document.MissingCell("not supplied")}, {Label: "Findings", Value: document.LinkCell("see section 2", "findings")},
		},
		Blocks: []document.Block{
			&document.Callout{Kind: document.CalloutCaution, Title: "Not a safety assessment", Body: []*document.Paragraph{
				document.Para("This pack gathers what an assessor needs. It was computed from the maker's files and judges nothing. Only a qualified assessor can say that the product is safe, and only a signed report allows it to be sold.")}},
			sampleKeyFigures(), sampleReadiness(),
		},
	}
	sampleSummary(d)
	sampleFindings(d)
	sampleComposition(d, 60)
	sampleWide(d)
	sampleCharts(d)
	sampleForm(d)
	d.AddSection("empty", emptyTitle)
	d.NumberSections()
	return d
}

func sampleKeyFigures() *document.KeyFigures {
	return &document.KeyFigures{Items: []document.KeyFigure{
		{Label: "Substances", Value: document.IntCell(47), Note: "in the finished product"},
		{Label: "Lowest margin of safety", Value: document.FloatCell(132.4, 3).Marked("memory"), Note: "Cocamidopropyl Betaine"},
		{Label: "Relative exposure", Value: document.FloatCell(2.79, 3).In("mg/kg bw/d"), Note: "shower gel"},
		{Label: "Still missing", Value: document.IntCell(5), Note: "papers, from 3 suppliers"},
	}}
}

func sampleReadiness() *document.ReadinessBars {
	return &document.ReadinessBars{ID: "ready", Title: "How complete the file is", Rows: []document.Readiness{
		{Label: "Formula and composition", Present: 9, Missing: 0, NotNeeded: 1, Link: "composition"}, {Label: "Physical and chemical characteristics", Present: 4, Missing: 3, NotNeeded: 0, Link: ""},
		{Label: "Microbiological quality", Present: 2, Missing: 2, NotNeeded: 0, Link: ""}, {Label: "Exposure and toxicological profile", Present: 11, Missing: 1, NotNeeded: 3, Link: ""},
	}}
}

func sampleSummary(d *document.Document) {
	s := d.AddSection("summary", "What this pack says")
	s.Intro = "Each figure below stands in the section that its line leads to, with its source."
	s.Add(
		document.Rich(document.Span{Text: "The composition is in "}, document.Span{Text: "section 3", Link: "composition"}, document.Span{Text: "; the one open point is the "},
			document.Span{Text: "content of Linalool", Link: "linalool"}, document.Span{Text: ". Files: "}, document.Span{Text: "products/heath-wash.yaml", Mono: true}, document.Span{Text: "."}),
		document.List("All legal limits are kept on the highest possible content.", "Two suppliers have not declared against the longer list of allergens, so four allergens are named as the cautious choice until they do: "+loremNote(2), "Three papers are older than three years."),
		&document.Bullets{Ordered: true, Items: []*document.Paragraph{document.Para("Read the findings."), document.Para("Fill in part B."), document.Para("Sign.")}},
		&document.Callout{Kind: document.CalloutNote, Title: "Languages", Body: []*document.Paragraph{document.Para("Ελληνικά: άρωμα. Кириллица: отдушка. Latin Extended: Žižkov, Łódź, Győr, İstanbul, Rīga, ș ț. Signs: ≤ ≥ ± × µg/cm² 10⁻⁷ °C ½ – — „quoted“ … cafe\u0301, non\u2011breaking, thin\u2009space.")}},
		&document.Callout{Kind: document.CalloutStop, Title: "Emoji and marks that the fonts lack", Body: []*document.Paragraph{document.Para("A product name with a pine 🌲, a tick ✓ and a lone byte \xff must not stop the print.")}},
	)
}

func sampleFindings(d *document.Document) {
	s := d.AddSection("findings", "Findings")
	f := &document.FindingList{ID: "finding-list"}
	for i := range 14 {
		sev := finding.Severity(i % 3)
		v := workshop.With().Num("content", exact.Frac(12, 10), "%", finding.AsIs).Num("limit", exact.Int(1), "%", finding.AsIs).Quote("where", "in leave-on products").
			Num("highest", exact.Frac(6, 10), "%", finding.AsIs).
			Source("law", workshop.With().Quote("", fmt.Sprintf("highest amount in a leave-on product; invented instrument, annex 0, entry %d, GB, from 2026-01-01 (limits.csv, row X-%d)", i, i)))
		if i == 5 {
			v = v.Quote("basis", loremNote(40))
		}
		x := finding.NewFinding(sev, "over-limit", exact.Pos{File: "products/heath-wash.yaml", Line: 14 + i, Col: 34}, v).On("Invented acid")
		share := func(pos exact.Pos, pct int64, material string) finding.Term {
			return finding.Term{Pos: pos, Key: "share", Values: workshop.With().Num("share", exact.Frac(pct, 100), "%", finding.AsIs).Name("material", material)}
		}
		x.Sum = []finding.Term{share(x.Pos, 80, "blend-a"), share(exact.Pos{File: "ingredients/blend-b.yaml", Line: 6, Col: 3}, 40, "blend-b")}
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

var sampleNames = []string{
	"Aqua", "Decyl Glucoside", "Glycerin", "Sodium Cocoyl Isethionate", "Cocamidopropyl Betaine",
	"Acrylates/C10-30 Alkyl Acrylate Crosspolymer", "Linalool", "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde",
	"Bis-Ethylhexyloxyphenol Methoxyphenyl Triazine", "PEG/PPG-18/18 Dimethicone", "1,2-Hexanediol",
	"Polyglyceryl-4 Diisostearate/Polyhydroxystearate/Sebacate", "=SUM(A1:A9)", "+44 1632 960000", "@import", "-risky",
	"Methylparabenoethylpropylbutylisobutylphenoxyethanolcapryloylglycinate",
}

// sampleTable has n rows with every kind of figure.
func sampleTable(id string, n int) *document.Table {
	t := &document.Table{ID: id, Title: "Composition of the finished product, by falling content", SheetName: "Composition",
		Columns: []document.Column{
			{Head: "Substance", Key: "name"}, {Head: "CAS number"}, {Head: "Content", Unit: "% w/w", Key: "pct"},
			{Head: "Limit", Unit: "% w/w", Key: "limit"}, {Head: "Share of limit", Key: "share"}, {Head: "SED", Unit: "mg/kg bw/d"}, {Head: "Checked"}, {Head: "Outcome"},
		},
		Notes:   []string{"Contents are sums over all lines of the formula; ranges come from the suppliers' declarations and are cut to what adds up to 100."},
		Sources: []string{"products/heath-wash.yaml, revision 2"}}
	for i := range n {
		if i%20 == 0 {
			t.Group(fmt.Sprintf("Phase %c", 'A'+i/20))
		}
		name := sampleNames[i%len(sampleNames)]
		c := pct(int64(7000/(i+1)/(i+1)+1), int64(100+i*13))
		content := document.RangeCell(between(c.Quo(exact.Int(2)), c.Quo(exact.Int(4)).Mul(exact.Int(3)), c))
		if i%3 == 0 {
			content = document.PctCell(c).MarkedIf(i%6 == 0, "memory")
		}
		limit, share, outcome := document.PctCell(pct(1, 2)).From("limits.csv, row V-29 (invented)"), document.FloatCell(c.Float()/0.5, 3), document.VerdictCell(document.VerdictMet, "within")
		switch {
		case i%5 == 1:
			limit, share, outcome = document.MissingCell("no limit"), document.BlankCell(), document.VerdictCell(document.VerdictNone, "no limit")
		case i%7 == 2:
			outcome = document.VerdictCell(document.VerdictOpen, "open").Marked("open")
		case pct(1, 2).Less(c):
			outcome = document.VerdictCell(document.VerdictFail, "above")
		}
		cell := document.TextCell(name)
		if name == "Linalool" && id == "composition-table" && i < len(sampleNames) {
			cell = cell.At("linalool")
		}
		t.Add(cell, document.TextCell([]string{"7732-18-5", "68515-73-1", ""}[i%3]), content, limit, share, document.FloatCell(c.Float()*math.Pow(10, -float64(i%9)), 3), document.DateCell(exact.Date(20250211*(i%2))), outcome)
	}
	t.Total(document.TextCell("Total"), document.BlankCell(), document.PctCell(pct(100, 1)), document.BlankCell(), document.BlankCell(), document.BlankCell(), document.BlankCell(), document.BlankCell())
	return t
}

func sampleComposition(d *document.Document, n int) {
	s := d.AddSection("composition", "Quantitative and qualitative composition")
	s.Add(document.Para(loremNote(3)), sampleTable("composition-table", n))
	sub := s.AddSection("notes", "Notes that are long")
	t := &document.Table{ID: "notes-table", Title: "Assessor's notes carried over from the last revision", SheetName: "Notes",
		Columns: []document.Column{{Head: "No."}, {Head: "Subject"}, {Head: "Note", Weight: 2}, {Head: "Dated"}}}
	for i := range 4 {
		t.Add(document.IntCell(i+1), document.TextCell(sampleNames[i+5]), document.TextCell(loremNote(5+i*45)), document.DateCell(20250211))
	}
	sub.Add(t, &document.Table{ID: "none", Title: "Nanomaterials", SheetName: "Nanomaterials", Columns: []document.Column{{Head: "Substance"}, {Head: "Size"}}, Empty: "No constituent is declared as a nanomaterial."})
}

// sampleWide has more columns than a page holds.
func sampleWide(d *document.Document) {
	s := d.AddSection("wide", "Contents by variant")
	t := &document.Table{ID: "matrix", Title: "Allergens in each variant", SheetName: "By variant",
		Columns: []document.Column{{Head: "Allergen"}, {Head: "Threshold", Unit: "%", Fixed: true}}}
	for i := range 16 {
		t.Columns = append(t.Columns, document.Column{Head: fmt.Sprintf("Variant %d", i+1), Unit: "% w/w"})
	}
	for r := range 24 {
		row := []document.Cell{document.TextCell(sampleNames[r%len(sampleNames)]), document.PctCell(pct(1, 100))}
		for c := range 16 {
			cell := document.PctCell(pct(int64((r+1)*(c+3)), 3137))
			if (r+c)%11 == 0 {
				cell = document.MissingCell("not supplied")
			}
			row = append(row, cell)
		}
		t.Add(row...)
	}
	s.Add(t)
}

func sampleCharts(d *document.Document) {
	s := d.AddSection("charts", "Charts")
	s.NewPage = true
	h := &document.HBarLog{ID: "bars", Title: "Used and allowed", Unit: "% w/w", Caption: "Highest content on the worst portion."}
	for i, v := range []float64{0.0004, 0.03, 0.62, 12, math.NaN(), 0} {
		limit := []float64{0.001, 0.01, 0.5, 0, 1, 1}[i]
		r := document.HBar{Label: sampleNames[i+4], Value: v, Limit: limit, Used: document.FloatCell(v, 3), Bound: document.FloatCell(limit, 2).In("%")}
		switch {
		case limit == 0:
			r.Bound = document.BlankCell()
		case math.IsNaN(v):
			r.Used, r.State = document.MissingCell("not supplied"), document.VerdictOpen
		case v > limit:
			r.State = document.VerdictFail
		default:
			r.State = document.VerdictMet
		}
		h.Rows = append(h.Rows, r)
	}
	st := &document.StackedBar{ID: "stack", Title: "What the product is made of", Unit: "% w/w", Parts: []string{"Water", "Surfactants", "Humectants", "Salts", "Fragrance", "Preservatives", "Colour", "Undeclared", "Acids"}}
	st.Rows = []document.StackedRow{{Values: []float64{71.85, 14, 6, 2.5, 0.8, 0.9, 0.2, 3, 0.75}}}
	for _, v := range st.Rows[0].Values {
		st.Rows[0].Cells = append(st.Rows[0].Cells, document.FloatCell(v, 4))
	}
	two := &document.StackedBar{ID: "stack2", Title: "By portion", Unit: "%", Parts: []string{"Base", "Scent", "Colour"}, Rows: []document.StackedRow{
		{Label: "Heather portion", Values: []float64{95, 4, 1}, Cells: []document.Cell{document.IntCell(95), document.IntCell(4), document.IntCell(1)}},
		{Label: "Gorse portion, with the longer name", Values: []float64{97, 1, 2}, Cells: []document.Cell{document.IntCell(97), document.IntCell(1), document.IntCell(2)}}}}
	lo, hi := 5.0, 6.0
	line := &document.LineBand{ID: "ph", Title: "pH at 40 °C", XLabel: "weeks", YLabel: "pH", Lower: &lo, Upper: &hi, Caption: "The band is the specification.",
		Series: []document.LineSeries{{Name: "plain"}, {Name: "duo"}, {Name: "scrub"}}}
	for i, x := range []float64{0, 1, 2, 4, 8, 12} {
		for j := range line.Series {
			y := 5.4 - 0.05*float64(i*(j+1)) + 0.1*float64(j)
			p := document.LinePoint{X: x, Y: y, Cell: document.FloatCell(y, 3)}
			if i == 3 && j == 1 {
				p = document.LinePoint{X: x, Missing: true}
			}
			line.Series[j].Points = append(line.Series[j].Points, p)
		}
	}
	s.Add(h, st, two, line)
}

func sampleForm(d *document.Document) {
	s := d.AddSection("part-b", "For the assessor")
	s.Intro = "To be filled in by hand."
	s.Add(&document.Fields{Items: []document.Field{
		{Label: "Conclusion", Options: []string{"safe", "safe under the conditions below", "not safe"}, Lines: 2},
		{Label: "Reasoning", Hint: "Art. 10 and Annex I, part B of the regulation", Lines: 9},
		{Label: "Name", Value: "Dr. invented"}, {Label: "Qualification", Lines: 2}, {Label: "Date and signature"},
	}})
}

// loremNote is n sentences of filling.
func loremNote(n int) string {
	return strings.TrimSpace(strings.Repeat("The batch was kept in the jar it is sold in, at the temperature stated, and looked at by daylight. ", n))
}
