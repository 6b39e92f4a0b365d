package chart

import (
	"gallipot/dossier/document/layout"
)

// legendItem is one name of a legend, with its place; its sign stands before it.
type legendItem struct {
	x, y  float64
	lines [][]layout.Run
}

// chartLegend names what a chart's patterns and lines mean.
type chartLegend struct {
	items  []legendItem
	height float64
}

const (
	legendSign = 5.5 // from the sign to the name
	legendGap  = 5.0 // from the name to the next sign
	legendLine = 4.6
)

// layLegend sets names side by side in as many rows as they take; a name too
// long for a row of its own goes over several.
func layLegend(names []string, width float64, clean func(string) string) *chartLegend {
	l := &chartLegend{}
	x, y, high := 0.0, 0.0, 0.0
	for _, name := range names {
		lines := layout.WrapRuns([]layout.Run{{Text: clean(name)}}, width-legendSign, layout.RuneMM(chartText))
		need := 0.0
		for _, line := range lines {
			need = max(need, legendSign+layout.LineWidth(line, layout.RuneMM(chartText)))
		}
		if x > 0 && x+need > width {
			x, y, high = 0, y+high, 0
		}
		l.items = append(l.items, legendItem{x, y, lines})
		high = max(high, legendLine+float64(len(lines)-1)*labelLine)
		x += need + legendGap
	}
	l.height = y + high
	return l
}

// draw draws the legend, its upper left corner at x, y; sign draws the sign of
// item i at the place given.
func (l *chartLegend) draw(c canvas, x, y float64, sign func(i int, x, y float64)) {
	for i, it := range l.items {
		sign(i, x+it.x, y+it.y)
		for k, line := range it.lines {
			at := x + it.x + legendSign
			for _, r := range line {
				c.Text(at, y+it.y+2.3+float64(k)*labelLine, r.Text, r.Style, chartText, 22)
				at += layout.TextMM(r.Text, r.Style, chartText)
			}
		}
	}
}
