package dossier

import (
	"math"
	"slices"
	"strings"
)

const (
	linePlot  = 52.0 // height of the plot
	lineLeft  = 14.0 // room for the figures of the upright axis
	lineRight = 3.0
	lineFoot  = 13.0
)

func (l *LineBand) drawings(width float64, clean func(string) string) []drawing {
	height := linePlot + lineFoot + layLegend(l.names(), width-lineLeft, clean).height
	return []drawing{{height, func(c canvas) { l.draw(c, width) }}}
}

func (l *LineBand) names() []string {
	var out []string
	for _, s := range l.Series {
		out = append(out, s.Name)
	}
	if l.Lower != nil || l.Upper != nil {
		out = append(out, "specification")
	}
	if l.ranged() {
		out = append(out, "95 % range of a line")
	}
	return out
}

// ranged says whether any line has a range to draw.
func (l *LineBand) ranged() bool {
	return slices.ContainsFunc(l.Series, func(s LineSeries) bool {
		return slices.ContainsFunc(s.Fit, func(f FitPoint) bool { return finite(f.Low, f.High) })
	})
}

// axes fit all readings and the band.
func (l *LineBand) axes(width float64) (x, y scale) {
	x = scale{from: math.Inf(1), to: math.Inf(-1), x: lineLeft, w: width - lineLeft - lineRight}
	y = scale{from: math.Inf(1), to: math.Inf(-1)}
	for _, s := range l.Series {
		for _, p := range s.Points {
			if !finite(p.X, p.Y) || p.Missing {
				continue
			}
			x.from, x.to = math.Min(x.from, p.X), math.Max(x.to, p.X)
			y.from, y.to = math.Min(y.from, p.Y), math.Max(y.to, p.Y)
		}
	}
	for _, s := range l.Series {
		for _, f := range s.Fit {
			if finite(f.X, f.Y) {
				y.from, y.to = math.Min(y.from, f.Y), math.Max(y.to, f.Y)
			}
		}
	}
	for _, b := range []*float64{l.Lower, l.Upper} {
		if b != nil && finite(*b) {
			y.from, y.to = math.Min(y.from, *b), math.Max(y.to, *b)
		}
	}
	if x.from > x.to {
		x.from, x.to = 0, 1
	}
	if y.from > y.to {
		y.from, y.to = 0, 1
	}
	if x.from == x.to {
		x.from, x.to = x.from-1, x.to+1
	}
	room := (y.to - y.from) * 0.15
	if room == 0 {
		room = math.Max(math.Abs(y.to)*0.1, 1)
	}
	y.from, y.to = y.from-room, y.to+room
	return x, y
}

// up returns the height of v on the page: the upright axis runs from below.
func up(y scale, v float64) float64 {
	y.x, y.w = 0, linePlot
	return linePlot - y.at(v)
}

func (l *LineBand) draw(c canvas, width float64) {
	x, y := l.axes(width)
	l.band(c, x, y)
	for _, v := range y.ticks(6) {
		c.line(x.x-1, up(y, v), x.x, up(y, v), pen{width: 0.2, ink: 40})
		s := plainFloat(v)
		c.text(x.x-2-textMM(s, styleRegular, 7), up(y, v)+0.9, s, styleRegular, 7, 60)
	}
	for _, v := range x.ticks(10) {
		c.line(x.at(v), linePlot, x.at(v), linePlot+1, pen{width: 0.2, ink: 40})
		s := plainFloat(v)
		c.text(x.at(v)-textMM(s, styleRegular, 7)/2, linePlot+4, s, styleRegular, 7, 60)
	}
	c.line(x.x, 0, x.x, linePlot, pen{width: 0.3, ink: 40})
	c.line(x.x, linePlot, x.x+x.w, linePlot, pen{width: 0.3, ink: 40})
	c.text(0, -1.2, c.clean(l.YLabel), styleRegular, 7.5, 60)
	xl := c.clean(l.XLabel)
	c.text(x.x+x.w-textMM(xl, styleRegular, 7.5), linePlot+8, xl, styleRegular, 7.5, 60)
	for i, s := range l.Series {
		l.fit(c, s, i, x, y)
		l.series(c, s, i, x, y)
	}
	l.legend(c, width)
}

