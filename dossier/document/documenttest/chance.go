package documenttest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Chance puts blocks of every kind together with texts of any length; the same seed
// gives the same document.
func Chance(seed uint64) *document.Document {
	r := rand.New(rand.NewPCG(seed, 7))
	d := &document.Document{Title: chanceText(r, 8), Subtitle: chanceText(r, 6), Author: chanceText(r, 4),
		Product: chanceText(r, 4), Revision: "revision 3",
		Fingerprint: "00ff", Caution: chanceText(r, 9), Date: 20260102, Marks: []document.Mark{{ID: "m",
			Symbol: "†", Text: chanceText(r, 20)}}, NoContents: r.IntN(3) == 0}
	if r.IntN(2) == 0 {
		d.Cover = &document.Cover{Facts: []document.Fact{{Label: chanceText(r, 3), Value: chanceCell(r)},
			{Label: chanceText(r, 12),
				Value: document.TextCell(chanceText(r, 60))}}, Blocks: []document.Block{chanceBlock(r, 900)}}
	}
	for i := range 2 + r.IntN(5) {
		s := d.AddSection(fmt.Sprintf("s%d", i), chanceText(r, 10))
		s.NewPage = r.IntN(4) == 0
		for j := range r.IntN(5) {
			s.Add(chanceBlock(r, i*100+j))
		}
		for j := range r.IntN(3) {
			sub := s.AddSection(fmt.Sprintf("s%d-%d", i, j), chanceText(r, 15))
			for k := range r.IntN(4) {
				sub.Add(chanceBlock(r, i*100+10+j*10+k))
			}
			sub.AddSection(fmt.Sprintf("s%d-%d-x", i, j), chanceText(r, 5)).Add(chanceBlock(r, i*100+50+j))
		}
	}
	d.NumberSections()
	return d
}

var chanceWords = append([]string{"a", "of", "the", "in", "product", "12.5", "µg/cm²", "leave-on/rinse-off",
	"evidence/glucoside-sds.pdf", "\n", "отдушка", "🌲", "(0.0012)"}, names...)

func chanceText(r *rand.Rand, most int) string {
	var words []string
	for range 1 + r.IntN(most) {
		words = append(words, chanceWords[r.IntN(len(chanceWords))])
	}
	return strings.Join(words, " ")
}

func chanceCell(r *rand.Rand) document.Cell {
	n := exact.Frac(int64(r.IntN(1_000_000)), int64(1+r.IntN(100_000)))
	var c document.Cell
	switch r.IntN(11) {
	case 0, 1:
		c = document.TextCell(chanceText(r, 6))
	case 2:
		c = document.PctCell(n)
	case 3:
		c = document.RangeCell(between(n, n.Add(exact.Frac(1, 3)), n.Add(exact.Frac(2, 3))))
	case 4:
		c = document.FloatCell(math.Exp(20*r.Float64()-12), 3).In("mg/kg bw/d")
	case 5:
		c = document.MissingCell("not supplied")
	case 6:
		c = document.VerdictCell(document.Verdict(r.IntN(4)), chanceText(r, 3))
	case 7:
		c = document.DateCell(20250131)
	case 8:
		c = document.TickCell(true)
	case 9:
		c = document.WriteInCell()
	}
	return c.MarkedIf(r.IntN(6) == 0, "m")
}

func chanceTable(r *rand.Rand, n int) *document.Table {
	t := &document.Table{ID: fmt.Sprintf("t%d", n), Title: chanceText(r, 12),
		SheetName: fmt.Sprintf("Sheet %d", n%5), Notes: []string{chanceText(r, 40)}}
	for range 1 + r.IntN(12) {
		t.Columns = append(t.Columns, document.Column{Head: chanceText(r, 3),
			Unit: []string{"", "% w/w",
				"mg/kg bw/d"}[r.IntN(3)], Weight: r.Float64() * 2, Align: document.Align(r.IntN(4)), Fixed: r.IntN(9) == 0})
	}
	pattern := make([]document.Cell, len(t.Columns)) // a column mostly holds one kind of cell
	for i := range pattern {
		pattern[i] = chanceCell(r)
	}
	for i := range r.IntN(40) {
		if r.IntN(12) == 0 {
			t.Group(chanceText(r, 20))
		}
		row := make([]document.Cell, len(pattern))
		for j := range row {
			row[j] = pattern[j]
			if r.IntN(3) == 0 {
				row[j] = chanceCell(r)
			}
			if r.IntN(10) == 0 {
				row[j] = row[j].From(fmt.Sprintf("source %d", i%4))
			}
			if r.IntN(60) == 0 {
				row[j] = document.TextCell(chanceText(r, 400))
			}
		}
		t.Add(row...)
	}
	return t
}

