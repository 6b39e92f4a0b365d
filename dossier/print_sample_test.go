package dossier

import (
	"fmt"
	"math"
	"strings"

	"gallipot/ingredients"
)

// The maker, the products and the figures below are invented.

const emptyTitle = "A section with nothing in it"

const sampleCaution = "prepared for assessment; not a safety assessment"

func pct(n, d int64) ingredients.Num { return ingredients.Frac(n, d) }

func between(lo, typ, hi ingredients.Num) ingredients.Range {
	return ingredients.Range{Min: lo, Typ: typ, Max: hi}
}

// smallDocument has no cover, no contents, and one table.
func smallDocument() *Document {
	d := &Document{
		Title: "Weighing sheet", Subtitle: "Heath wash, plain, 2 kg", Author: "Skerry & Alder Soapworks (invented)",
		Date: 20260331, Product: "Heath wash", Revision: "revision 2", Fingerprint: "4f1c 90ab 77d2", NoContents: true,
	}
	s := d.AddSection("weigh", "To weigh")
	t := &Table{ID: "lines", Title: "Lines in order", SheetName: "Weighing", Columns: []Column{
		{Head: "Phase"}, {Head: "Material"}, {Head: "Content", Unit: "% w/w", Key: "pct"}, {Head: "Mass", Unit: "g", Key: "g"},
		{Head: "Lot"}, {Head: "Done", Align: AlignCentre},
	}}
	for _, l := range []struct {
		phase, name string
		pct         ingredients.Num
	}{
		{"A", "Water", pct(7185, 100)}, {"A", "Decyl glucoside solution", pct(27, 1)},
		{"B", "Heather fragrance oil", pct(8, 10)}, {"B", "Citric acid solution", pct(35, 100)},
	} {
		t.Add(TextCell(l.phase), TextCell(l.name), PctCell(l.pct), NumCell(l.pct.Mul(ingredients.Int(20)), RuleFixed(1)).Computed("{pct}*20"), WriteInCell(), TickCell(l.phase == "A"))
	}
	t.Total(TextCell(""), TextCell("Total"), PctCell(pct(100, 1)), NumCell(ingredients.Int(2000), RuleFixed(1)).Computed("SUM({lines!g})"), BlankCell(), BlankCell())
	s.Add(Para("Weigh in the order of the lines. Tick each line when it is in the vessel."), t)
	return d
}