// plainFloat returns a value of an axis to six significant digits, without the
// zeros that mean nothing there.
func plainFloat(v float64) string {
	s := FormatFloat(math.Round(v*1e9)/1e9, 6) // a computed tick has false last digits
	if strings.Contains(s, ".") && !strings.Contains(s, "×") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// band draws what the specification allows as a pale ground between dashed lines.
func (l *LineBand) band(c canvas, x, y scale) {
	if l.Lower == nil && l.Upper == nil {
		return
	}
	top, bottom := 0.0, linePlot
	edge := pen{width: 0.3, ink: 60, dash: []float64{2, 1.2}}
	if l.Upper != nil && finite(*l.Upper) {
		top = up(y, *l.Upper)
	}
	if l.Lower != nil && finite(*l.Lower) {
		bottom = up(y, *l.Lower)
	}
	c.rect(x.x, top, x.w, bottom-top, 236, pen{})
	if l.Upper != nil && finite(*l.Upper) {
		c.line(x.x, top, x.x+x.w, top, edge)
	}
	if l.Lower != nil && finite(*l.Lower) {
		c.line(x.x, bottom, x.x+x.w, bottom, edge)
	}
}

var seriesDashes = [...][]float64{nil, {3, 1.5}, {1, 1}, {4, 1, 1, 1}}

func (l *LineBand) series(c canvas, s LineSeries, i int, x, y scale) {
	p := pen{width: 0.45, ink: 22, dash: seriesDashes[i%len(seriesDashes)]}
	var last *point
	for _, r := range s.Points {
		if r.Missing || !finite(r.X, r.Y) {
			last = nil // the line is broken where a reading was not taken
			continue
		}
		at := point{x.at(r.X), up(y, r.Y)}
		if last != nil && len(s.Fit) == 0 { // a fitted line stands in place of the one from point to point
			c.line(last.x, last.y, at.x, at.y, p)
		}
		marker(c, at, i)
		last = &at
	}
}

// fit draws a fitted line and the curves of its 95 % range. A range that leaves the
// plot, as that of three readings soon does, is cut off at its edge.
func (l *LineBand) fit(c canvas, s LineSeries, i int, x, y scale) {
	for k := 1; k < len(s.Fit); k++ {
		a, b := s.Fit[k-1], s.Fit[k]
		if finite(a.X, a.Y, b.X, b.Y) {
			c.line(x.at(a.X), up(y, a.Y), x.at(b.X), up(y, b.Y), pen{width: 0.45, ink: 22, dash: seriesDashes[i%len(seriesDashes)]})
		}
		for _, ends := range [][2]float64{{a.Low, b.Low}, {a.High, b.High}} {
			if !finite(ends[0], ends[1]) {
				continue
			}
			from, to := up(y, ends[0]), up(y, ends[1])
			if min(from, to) >= 0 && max(from, to) <= linePlot {
				c.line(x.at(a.X), from, x.at(b.X), to, rangePen)
			}
		}
	}
}

// rangePen draws the curves of a 95 % range.
var rangePen = pen{width: 0.2, ink: 120}

// marker draws the sign of series i: square, ring, triangle, diamond.
func marker(c canvas, p point, i int) {
	edge := pen{width: 0.35, ink: 22}
	const r = 0.95
	switch i % 4 {
	case 0:
		c.rect(p.x-r, p.y-r, 2*r, 2*r, 22, pen{})
	case 1:
		c.rect(p.x-r, p.y-r, 2*r, 2*r, 255, edge)
	case 2:
		c.polygon([]point{{p.x, p.y - 1.2*r}, {p.x + 1.2*r, p.y + r}, {p.x - 1.2*r, p.y + r}}, 22, pen{})
	case 3:
		c.polygon([]point{{p.x, p.y - 1.3*r}, {p.x + 1.3*r, p.y}, {p.x, p.y + 1.3*r}, {p.x - 1.3*r, p.y}}, 255, edge)
	}
}

func (l *LineBand) legend(c canvas, width float64) {
	layLegend(l.names(), width-lineLeft, c.clean).draw(c, lineLeft, linePlot+lineFoot-1.4, func(i int, x, y float64) {
		mid := y + 1.3
		if i < len(l.Series) {
			c.line(x-1, mid, x+4, mid, pen{width: 0.45, ink: 22, dash: seriesDashes[i%len(seriesDashes)]})
			marker(c, point{x + 1.5, mid}, i)
			return
		}
		if i > len(l.Series) || l.Lower == nil && l.Upper == nil {
			c.line(x-1, mid, x+4, mid, rangePen)
			return
		}
		c.rect(x, y-0.1, 4, 2.8, 236, pen{width: 0.2, ink: 60, dash: []float64{1, 0.6}})
	})
}
