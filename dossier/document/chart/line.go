package chart

import (
	"math"
	"slices"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

const (
	linePlot  = 52.0 // height of the plot
	lineLeft  = 14.0 // room for the figures of the upright axis
	lineRight = 3.0
	lineFoot  = 13.0
)

func drawingsLineBand(l *document.LineBand, width float64, clean func(string) string) []Drawing {
	height := linePlot + lineFoot + layLegend(namesOfLineBand(l), width-lineLeft, clean).height
	return []Drawing{{height, func(c canvas) { drawLineBand(l, c, width) }}}
}

func namesOfLineBand(l *document.LineBand) []string {
	var out []string
	for _, s := range l.Series {
		out = append(out, s.Name)
	}
	if l.Lower != nil || l.Upper != nil {
		out = append(out, "specification")
	}
	if ranged(l) {
		out = append(out, "95 % range of a line")
	}
	return out
}

// ranged says whether any line has a range to draw.
func ranged(l *document.LineBand) bool {
	return slices.ContainsFunc(l.Series, func(s document.LineSeries) bool {
		return slices.ContainsFunc(s.Fit, func(f document.FitPoint) bool { return Finite(f.Low, f.High) })
	})
}

// axes fit all readings and the band.
func axes(l *document.LineBand, width float64) (x, y scale) {
	x = scale{from: math.Inf(1), to: math.Inf(-1), x: lineLeft, w: width - lineLeft - lineRight}
	y = scale{from: math.Inf(1), to: math.Inf(-1)}
	for _, s := range l.Series {
		for _, p := range s.Points {
			if !Finite(p.X, p.Y) || p.Missing {
				continue
			}
			x.from, x.to = math.Min(x.from, p.X), math.Max(x.to, p.X)
			y.from, y.to = math.Min(y.from, p.Y), math.Max(y.to, p.Y)
		}
	}
	for _, s := range l.Series {
		for _, f := range s.Fit {
			if Finite(f.X, f.Y) {
				y.from, y.to = math.Min(y.from, f.Y), math.Max(y.to, f.Y)
			}
		}
	}
	for _, b := range []*float64{l.Lower, l.Upper} {
		if b != nil && Finite(*b) {
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

func drawLineBand(l *document.LineBand, c canvas, width float64) {
	x, y := axes(l, width)
	band(l, c, x, y)
	for _, v := range y.ticks(6) {
		c.Line(x.x-1, up(y, v), x.x, up(y, v), Pen{Width: 0.2, Ink: 40})
		s := document.PlainFloat(v)
		c.Text(x.x-2-layout.TextMM(s, layout.StyleRegular, 7), up(y, v)+0.9, s, layout.StyleRegular, 7, 60)
	}
	for _, v := range x.ticks(10) {
		c.Line(x.at(v), linePlot, x.at(v), linePlot+1, Pen{Width: 0.2, Ink: 40})
		s := document.PlainFloat(v)
		c.Text(x.at(v)-layout.TextMM(s, layout.StyleRegular, 7)/2, linePlot+4, s, layout.StyleRegular, 7, 60)
	}
	c.Line(x.x, 0, x.x, linePlot, Pen{Width: 0.3, Ink: 40})
	c.Line(x.x, linePlot, x.x+x.w, linePlot, Pen{Width: 0.3, Ink: 40})
	c.Text(0, -1.2, c.Clean(l.YLabel), layout.StyleRegular, 7.5, 60)
	xl := c.Clean(l.XLabel)
	c.Text(x.x+x.w-layout.TextMM(xl, layout.StyleRegular, 7.5), linePlot+8, xl, layout.StyleRegular, 7.5, 60)
	for i, s := range l.Series {
		fit(l, c, s, i, x, y)
		series(l, c, s, i, x, y)
	}
	legendLineBand(l, c, width)
}

// band draws what the specification allows as a pale ground between dashed lines.
func band(l *document.LineBand, c canvas, x, y scale) {
	if l.Lower == nil && l.Upper == nil {
		return
	}
	top, bottom := 0.0, linePlot
	edge := Pen{Width: 0.3, Ink: 60, Dash: []float64{2, 1.2}}
	if l.Upper != nil && Finite(*l.Upper) {
		top = up(y, *l.Upper)
	}
	if l.Lower != nil && Finite(*l.Lower) {
		bottom = up(y, *l.Lower)
	}
	c.Rect(x.x, top, x.w, bottom-top, 236, Pen{})
	if l.Upper != nil && Finite(*l.Upper) {
		c.Line(x.x, top, x.x+x.w, top, edge)
	}
	if l.Lower != nil && Finite(*l.Lower) {
		c.Line(x.x, bottom, x.x+x.w, bottom, edge)
	}
}

var seriesDashes = [...][]float64{nil, {3, 1.5}, {1, 1}, {4, 1, 1, 1}}

func series(l *document.LineBand, c canvas, s document.LineSeries, i int, x, y scale) {
	p := Pen{Width: 0.45, Ink: 22, Dash: seriesDashes[i%len(seriesDashes)]}
	var last *Point
	for _, r := range s.Points {
		if r.Missing || !Finite(r.X, r.Y) {
			last = nil // the line is broken where a reading was not taken
			continue
		}
		at := Point{x.at(r.X), up(y, r.Y)}
		if last != nil && len(s.Fit) == 0 { // a fitted line stands in place of the one from point to point
			c.Line(last.X, last.Y, at.X, at.Y, p)
		}
		marker(c, at, i)
		last = &at
	}
}

// fit draws a fitted line and the curves of its 95 % range. A range that leaves the
// plot, as that of three readings soon does, is cut off at its edge.
func fit(l *document.LineBand, c canvas, s document.LineSeries, i int, x, y scale) {
	for k := 1; k < len(s.Fit); k++ {
		a, b := s.Fit[k-1], s.Fit[k]
		if Finite(a.X, a.Y, b.X, b.Y) {
			c.Line(x.at(a.X), up(y, a.Y), x.at(b.X), up(y, b.Y),
				Pen{Width: 0.45, Ink: 22, Dash: seriesDashes[i%len(seriesDashes)]})
		}
		for _, ends := range [][2]float64{{a.Low, b.Low}, {a.High, b.High}} {
			if !Finite(ends[0], ends[1]) {
				continue
			}
			from, to := up(y, ends[0]), up(y, ends[1])
			if min(from, to) >= 0 && max(from, to) <= linePlot {
				c.Line(x.at(a.X), from, x.at(b.X), to, rangePen)
			}
		}
	}
}

// rangePen draws the curves of a 95 % range.
var rangePen = Pen{Width: 0.2, Ink: 120}

// marker draws the sign of series i: square, ring, triangle, diamond.
func marker(c canvas, p Point, i int) {
	edge := Pen{Width: 0.35, Ink: 22}
	const r = 0.95
	switch i % 4 {
	case 0:
		c.Rect(p.X-r, p.Y-r, 2*r, 2*r, 22, Pen{})
	case 1:
		c.Rect(p.X-r, p.Y-r, 2*r, 2*r, 255, edge)
	case 2:
		c.Polygon([]Point{{p.X, p.Y - 1.2*r}, {p.X + 1.2*r, p.Y + r}, {p.X - 1.2*r, p.Y + r}}, 22, Pen{})
	case 3:
		c.Polygon([]Point{{p.X, p.Y - 1.3*r}, {p.X + 1.3*r, p.Y}, {p.X, p.Y + 1.3*r}, {p.X - 1.3*r, p.Y}},
			255, edge)
	}
}

func legendLineBand(l *document.LineBand, c canvas, width float64) {
	layLegend(namesOfLineBand(l), width-lineLeft, c.Clean).draw(c, lineLeft, linePlot+lineFoot-1.4,
		func(i int, x, y float64) {
			mid := y + 1.3
			if i < len(l.Series) {
				c.Line(x-1, mid, x+4, mid, Pen{Width: 0.45, Ink: 22, Dash: seriesDashes[i%len(seriesDashes)]})
				marker(c, Point{x + 1.5, mid}, i)
				return
			}
			if i > len(l.Series) || l.Lower == nil && l.Upper == nil {
				c.Line(x-1, mid, x+4, mid, rangePen)
				return
			}
			c.Rect(x, y-0.1, 4, 2.8, 236, Pen{Width: 0.2, Ink: 60, Dash: []float64{1, 0.6}})
		})
}
