package dossier

import "math"

const stackHeight = 7.5

func (s *StackedBar) drawings(width float64, clean func(string) string) []drawing {
	measure := layLegend(s.legendNames(), width, clean).height
	var out []drawing
	from := 0
	for _, to := range chunks(len(s.Rows), max(mostDrawing-measure, 40), func(i int) float64 { return s.rowHeight(s.Rows[i], width, clean) }) {
		part := s.Rows[from:to]
		from = to
		height := 2.0 + measure
		for _, r := range part {
			height += s.rowHeight(r, width, clean)
		}
		out = append(out, drawing{height, func(c canvas) { s.draw(c, part, width, height-measure) }})
	}
	return out
}

// whole is the value that fills the width.
func (s *StackedBar) whole() float64 {
	most := s.Whole
	for _, r := range s.Rows {
		sum := 0.0
		for _, v := range r.Values {
			if v > 0 && finite(v) {
				sum += v
			}
		}
		most = math.Max(most, sum)
	}
	return most
}

// legendNames puts the figure behind the name of a part when there is one bar.
func (s *StackedBar) legendNames() []string {
	var out []string
	for i, p := range s.Parts {
		if len(s.Rows) == 1 {
			unit := ""
			if s.Rows[0].Cells[i].IsFigure() {
				unit = s.Unit
			}
			p += "  " + joined("\u00a0", s.Rows[0].Cells[i].String(), unit)
		}
		out = append(out, p)
	}
	return out
}

func (s *StackedBar) labelled() bool {
	for _, r := range s.Rows {
		if r.Label != "" {
			return true
		}
	}
	return false
}

// labelWidth is the room for the words left of the bars.
func (s *StackedBar) labelWidth(width float64) float64 {
	if !s.labelled() {
		return 0
	}
	return width * 0.22
}

func (s *StackedBar) rowHeight(r StackedRow, width float64, clean func(string) string) float64 {
	h := stackHeight + 3
	if s.labelled() {
		h = math.Max(h, float64(wordLines(clean(r.Label), styleRegular, chartText, s.labelWidth(width)-3))*labelLine+2.5)
	}
	return h
}

func (s *StackedBar) draw(c canvas, rows []StackedRow, width, legendAt float64) {
	left := s.labelWidth(width)
	axis := scale{to: s.whole(), x: left, w: width - left}
	y := 0.0
	for _, r := range rows {
		if left > 0 {
			drawWords(c, 0, y+stackHeight/2+1, left-3, r.Label, styleRegular, chartText, true)
		}
		s.bar(c, r, axis, y)
		y += s.rowHeight(r, width, c.clean)
	}
	layLegend(s.legendNames(), width, c.clean).draw(c, 0, legendAt, func(i int, x, y float64) {
		patterned(c, x, y-0.2, 4, 2.8, stackPattern(i))
	})
}

func stackPattern(i int) pattern { return pattern(i) % patternCount }

// bar draws one row; a part that has the room carries its figure.
func (s *StackedBar) bar(c canvas, r StackedRow, axis scale, y float64) {
	x := axis.x
	for i, v := range r.Values {
		if !(v > 0) || !finite(v) {
			continue
		}
		w := axis.at(v) - axis.x
		patterned(c, x, y, w, stackHeight, stackPattern(i))
		label := c.clean(r.Cells[i].String())
		tw := textMM(label, styleRegular, 7.5)
		if w > tw+3 {
			c.rect(x+(w-tw)/2-0.9, y+stackHeight/2-1.8, tw+1.8, 3.6, 255, pen{})
			c.text(x+(w-tw)/2, y+stackHeight/2+0.95, label, styleRegular, 7.5, 22)
		}
		x += w
	}
	c.rect(axis.x, y, axis.w, stackHeight, none, pen{width: 0.15, ink: 150})
}