// richDocument has every kind of block and cell, and texts that are hard to set.
func richDocument() *Document {
	d := &Document{
		Title: "Information for the safety assessment", Subtitle: "Heath wash with heather, gorse and juniper",
		Language: "en-GB", Author: "Skerry & Alder Soapworks (invented)", Subject: "Composition, limits, exposure and evidence of one product",
		Keywords: []string{"cosmetic", "Heath wash"}, Date: 20260331,
		Product: "Heath wash", Revision: "revision 2", Fingerprint: "4f1c 90ab 77d2 e015", Caution: sampleCaution,
		Marks: []Mark{
			{"memory", "†", "rests on a value from memory, to be checked against its source before it is relied on"},
			{"open", "‡", "the supplier's range straddles the threshold; treated as the cautious case"},
		},
	}
	d.Cover = &Cover{
		Facts: []Fact{
			{"Product", TextCell("Heath wash, shower gel, three variants")}, {"Maker", TextCell("Skerry & Alder Soapworks (invented), 4 Slip Lane, Northness")},
			{"Markets", TextCell("Great Britain, European Union")}, {"Prepared on", DateCell(d.Date)},
			{"Responsible person, EU", MissingCell("not supplied")}, {"Findings", LinkCell("see section 2", "findings")},
		},
		Blocks: []Block{
			&Callout{Kind: CalloutCaution, Title: "Not a safety assessment", Body: []*Paragraph{
				Para("This pack gathers what an assessor needs. It was computed from the maker's files and judges nothing. Only a qualified assessor can say that the product is safe, and only a signed report allows it to be sold.")}},
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

// longDocument is richDocument with tables enough for some forty pages.
func longDocument() *Document {
	d := richDocument()
	for i := range 12 {
		s := d.AddSection(fmt.Sprintf("annex-%d", i), fmt.Sprintf("Annex %d: raw material %d", i+1, i+1))
		s.NewPage = i%3 == 0
		for j := range 3 {
			sub := s.AddSection(fmt.Sprintf("annex-%d-%d", i, j), fmt.Sprintf("Constituents, lot %d", j+1))
			sub.Add(Para(loremNote(2)), sampleTable(fmt.Sprintf("t-%d-%d", i, j), 10+7*j))
		}
	}
	d.NumberSections()
	return d
}

func sampleKeyFigures() *KeyFigures {
	return &KeyFigures{Items: []KeyFigure{
		{"Substances", IntCell(47), "in the finished product"},
		{"Lowest margin of safety", FloatCell(132.4, 3).Marked("memory"), "Cocamidopropyl Betaine"},
		{"Relative exposure", FloatCell(2.79, 3).In("mg/kg bw/d"), "shower gel"},
		{"Still missing", IntCell(5), "papers, from 3 suppliers"},
	}}
}

func sampleReadiness() *ReadinessBars {
	return &ReadinessBars{ID: "ready", Title: "How complete the file is", Rows: []Readiness{
		{"Formula and composition", 9, 0, 1, "composition"}, {"Physical and chemical characteristics", 4, 3, 0, ""},
		{"Microbiological quality", 2, 2, 0, ""}, {"Exposure and toxicological profile", 11, 1, 3, ""},
	}}
}

func sampleSummary(d *Document) {
	s := d.AddSection("summary", "What this pack says")
	s.Intro = "Each figure below stands in the section that its line leads to, with its source."
	s.Add(
		Rich(Span{Text: "The composition is in "}, Span{Text: "section 3", Link: "composition"}, Span{Text: "; the one open point is the "},
			Span{Text: "content of Linalool", Link: "linalool"}, Span{Text: ". Files: "}, Span{Text: "products/heath-wash.yaml", Mono: true}, Span{Text: "."}),
		List("All legal limits are kept on the highest possible content.", "Two suppliers have not declared against the longer list of allergens, so four allergens are named as the cautious choice until they do: "+loremNote(2), "Three papers are older than three years."),
		&Bullets{Ordered: true, Items: []*Paragraph{Para("Read the findings."), Para("Fill in part B."), Para("Sign.")}},
		&Callout{Kind: CalloutNote, Title: "Languages", Body: []*Paragraph{Para("Ελληνικά: άρωμα. Кириллица: отдушка. Latin Extended: Žižkov, Łódź, Győr, İstanbul, Rīga, ș ț. Signs: ≤ ≥ ± × µg/cm² 10⁻⁷ °C ½ – — „quoted“ … cafe\u0301, non\u2011breaking, thin\u2009space.")}},
		&Callout{Kind: CalloutStop, Title: "Emoji and marks that the fonts lack", Body: []*Paragraph{Para("A product name with a pine 🌲, a tick ✓ and a lone byte \xff must not stop the print.")}},
	)
}

func sampleFindings(d *Document) {
	s := d.AddSection("findings", "Findings")
	f := &FindingList{ID: "finding-list"}
	for i := range 14 {
		sev := ingredients.Severity(i % 3)
		v := with().Num("content", ingredients.Frac(12, 10), "%", ingredients.AsIs).Num("limit", ingredients.Int(1), "%", ingredients.AsIs).Quote("where", "in leave-on products").
			Num("highest", ingredients.Frac(6, 10), "%", ingredients.AsIs).
			Source("law", with().Quote("", fmt.Sprintf("highest amount in a leave-on product; invented instrument, annex 0, entry %d, GB, from 2026-01-01 (limits.csv, row X-%d)", i, i)))
		if i == 5 {
			v = v.Quote("basis", loremNote(40))
		}
		x := ingredients.NewFinding(sev, "over-limit", ingredients.Pos{File: "products/heath-wash.yaml", Line: 14 + i, Col: 34}, v).On("Invented acid")
		share := func(pos ingredients.Pos, pct int64, material string) ingredients.Term {
			return ingredients.Term{Pos: pos, Key: "share", Values: with().Num("share", ingredients.Frac(pct, 100), "%", ingredients.AsIs).Name("material", material)}
		}
		x.Sum = []ingredients.Term{share(x.Pos, 80, "blend-a"), share(ingredients.Pos{File: "ingredients/blend-b.yaml", Line: 6, Col: 3}, 40, "blend-b")}
		if i%4 == 0 {
			x.Variants, x.Markets = []string{"duo", "scrub"}, []string{"GB"}
			x = x.By(ingredients.Party{Role: ingredients.RoleSupplier, Name: "Fellwater Oils"})
		}
		f.Findings = append(f.Findings, x)
	}
	s.Add(f)
	sub := s.AddSection("findings-none", "A list without findings")
	sub.Add(&FindingList{Title: "Labels", Empty: "no finding about the labels"})
}

var sampleNames = []string{
	"Aqua", "Decyl Glucoside", "Glycerin", "Sodium Cocoyl Isethionate", "Cocamidopropyl Betaine",
	"Acrylates/C10-30 Alkyl Acrylate Crosspolymer", "Linalool", "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde",
	"Bis-Ethylhexyloxyphenol Methoxyphenyl Triazine", "PEG/PPG-18/18 Dimethicone", "1,2-Hexanediol",
	"Polyglyceryl-4 Diisostearate/Polyhydroxystearate/Sebacate", "=SUM(A1:A9)", "+44 1632 960000", "@import", "-risky",
	"Methylparabenoethylpropylbutylisobutylphenoxyethanolcapryloylglycinate",
}

// sampleTable has n rows with every kind of figure.
func sampleTable(id string, n int) *Table {
	t := &Table{ID: id, Title: "Composition of the finished product, by falling content", SheetName: "Composition",
		Columns: []Column{
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
		content := RangeCell(between(c.Quo(ingredients.Int(2)), c.Quo(ingredients.Int(4)).Mul(ingredients.Int(3)), c))
		if i%3 == 0 {
			content = PctCell(c).MarkedIf(i%6 == 0, "memory")
		}
		limit, share, outcome := PctCell(pct(1, 2)).From("limits.csv, row V-29 (invented)"), FloatCell(c.Float()/0.5, 3), VerdictCell(VerdictMet, "within")
		switch {
		case i%5 == 1:
			limit, share, outcome = MissingCell("no limit"), BlankCell(), VerdictCell(VerdictNone, "no limit")
		case i%7 == 2:
			outcome = VerdictCell(VerdictOpen, "open").Marked("open")
		case pct(1, 2).Less(c):
			outcome = VerdictCell(VerdictFail, "above")
		}
		cell := TextCell(name)
		if name == "Linalool" && id == "composition-table" && i < len(sampleNames) {
			cell = cell.At("linalool")
		}
		t.Add(cell, TextCell([]string{"7732-18-5", "68515-73-1", ""}[i%3]), content, limit, share, FloatCell(c.Float()*math.Pow(10, -float64(i%9)), 3), DateCell(ingredients.Date(20250211*(i%2))), outcome)
	}
	t.Total(TextCell("Total"), BlankCell(), PctCell(pct(100, 1)), BlankCell(), BlankCell(), BlankCell(), BlankCell(), BlankCell())
	return t
}

func sampleComposition(d *Document, n int) {
	s := d.AddSection("composition", "Quantitative and qualitative composition")
	s.Add(Para(loremNote(3)), sampleTable("composition-table", n))
	sub := s.AddSection("notes", "Notes that are long")
	t := &Table{ID: "notes-table", Title: "Assessor's notes carried over from the last revision", SheetName: "Notes",
		Columns: []Column{{Head: "No."}, {Head: "Subject"}, {Head: "Note", Weight: 2}, {Head: "Dated"}}}
	for i := range 4 {
		t.Add(IntCell(i+1), TextCell(sampleNames[i+5]), TextCell(loremNote(5+i*45)), DateCell(20250211))
	}
	sub.Add(t, &Table{ID: "none", Title: "Nanomaterials", SheetName: "Nanomaterials", Columns: []Column{{Head: "Substance"}, {Head: "Size"}}, Empty: "No constituent is declared as a nanomaterial."})
}

// sampleWide has more columns than a page holds.
func sampleWide(d *Document) {
	s := d.AddSection("wide", "Contents by variant")
	t := &Table{ID: "matrix", Title: "Allergens in each variant", SheetName: "By variant",
		Columns: []Column{{Head: "Allergen"}, {Head: "Threshold", Unit: "%", Fixed: true}}}
	for i := range 16 {
		t.Columns = append(t.Columns, Column{Head: fmt.Sprintf("Variant %d", i+1), Unit: "% w/w"})
	}
	for r := range 24 {
		row := []Cell{TextCell(sampleNames[r%len(sampleNames)]), PctCell(pct(1, 100))}
		for c := range 16 {
			cell := PctCell(pct(int64((r+1)*(c+3)), 3137))
			if (r+c)%11 == 0 {
				cell = MissingCell("not supplied")
			}
			row = append(row, cell)
		}
		t.Add(row...)
	}
	s.Add(t)
}

func sampleCharts(d *Document) {
	s := d.AddSection("charts", "Charts")
	s.NewPage = true
	h := &HBarLog{ID: "bars", Title: "Used and allowed", Unit: "% w/w", Caption: "Highest content on the worst portion."}
	for i, v := range []float64{0.0004, 0.03, 0.62, 12, math.NaN(), 0} {
		limit := []float64{0.001, 0.01, 0.5, 0, 1, 1}[i]
		r := HBar{Label: sampleNames[i+4], Value: v, Limit: limit, Used: FloatCell(v, 3), Bound: FloatCell(limit, 2).In("%")}
		switch {
		case limit == 0:
			r.Bound = BlankCell()
		case math.IsNaN(v):
			r.Used, r.State = MissingCell("not supplied"), VerdictOpen
		case v > limit:
			r.State = VerdictFail
		default:
			r.State = VerdictMet
		}
		h.Rows = append(h.Rows, r)
	}
	st := &StackedBar{ID: "stack", Title: "What the product is made of", Unit: "% w/w", Parts: []string{"Water", "Surfactants", "Humectants", "Salts", "Fragrance", "Preservatives", "Colour", "Undeclared", "Acids"}}
	st.Rows = []StackedRow{{Values: []float64{71.85, 14, 6, 2.5, 0.8, 0.9, 0.2, 3, 0.75}}}
	for _, v := range st.Rows[0].Values {
		st.Rows[0].Cells = append(st.Rows[0].Cells, FloatCell(v, 4))
	}
	two := &StackedBar{ID: "stack2", Title: "By portion", Unit: "%", Parts: []string{"Base", "Scent", "Colour"}, Rows: []StackedRow{
		{"Heather portion", []float64{95, 4, 1}, []Cell{IntCell(95), IntCell(4), IntCell(1)}},
		{"Gorse portion, with the longer name", []float64{97, 1, 2}, []Cell{IntCell(97), IntCell(1), IntCell(2)}}}}
	lo, hi := 5.0, 6.0
	line := &LineBand{ID: "ph", Title: "pH at 40 °C", XLabel: "weeks", YLabel: "pH", Lower: &lo, Upper: &hi, Caption: "The band is the specification.",
		Series: []LineSeries{{Name: "plain"}, {Name: "duo"}, {Name: "scrub"}}}
	for i, x := range []float64{0, 1, 2, 4, 8, 12} {
		for j := range line.Series {
			y := 5.4 - 0.05*float64(i*(j+1)) + 0.1*float64(j)
			p := LinePoint{X: x, Y: y, Cell: FloatCell(y, 3)}
			if i == 3 && j == 1 {
				p = LinePoint{X: x, Missing: true}
			}
			line.Series[j].Points = append(line.Series[j].Points, p)
		}
	}
	s.Add(h, st, two, line)
}

func sampleForm(d *Document) {
	s := d.AddSection("part-b", "For the assessor")
	s.Intro = "To be filled in by hand."
	s.Add(&Fields{Items: []Field{
		{Label: "Conclusion", Options: []string{"safe", "safe under the conditions below", "not safe"}, Lines: 2},
		{Label: "Reasoning", Hint: "Art. 10 and Annex I, part B of the regulation", Lines: 9},
		{Label: "Name", Value: "Dr. invented"}, {Label: "Qualification", Lines: 2}, {Label: "Date and signature"},
	}})
}

// loremNote is n sentences of filling.
func loremNote(n int) string {
	return strings.TrimSpace(strings.Repeat("The batch was kept in the jar it is sold in, at the temperature stated, and looked at by daylight. ", n))
}
