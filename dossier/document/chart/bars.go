package chart

import (
	"fmt"
	"math"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// The columns of a chart of bars: words, bars, figures, as shares of the width.
const (
	chartLabel  = 0.30
	chartFigure = 0.30
	chartText   = 8.0 // points
	barHeight   = 3.4
	barRow      = 6.2 // from bar to bar, when the label has one line
	labelLine   = chartText * 0.45
	axisHeight  = 9.0
)

func drawingsHBarLog(h *document.HBarLog, width float64, clean func(string) string) []Drawing {
	axis := axis(h, width)
	var out []Drawing
	from := 0
	for _, to := range chunks(len(h.Rows), mostDrawing-axisHeight,
		func(i int) float64 { return rowHeightHBarLog(h, h.Rows[i], width, clean) }) {
		rows := h.Rows[from:to]
		from = to
		height := axisHeight
		for _, r := range rows {
			height += rowHeightHBarLog(h, r, width, clean)
		}
		out = append(out, Drawing{height, func(c canvas) { drawHBarLog(h, c, rows, axis, width, height) }})
	}
	return out
}

// axis reaches over whole decades from the lowest figure to the highest.
func axis(h *document.HBarLog, width float64) scale {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range h.Rows {
		for _, v := range []float64{r.Value, r.Limit} {
			if v > 0 && Finite(v) {
				low, high = math.Min(low, v), math.Max(high, v)
			}
		}
	}
	if low > high {
		low, high = 0.1, 1
	}
	from := math.Pow(10, math.Floor(math.Log10(low)-1e-9))
	to := math.Pow(10, math.Ceil(math.Log10(high)+1e-9))
	return scale{from: from, to: to, x: width * chartLabel, w: width*(1-chartLabel-chartFigure) - 4, log: true}
}

// beside returns the figures printed at the bar.
func beside(h *document.HBarLog, r document.HBar) string {
	word, end := " of ", ""
	if h.AtLeast {
		word, end = " (≥\u00a0", ")"
	}
	if !r.Used.IsFigure() {
		word, end = ", "+h.BoundText()+" ", ""
	}
	s := r.Used.String() + r.Sign
	if r.Bound.Kind != document.CellBlank {
		s += word + r.Bound.String() + end
	}
	if r.State != document.VerdictNone {
		s = r.State.Symbol() + "\u00a0" + s
	}
	return s
}

func rowHeightHBarLog(h *document.HBarLog, r document.HBar, width float64,
	clean func(string) string) float64 {
	n := max(wordLines(clean(r.Label), layout.StyleRegular, chartText, width*chartLabel-3),
		wordLines(clean(beside(h, r)), layout.StyleBold, chartText, width*chartFigure))
	return barRow + float64(n-1)*labelLine
}

func drawHBarLog(h *document.HBarLog, c canvas, rows []document.HBar, axis scale, width, height float64) {
	bottom := height - axisHeight
	free := 0.0 // from where on a word fits
	for _, v := range axis.decades() {
		x := axis.at(v)
		c.Line(x, 0, x, bottom+1, Pen{Width: 0.15, Ink: 190})
		s := decadeText(v)
		if wd := layout.TextMM(s, layout.StyleRegular, 7); x-wd/2 >= free {
			c.Text(x-wd/2, bottom+4.2, s, layout.StyleRegular, 7, 92)
			free = x + wd/2 + 0.8
		}
	}
	legend := c.Clean(legendHBarLog(h))
	c.Text(max(0, min(axis.x, width-layout.TextMM(legend, layout.StyleRegular, 7))), bottom+8, legend,
		layout.StyleRegular, 7, 92)
	y := 0.0
	for _, r := range rows {
		high := rowHeightHBarLog(h, r, width, c.Clean)
		barHBarLog(h, c, r, axis, y, high, width)
		y += high
	}
	c.Line(axis.x, 0, axis.x, bottom, Pen{Width: 0.3, Ink: 40})
}

func legendHBarLog(h *document.HBarLog) string {
	return words.Joined(", ", h.Unit,
		"each line ten times the one before; the upright stroke is the "+h.BoundText())
}

func decadeText(v float64) string {
	if v >= 0.001 && v < 10000 {
		return document.FormatFloat(v, 1)
	}
	if v >= 10000 && v < 1e8 { // as in the tables
		return document.FormatPlain(v, 1)
	}
	return "10" + document.Superscript(int(math.Round(math.Log10(v))))
}

func barHBarLog(h *document.HBarLog, c canvas, r document.HBar, axis scale, y, high, width float64) {
	base := y + 0.5 + barHeight - 0.6
	drawWords(c, 0, base, width*chartLabel-3, r.Label, layout.StyleRegular, chartText, true)
	style := layout.StyleRegular
	if r.State == document.VerdictFail {
		style = layout.StyleBold
	}
	drawWords(c, width*(1-chartFigure), base, width*chartFigure, beside(h, r), style, chartText, false)
	if r.Value > 0 && Finite(r.Value) {
		p := patGreen
		switch r.State {
		case document.VerdictFail:
			p = patSolid
		case document.VerdictOpen:
			p = patHatch
		case document.VerdictNone:
			p = patWhite
		}
		patterned(c, axis.x, y+0.5, math.Max(axis.at(r.Value)-axis.x, 0.4), barHeight, p)
	}
	if r.Limit > 0 && Finite(r.Limit) {
		x := axis.at(r.Limit)
		c.Line(x, y-0.3, x, y+barHeight+1.3, Pen{Width: 1.3, Ink: 255}) // a white edge sets it off
		c.Line(x, y-0.3, x, y+barHeight+1.3, Pen{Width: 0.7, Ink: 0})
	}
}

func drawingsReadinessBars(r *document.ReadinessBars, width float64, clean func(string) string) []Drawing {
	most := 1
	for _, x := range r.Rows {
		most = max(most, x.Present+x.Missing+x.NotNeeded)
	}
	axis := scale{to: float64(most), x: width * chartLabel, w: width*(1-chartLabel-chartFigure) - 4}
	high := func(i int) float64 {
		return barRow + float64(wordLines(clean(r.Rows[i].Label), layout.StyleRegular, chartText,
			width*chartLabel-3)-1)*labelLine
	}
	var out []Drawing
	from := 0
	for _, to := range chunks(len(r.Rows), mostDrawing-axisHeight, high) {
		rows := r.Rows[from:to]
		height := axisHeight - 2
		for i := range rows {
			height += high(from + i)
		}
		from = to
		out = append(out, Drawing{height, func(c canvas) { drawReadinessBars(r, c, rows, axis, width, height) }})
	}
	return out
}

func drawReadinessBars(r *document.ReadinessBars, c canvas, rows []document.Readiness, axis scale, width,
	height float64) {
	y := 0.0
	for _, x := range rows {
		base := y + 0.5 + barHeight - 0.6
		n := drawWords(c, 0, base, width*chartLabel-3, x.Label, layout.StyleRegular, chartText, true)
		high := barRow + float64(n-1)*labelLine
		if x.Link != "" {
			c.Link(0, y, width*chartLabel-3, high, x.Link)
		}
		at := axis.x
		for i, part := range []int{x.Present, x.Missing, x.NotNeeded} {
			w := axis.at(float64(part)) - axis.x
			patterned(c, at, y+0.5, w, barHeight, readinessPatterns[i])
			at += w
		}
		c.Text(width*(1-chartFigure), base, readinessText(x), layout.StyleRegular, chartText, 22)
		y += high
	}
	layLegend(readinessWords[:], width-axis.x, c.Clean).draw(c, axis.x, height-4, func(i int, x, y float64) {
		patterned(c, x, y-0.2, 4, 2.8, readinessPatterns[i])
	})
}

var (
	readinessPatterns = [...]pattern{patDark, patHatch, patWhite}
	readinessWords    = [...]string{"present", "missing", "not needed"}
)

// readinessText is the figure beside a bar.
func readinessText(x document.Readiness) string {
	s := fmt.Sprintf("%d of %d", x.Present, x.Present+x.Missing)
	if x.NotNeeded > 0 {
		s += fmt.Sprintf(", %d not needed", x.NotNeeded)
	}
	return s
}
