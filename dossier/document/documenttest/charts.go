package documenttest

import (
	"math"

	"gallipot/dossier/document"
)

func charts(d *document.Document) {
	s := d.AddSection("charts", "Charts")
	s.NewPage = true
	h := &document.HBarLog{ID: "bars", Title: "Used and allowed", Unit: "% w/w",
		Caption: "Highest content on the worst portion."}
	for i, v := range []float64{0.0004, 0.03, 0.62, 12, math.NaN(), 0} {
		limit := []float64{0.001, 0.01, 0.5, 0, 1, 1}[i]
		r := document.HBar{Label: names[i+4], Value: v, Limit: limit, Used: document.FloatCell(v, 3),
			Bound: document.FloatCell(limit, 2).In("%")}
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
	st := &document.StackedBar{ID: "stack", Title: "What the product is made of", Unit: "% w/w",
		Parts: []string{"Water", "Surfactants", "Humectants", "Salts", "Fragrance", "Preservatives", "Colour",
			"Undeclared", "Acids"}}
	st.Rows = []document.StackedRow{{Values: []float64{71.85, 14, 6, 2.5, 0.8, 0.9, 0.2, 3, 0.75}}}
	for _, v := range st.Rows[0].Values {
		st.Rows[0].Cells = append(st.Rows[0].Cells, document.FloatCell(v, 4))
	}
	two := &document.StackedBar{ID: "stack2", Title: "By portion", Unit: "%",
		Parts: []string{"Base", "Scent", "Colour"}, Rows: []document.StackedRow{
			{Label: "Heather portion", Values: []float64{95, 4, 1}, Cells: []document.Cell{document.IntCell(95),
				document.IntCell(4), document.IntCell(1)}},
			{Label: "Gorse portion, with the longer name", Values: []float64{97, 1, 2},
				Cells: []document.Cell{document.IntCell(97), document.IntCell(1), document.IntCell(2)}}}}
	lo, hi := 5.0, 6.0
	line := &document.LineBand{ID: "ph", Title: "pH at 40 °C", XLabel: "weeks", YLabel: "pH", Lower: &lo,
		Upper: &hi, Caption: "The band is the specification.",
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