func chanceBlock(r *rand.Rand, n int) document.Block {
	switch r.IntN(12) {
	case 0:
		return document.Rich(document.Span{Text: chanceText(r, 80)}, document.Span{Text: chanceText(r, 5),
			Link: "s0", Strong: true}, document.Span{Text: chanceText(r, 5), Mono: true})
	case 1:
		return document.List(chanceText(r, 30), chanceText(r, 300), chanceText(r, 3))
	case 2:
		k := &document.KeyFigures{}
		for range 1 + r.IntN(6) {
			k.Items = append(k.Items, document.KeyFigure{Label: chanceText(r, 5), Value: chanceCell(r),
				Note: chanceText(r, 6)})
		}
		return k
	case 3:
		return &document.Callout{Kind: document.CalloutKind(r.IntN(3)), Title: chanceText(r, 10),
			Body: []*document.Paragraph{document.Para(chanceText(r, 300)), document.Para(chanceText(r, 900))}}
	case 4:
		return &document.Fields{Items: []document.Field{{Label: chanceText(r, 8), Hint: chanceText(r, 30),
			Options: []string{chanceText(r, 4), chanceText(r, 9),
				chanceText(r, 30)}, Lines: r.IntN(60)}, {Label: chanceText(r, 40), Value: chanceText(r, 50)}}}
	case 5:
		f := &document.FindingList{ID: fmt.Sprintf("f%d", n), Title: chanceText(r, 6)}
		for range r.IntN(9) {
			f.Findings = append(f.Findings, finding.NewFinding(finding.Severity(r.IntN(3)), "own-limits",
				exact.Pos{File: "products/x.yaml", Line: 3, Col: 4}, workshop.With().Quote("fault", chanceText(r, 300)).
					Quote("fix", chanceText(r, 40))).On(chanceText(r, 4)))
		}
		return f
	case 6, 7, 8, 9:
		return chanceChart(r, n)
	}
	return chanceTable(r, n)
}

func chanceChart(r *rand.Rand, n int) document.Block {
	switch r.IntN(4) {
	case 0:
		h := &document.HBarLog{ID: fmt.Sprintf("h%d", n), Title: chanceText(r, 8), Unit: "%",
			Caption: chanceText(r, 30), AtLeast: r.IntN(2) == 0}
		for range r.IntN(45) {
			v, l := math.Exp(20*r.Float64()-12), math.Exp(10*r.Float64()-6)
			h.Rows = append(h.Rows, document.HBar{Label: chanceText(r, 8), Value: v, Limit: l,
				Used: document.FloatCell(v, 3), Bound: document.FloatCell(l, 3).
					In("mg/kg bw/d"), State: document.Verdict(r.IntN(4))})
		}
		return h
	case 1:
		s := &document.StackedBar{ID: fmt.Sprintf("b%d", n), Title: chanceText(r, 8), Unit: "% w/w", Whole: 100}
		for range 1 + r.IntN(9) {
			s.Parts = append(s.Parts, chanceText(r, 4))
		}
		for range 1 + r.IntN(5) {
			row := document.StackedRow{Label: chanceText(r, 5)}
			for range s.Parts {
				v := r.Float64() * 30
				row.Values, row.Cells = append(row.Values, v), append(row.Cells, document.FloatCell(v, 3))
			}
			s.Rows = append(s.Rows, row)
		}
		return s
	case 2:
		b := &document.ReadinessBars{ID: fmt.Sprintf("r%d", n), Title: chanceText(r, 8)}
		for range r.IntN(9) {
			b.Rows = append(b.Rows, document.Readiness{Label: chanceText(r, 6), Present: r.IntN(20),
				Missing: r.IntN(9), NotNeeded: r.IntN(5), Link: "s0"})
		}
		return b
	}
	l := &document.LineBand{ID: fmt.Sprintf("l%d", n), Title: chanceText(r, 8), XLabel: "weeks", YLabel: "pH"}
	lower := 4 + r.Float64()
	if r.IntN(2) == 0 {
		l.Lower = &lower
	}
	for range 1 + r.IntN(6) {
		s := document.LineSeries{Name: chanceText(r, 3)}
		for x := range r.IntN(9) {
			y := 5 + r.Float64()
			s.Points = append(s.Points, document.LinePoint{X: float64(x), Y: y, Cell: document.FloatCell(y, 3),
				Missing: r.IntN(8) == 0})
		}
		l.Series = append(l.Series, s)
	}
	return l
}
