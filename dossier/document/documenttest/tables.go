package documenttest

import (
	"fmt"
	"math"

	"gallipot/dossier/document"
	"gallipot/ingredients/exact"
)

// names are names of substances, and some that a spreadsheet could take for more.
var names = []string{
	"Aqua", "Decyl Glucoside", "Glycerin", "Sodium Cocoyl Isethionate", "Cocamidopropyl Betaine",
	"Acrylates/C10-30 Alkyl Acrylate Crosspolymer", "Linalool", "Hydroxyisohexyl 3-Cyclohexene Carboxaldehyde",
	"Bis-Ethylhexyloxyphenol Methoxyphenyl Triazine", "PEG/PPG-18/18 Dimethicone", "1,2-Hexanediol",
	"Polyglyceryl-4 Diisostearate/Polyhydroxystearate/Sebacate", "=SUM(A1:A9)", "+44 1632 960000", "@import", "-risky",
	"Methylparabenoethylpropylbutylisobutylphenoxyethanolcapryloylglycinate",
}

// sampleTable has n rows with every kind of figure.
func sampleTable(id string, n int) *document.Table {
	t := &document.Table{ID: id, Title: "Composition of the finished product, by falling content",
		SheetName: "Composition",
		Columns: []document.Column{
			{Head: "Substance", Key: "name"}, {Head: "CAS number"}, {Head: "Content", Unit: "% w/w", Key: "pct"},
			{Head: "Limit", Unit: "% w/w", Key: "limit"}, {Head: "Share of limit", Key: "share"}, {Head: "SED",
				Unit: "mg/kg bw/d"}, {Head: "Checked"}, {Head: "Outcome"},
		},
		Notes:   []string{"Contents are sums over all lines of the formula; ranges come from the suppliers' declarations and are cut to what adds up to 100."},
		Sources: []string{"products/heath-wash.yaml, revision 2"}}
	for i := range n {
		if i%20 == 0 {
			t.Group(fmt.Sprintf("Phase %c", 'A'+i/20))
		}
		name := names[i%len(names)]
		c := exact.Frac(int64(7000/(i+1)/(i+1)+1), int64(100+i*13))
		content := document.RangeCell(between(c.Quo(exact.Int(2)), c.Quo(exact.Int(4)).Mul(exact.Int(3)), c))
		if i%3 == 0 {
			content = document.PctCell(c).MarkedIf(i%6 == 0, "memory")
		}
		limit, share, outcome := document.PctCell(exact.Frac(1, 2)).
			From("limits.csv, row V-29 (invented)"), document.FloatCell(c.Float()/0.5,
			3), document.VerdictCell(document.VerdictMet, "within")
		switch {
		case i%5 == 1:
			limit, share, outcome = document.MissingCell("no limit"), document.BlankCell(),
				document.VerdictCell(document.VerdictNone, "no limit")
		case i%7 == 2:
			outcome = document.VerdictCell(document.VerdictOpen, "open").Marked("open")
		case exact.Frac(1, 2).Less(c):
			outcome = document.VerdictCell(document.VerdictFail, "above")
		}
		cell := document.TextCell(name)
		if name == "Linalool" && id == "composition-table" && i < len(names) {
			cell = cell.At("linalool")
		}
		t.Add(cell, document.TextCell([]string{"7732-18-5", "68515-73-1", ""}[i%3]), content, limit, share,
			document.FloatCell(c.Float()*math.Pow(10, -float64(i%9)),
				3), document.DateCell(exact.Date(20250211*(i%2))), outcome)
	}
	t.Total(document.TextCell("Total"), document.BlankCell(), document.PctCell(exact.Frac(100, 1)),
		document.BlankCell(), document.BlankCell(), document.BlankCell(), document.BlankCell(), document.BlankCell())
	return t
}

func between(lo, typ, hi exact.Num) exact.Range {
	return exact.Range{Min: lo, Typ: typ, Max: hi}
}

func composition(d *document.Document, n int) {
	s := d.AddSection("composition", "Quantitative and qualitative composition")
	s.Add(document.Para(lorem(3)), sampleTable("composition-table", n))
	sub := s.AddSection("notes", "Notes that are long")
	t := &document.Table{ID: "notes-table", Title: "Assessor's notes carried over from the last revision",
		SheetName: "Notes",
		Columns:   []document.Column{{Head: "No."}, {Head: "Subject"}, {Head: "Note", Weight: 2}, {Head: "Dated"}}}
	for i := range 4 {
		t.Add(document.IntCell(i+1), document.TextCell(names[i+5]), document.TextCell(lorem(5+i*45)),
			document.DateCell(20250211))
	}
	sub.Add(t, &document.Table{ID: "none", Title: "Nanomaterials", SheetName: "Nanomaterials",
		Columns: []document.Column{{Head: "Substance"},
			{Head: "Size"}}, Empty: "No constituent is declared as a nanomaterial."})
}

// wide has more columns than a page holds.
func wide(d *document.Document) {
	s := d.AddSection("wide", "Contents by variant")
	t := &document.Table{ID: "matrix", Title: "Allergens in each variant", SheetName: "By variant",
		Columns: []document.Column{{Head: "Allergen"}, {Head: "Threshold", Unit: "%", Fixed: true}}}
	for i := range 16 {
		t.Columns = append(t.Columns, document.Column{Head: fmt.Sprintf("Variant %d", i+1), Unit: "% w/w"})
	}
	for r := range 24 {
		row := []document.Cell{document.TextCell(names[r%len(names)]), document.PctCell(exact.Frac(1, 100))}
		for c := range 16 {
			cell := document.PctCell(exact.Frac(int64((r+1)*(c+3)), 3137))
			if (r+c)%11 == 0 {
				cell = document.MissingCell("not supplied")
			}
			row = append(row, cell)
		}
		t.Add(row...)
	}
	s.Add(t)
}
