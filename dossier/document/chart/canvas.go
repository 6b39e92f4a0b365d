package chart

import (
	"math"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// canvas is what charts are drawn on: a page of the PDF or an SVG picture.
// Lengths are in millimetres from the upper left corner, sizes of type in points.
type canvas interface {
	Line(x1, y1, x2, y2 float64, pen Pen)
	Rect(x, y, w, h float64, ground int, pen Pen)
	Polygon(points []Point, ground int, pen Pen)
	Text(x, baseline float64, s string, style layout.FontStyle, size float64, ink int)
	Link(x, y, w, h float64, anchor string)
	Clean(s string) string
}

// Pen is how a line is drawn. Width 0 draws none.
type Pen struct {
	Width float64
	Ink   int // 0 black to 255 white
	Dash  []float64
}

type Point struct{ X, Y float64 }

// Grounds that are no grey: of a shape that is not filled, and of a bar that keeps its
// limit. Neither carries a verdict alone: a sign stands beside.
const (
	None  = -1
	Green = -2
)

// Drawing is one piece of a chart. It fits a page.
type Drawing struct {
	Height float64
	Draw   func(c canvas)
}

// Drawings cuts a chart into pieces that fit a page each.
func Drawings(of document.Chart, width float64, clean func(string) string) []Drawing {
	switch c := of.(type) {
	case *document.HBarLog:
		return drawingsHBarLog(c, width, clean)
	case *document.StackedBar:
		return drawingsStackedBar(c, width, clean)
	case *document.ReadinessBars:
		return drawingsReadinessBars(c, width, clean)
	case *document.LineBand:
		return drawingsLineBand(c, width, clean)
	}
	panic("a kind of chart that nobody draws")
}

// mostDrawing is how high a piece of a chart may be, in mm, with its title and its
// caption on the same page.
const mostDrawing = 185.0

// chunks shares n rows out to pieces no higher than most, by the height of each.
func chunks(n int, most float64, height func(i int) float64) (ends []int) {
	used := 0.0
	for i := range n {
		h := height(i)
		if i > 0 && used+h > most {
			ends = append(ends, i)
			used = 0
		}
		used += h
	}
	return append(ends, n)
}

// pattern tells the parts of a chart apart without colour.
type pattern int

const (
	patSolid pattern = iota
	patWhite
	patHatch
	patGrey
	patCross
	patBack
	patLines
	patDark
	patDots
	patternCount
	patGreen // of a bar, never of a part
)

// there is a pattern for every part that a chart may have
var _ [document.MostPatterns]struct{} = [patternCount]struct{}{}

// patterned fills a rectangle with a pattern and draws its edge.
func patterned(c canvas, x, y, w, h float64, p pattern) {
	if w <= 0 || h <= 0 {
		return
	}
	ground := map[pattern]int{patSolid: 70, patGrey: 200, patDark: 130, patGreen: Green}
	g, ok := ground[p]
	if !ok {
		g = 255
	}
	c.Rect(x, y, w, h, g, Pen{})
	thin := Pen{Width: 0.18, Ink: 40}
	switch p {
	case patHatch:
		diagonals(c, x, y, w, h, 1.3, 1, thin)
	case patBack:
		diagonals(c, x, y, w, h, 1.3, -1, thin)
	case patCross:
		diagonals(c, x, y, w, h, 1.5, 1, thin)
		diagonals(c, x, y, w, h, 1.5, -1, thin)
	case patLines:
		for at := 0.9; at < w; at += 0.9 {
			c.Line(x+at, y, x+at, y+h, thin)
		}
	case patDots:
		for dx := 0.7; dx < w-0.3; dx += 1.4 {
			for dy := 0.7; dy < h-0.3; dy += 1.4 {
				c.Rect(x+dx, y+dy, 0.35, 0.35, 40, Pen{})
			}
		}
	}
	c.Rect(x, y, w, h, None, Pen{Width: 0.2, Ink: 40})
}

// diagonals draws slanted lines inside a rectangle, cut at its edges. Direction
// +1 rises to the right, -1 falls.
func diagonals(c canvas, x, y, w, h, pitch float64, direction int, p Pen) {
	for at := pitch - h; at < w; at += pitch {
		// the line runs from (at, bottom) to (at+h, top), or the other way round
		from, to := math.Max(at, 0), math.Min(at+h, w)
		if to <= from {
			continue
		}
		if direction > 0 {
			c.Line(x+from, y+h-(from-at), x+to, y+h-(to-at), p)
		} else {
			c.Line(x+from, y+(from-at), x+to, y+(to-at), p)
		}
	}
}

// drawWords draws text in lines no wider than width and returns how many there are.
func drawWords(c canvas, x, y, width float64, s string, style layout.FontStyle, size float64,
	right bool) int {
	lines := layout.WrapRuns([]layout.Run{{Text: c.Clean(s), Style: style}}, width, layout.RuneMM(size))
	for i, l := range lines {
		at := x
		if right {
			at = x + width - layout.LineWidth(l, layout.RuneMM(size))
		}
		for _, r := range l {
			c.Text(at, y+float64(i)*size*0.45, r.Text, r.Style, size, 22)
		}
	}
	return len(lines)
}

// wordLines returns how many lines drawWords needs.
func wordLines(s string, style layout.FontStyle, size, width float64) int {
	return len(layout.WrapRuns([]layout.Run{{Text: s, Style: style}}, width, layout.RuneMM(size)))
}

// Finite says whether all values can be drawn.
func Finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// scale maps values to lengths.
type scale struct {
	from, to float64 // values at the ends
	x, w     float64 // where the scale stands
	log      bool
}

// at returns where v lies, kept between the ends.
func (s scale) at(v float64) float64 {
	from, to := s.from, s.to
	if s.log {
		if v <= 0 {
			return s.x
		}
		v, from, to = math.Log10(v), math.Log10(from), math.Log10(to)
	}
	if to <= from {
		return s.x
	}
	return s.x + s.w*math.Min(math.Max((v-from)/(to-from), 0), 1)
}

// decades returns the powers of ten from s.from to s.to.
func (s scale) decades() []float64 {
	var out []float64
	for e := math.Round(math.Log10(s.from)); e <= math.Round(math.Log10(s.to)); e++ {
		out = append(out, math.Pow(10, e))
	}
	return out
}

// ticks returns round values between the ends, about n of them.
func (s scale) ticks(n int) []float64 {
	span := s.to - s.from
	if !(span > 0) {
		return []float64{s.from}
	}
	unit := math.Pow(10, math.Floor(math.Log10(span/float64(n))))
	for _, f := range []float64{1, 2, 5, 10} {
		if span/(unit*f) <= float64(n) {
			unit *= f
			break
		}
	}
	var out []float64
	for i := math.Ceil(s.from/unit - 1e-9); i*unit <= s.to+unit*1e-9; i++ {
		out = append(out, i*unit)
	}
	return out
}
