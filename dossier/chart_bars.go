package dossier

import (
	"fmt"
	"math"
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

func (h *HBarLog) drawings(width float64, clean func(string) string) []drawing {
	axis := h.axis(width)
	var out []drawing
	from := 0
	for _, to := range chunks(len(h.Rows), mostDrawing-axisHeight, func(i int) float64 { return h.rowHeight(h.Rows[i], width, clean) }) {
		rows := h.Rows[from:to]
		from = to
		height := axisHeight
		for _, r := range rows {
			height += h.rowHeight(r, width, clean)
		}
		out = append(out, drawing{height, func(c canvas) { h.draw(c, rows, axis, width, height) }})
	}
	return out
}

// axis reaches over whole decades from the lowest figure to the highest.
func (h *HBarLog) axis(width float64) scale {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range h.Rows {
		for _, v := range []float64{r.Value, r.Limit} {
			if v > 0 && finite(v) {
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
func (h *HBarLog) beside(r HBar) string {
	word := " of "
	if h.AtLeast {
		word = ", at least "
	}
	if !r.Used.IsFigure() {
		word = ", " + h.boundWord() + " "
	}
	s := r.Used.String()
	if r.Bound.Kind != CellBlank {
		s += word + r.Bound.String()
	}
	if r.State != VerdictNone && r.State != VerdictMet {
		s = r.State.Symbol() + "\u00a0" + s
	}
	return s
}

func (h *HBarLog) rowHeight(r HBar, width float64, clean func(string) string) float64 {
	n := max(wordLines(clean(r.Label), styleRegular, chartText, width*chartLabel-3),
		wordLines(clean(h.beside(r)), styleBold, chartText, width*chartFigure))
	return barRow + float64(n-1)*labelLine
}

func (h *HBarLog) draw(c canvas, rows []HBar, axis scale, width, height float64) {
	bottom := height - axisHeight
	for _, v := range axis.decades() {
		x := axis.at(v)
		c.line(x, 0, x, bottom+1, pen{width: 0.15, ink: 190})
		s := decadeText(v)
		c.text(x-textMM(s, styleRegular, 7)/2, bottom+4.2, s, styleRegular, 7, 92)
	}
	c.text(axis.x, bottom+8, c.clean(h.legend()), styleRegular, 7, 92)
	y := 0.0
	for _, r := range rows {
		high := h.rowHeight(r, width, c.clean)
		h.bar(c, r, axis, y, high, width)
		y += high
	}
	c.line(axis.x, 0, axis.x, bottom, pen{width: 0.3, ink: 40})
}

func (h *HBarLog) legend() string {
	return joined(", ", h.Unit, "each line ten times the one before; the upright stroke is the "+h.boundWord())
}

func decadeText(v float64) string {
	if v >= 0.001 && v < 100000 {
		return FormatFloat(v, 1)
	}
	return "10" + superscript(int(math.Round(math.Log10(v))))
}

func (h *HBarLog) bar(c canvas, r HBar, axis scale, y, high, width float64) {
	base := y + 0.5 + barHeight - 0.6
	drawWords(c, 0, base, width*chartLabel-3, r.Label, styleRegular, chartText, true)
	style := styleRegular
	if r.State == VerdictFail {
		style = styleBold
	}
	drawWords(c, width*(1-chartFigure), base, width*chartFigure, h.beside(r), style, chartText, false)
	if r.Value > 0 && finite(r.Value) {
		p := patDark
		switch r.State {
		case VerdictFail:
			p = patSolid
		case VerdictOpen:
			p = patHatch
		case VerdictNone:
			p = patWhite
		}
		patterned(c, axis.x, y+0.5, math.Max(axis.at(r.Value)-axis.x, 0.4), barHeight, p)
	}
	if r.Limit > 0 && finite(r.Limit) {
		x := axis.at(r.Limit)
		c.line(x, y-0.3, x, y+barHeight+1.3, pen{width: 0.7, ink: 0})
	}
}

func (r *ReadinessBars) drawings(width float64, clean func(string) string) []drawing {
	most := 1
	for _, x := range r.Rows {
		most = max(most, x.Present+x.Missing+x.NotNeeded)
	}
	axis := scale{to: float64(most), x: width * chartLabel, w: width*(1-chartLabel-chartFigure) - 4}
	high := func(i int) float64 {
		return barRow + float64(wordLines(clean(r.Rows[i].Label), styleRegular, chartText, width*chartLabel-3)-1)*labelLine
	}
	var out []drawing
	from := 0
	for _, to := range chunks(len(r.Rows), mostDrawing-axisHeight, high) {
		rows := r.Rows[from:to]
		height := axisHeight - 2
		for i := range rows {
			height += high(from + i)
		}
		from = to
		out = append(out, drawing{height, func(c canvas) { r.draw(c, rows, axis, width, height) }})
	}
	return out
}

func (r *ReadinessBars) draw(c canvas, rows []Readiness, axis scale, width, height float64) {
	y := 0.0
	for _, x := range rows {
		base := y + 0.5 + barHeight - 0.6
		n := drawWords(c, 0, base, width*chartLabel-3, x.Label, styleRegular, chartText, true)
		high := barRow + float64(n-1)*labelLine
		if x.Link != "" {
			c.link(0, y, width*chartLabel-3, high, x.Link)
		}
		at := axis.x
		for i, part := range []int{x.Present, x.Missing, x.NotNeeded} {
			w := axis.at(float64(part)) - axis.x
			patterned(c, at, y+0.5, w, barHeight, readinessPatterns[i])
			at += w
		}
		c.text(width*(1-chartFigure), base, readinessText(x), styleRegular, chartText, 22)
		y += high
	}
	layLegend(readinessWords[:], width-axis.x, c.clean).draw(c, axis.x, height-4, func(i int, x, y float64) {
		patterned(c, x, y-0.2, 4, 2.8, readinessPatterns[i])
	})
}

var (
	readinessPatterns = [...]pattern{patDark, patHatch, patWhite}
	readinessWords    = [...]string{"present", "missing", "not needed"}
)

// readinessText is the figure beside a bar.
func readinessText(x Readiness) string {
	s := fmt.Sprintf("%d of %d", x.Present, x.Present+x.Missing)
	if x.NotNeeded > 0 {
		s += fmt.Sprintf(", %d not needed", x.NotNeeded)
	}
	return s
}
