package chart

import (
	"math"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

const stackHeight = 7.5

func drawingsStackedBar(s *document.StackedBar, width float64, clean func(string) string) []Drawing {
	measure := layLegend(legendNames(s), width, clean).height
	var out []Drawing
	from := 0
	for _, to := range chunks(len(s.Rows), max(mostDrawing-measure, 40),
		func(i int) float64 { return rowHeightStackedBar(s, s.Rows[i], width, clean) }) {
		part := s.Rows[from:to]
		from = to
		height := 2.0 + measure
		for _, r := range part {
			height += rowHeightStackedBar(s, r, width, clean)
		}
		out = append(out, Drawing{height, func(c canvas) { drawStackedBar(s, c, part, width, height-measure) }})
	}
	return out
}

// whole is the value that fills the width.
func whole(s *document.StackedBar) float64 {
	most := s.Whole
	for _, r := range s.Rows {
		sum := 0.0
		for _, v := range r.Values {
			if v > 0 && Finite(v) {
				sum += v
			}
		}
		most = math.Max(most, sum)
	}
	return most
}

// legendNames puts the figure behind the name of a part when there is one bar.
func legendNames(s *document.StackedBar) []string {
	var out []string
	for i, p := range s.Parts {
		if len(s.Rows) == 1 {
			unit := ""
			if s.Rows[0].Cells[i].IsFigure() {
				unit = s.Unit
			}
			p += "  " + words.Joined("\u00a0", s.Rows[0].Cells[i].String(), unit)
		}
		out = append(out, p)
	}
	return out
}

func labelled(s *document.StackedBar) bool {
	for _, r := range s.Rows {
		if r.Label != "" {
			return true
		}
	}
	return false
}

// labelWidth is the room for the words left of the bars.
func labelWidth(s *document.StackedBar, width float64) float64 {
	if !labelled(s) {
		return 0
	}
	return width * 0.22
}

func rowHeightStackedBar(s *document.StackedBar, r document.StackedRow, width float64,
	clean func(string) string) float64 {
	h := stackHeight + 3
	if labelled(s) {
		h = math.Max(h,
			float64(wordLines(clean(r.Label), layout.StyleRegular, chartText, labelWidth(s, width)-3))*labelLine+2.5)
	}
	return h
}

func drawStackedBar(s *document.StackedBar, c canvas, rows []document.StackedRow, width, legendAt float64) {
	left := labelWidth(s, width)
	axis := scale{to: whole(s), x: left, w: width - left}
	y := 0.0
	for _, r := range rows {
		if left > 0 {
			drawWords(c, 0, y+stackHeight/2+1, left-3, r.Label, layout.StyleRegular, chartText, true)
		}
		barStackedBar(s, c, r, axis, y)
		y += rowHeightStackedBar(s, r, width, c.Clean)
	}
	layLegend(legendNames(s), width, c.Clean).draw(c, 0, legendAt, func(i int, x, y float64) {
		patterned(c, x, y-0.2, 4, 2.8, stackPattern(i))
	})
}

func stackPattern(i int) pattern { return pattern(i) % patternCount }

// barStackedBar draws one row; a part that has the room carries its figure.
func barStackedBar(s *document.StackedBar, c canvas, r document.StackedRow, axis scale, y float64) {
	x := axis.x
	for i, v := range r.Values {
		if !(v > 0) || !Finite(v) {
			continue
		}
		w := axis.at(v) - axis.x
		patterned(c, x, y, w, stackHeight, stackPattern(i))
		label := c.Clean(r.Cells[i].String())
		tw := layout.TextMM(label, layout.StyleRegular, 7.5)
		if w > tw+3 {
			c.Rect(x+(w-tw)/2-0.9, y+stackHeight/2-1.8, tw+1.8, 3.6, 255, Pen{})
			c.Text(x+(w-tw)/2, y+stackHeight/2+0.95, label, layout.StyleRegular, 7.5, 22)
		}
		x += w
	}
	c.Rect(axis.x, y, axis.w, stackHeight, None, Pen{Width: 0.15, Ink: 150})
}
