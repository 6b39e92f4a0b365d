package pdf

import (
	"fmt"

	"gallipot/dossier/document"
	"gallipot/dossier/document/chart"
	"gallipot/dossier/document/layout"
)

// pdfCanvas draws a chart at a place of the page.
type pdfCanvas struct {
	w    *Writer
	x, y float64
}

func (c pdfCanvas) pen(p chart.Pen) {
	w := c.w.P
	w.SetDrawColor(p.Ink, p.Ink, p.Ink)
	w.SetLineWidth(p.Width)
	w.SetDashPattern(p.Dash, 0)
}

func (c pdfCanvas) Line(x1, y1, x2, y2 float64, p chart.Pen) {
	if !chart.Finite(x1, y1, x2, y2) {
		return
	}
	c.pen(p)
	c.w.P.Line(c.x+x1, c.y+y1, c.x+x2, c.y+y2)
	c.w.P.SetDashPattern(nil, 0)
}

func (c pdfCanvas) Rect(x, y, w, h float64, ground int, p chart.Pen) {
	if !chart.Finite(x, y, w, h) {
		return
	}
	if style := c.style(ground, p); style != "" {
		c.w.P.Rect(c.x+x, c.y+y, w, h, style)
	}
	c.w.P.SetDashPattern(nil, 0)
}

func (c pdfCanvas) style(ground int, p chart.Pen) string {
	style := ""
	if ground != chart.None {
		ink := Colour{ground, ground, ground}
		if ground == chart.Green {
			ink = accent
		}
		c.w.P.SetFillColor(ink[0], ink[1], ink[2])
		style = "F"
	}
	if p.Width > 0 {
		c.pen(p)
		style += "D"
	}
	return style
}

func (c pdfCanvas) Polygon(points []chart.Point, ground int, p chart.Pen) {
	style := c.style(ground, p)
	if style == "" || len(points) == 0 {
		return
	}
	for i, q := range points {
		if i == 0 {
			c.w.P.MoveTo(c.x+q.X, c.y+q.Y)
		} else {
			c.w.P.LineTo(c.x+q.X, c.y+q.Y)
		}
	}
	c.w.P.ClosePath()
	c.w.P.DrawPath(style)
}

func (c pdfCanvas) Text(x, base float64, s string, style layout.FontStyle, size float64, ink int) {
	if chart.Finite(x, base) {
		c.w.Write(c.x+x, c.y+base, c.Clean(s), style, size, Colour{ink, ink, ink})
	}
}

func (c pdfCanvas) Link(x, y, w, h float64, anchor string) {
	c.w.linkArea(c.x+x, c.y+y, w, h, anchor)
}

func (c pdfCanvas) Clean(s string) string { return c.w.Clean.Clean(s) }

// chart lists the pieces of a chart: its drawings, with title and caption.
func (w *Writer) chart(b document.Chart) []piece {
	id, title, caption := b.Head()
	pieces := chart.Drawings(b, w.width, w.Clean.Clean)
	below := w.set(w.plain(caption, layout.StyleRegular), w.width, w.sc.small, w.sc.smallLine, Grey)
	if caption == "" {
		below = nil
	}
	above := w.sc.gapPara
	if _, curve := b.(*document.LineBand); curve {
		above = max(above, axisName)
	}
	var out []piece
	for i, d := range pieces {
		head := title
		if len(pieces) > 1 {
			head = fmt.Sprintf("%s (part %d of %d)", title, i+1, len(pieces))
		}
		lines := w.caption(w.chartNo[b], "Figure", head, "")
		last := i+1 == len(pieces)
		need := float64(len(lines))*w.sc.captionLine + above + d.Height
		if last {
			need += float64(len(below)) * w.sc.smallLine
		}
		out = append(out, piece{need: need, draw: func() {
			if i == 0 {
				w.anchor(id, w.y)
			}
			w.row([]*stack{{x: w.left, w: w.width, lines: lines}}, rowStyle{})
			w.took(above)
			d.Draw(pdfCanvas{w, w.left, w.y})
			w.took(d.Height)
			if last {
				w.row([]*stack{{x: w.left, w: w.width, lines: below}}, rowStyle{})
				w.gap(w.sc.gapBlock)
			}
		}})
	}
	if t := ChartTable(b); t != nil && !w.sc.dense { // in a reference the table stands beside
		out = append(out, w.table(t)...)
	}
	return out
}

// axisName is the room in mm for the name of the upright axis above a curve.
const axisName = 3.6

// ChartTable returns the figures that a drawing cannot carry itself.
func ChartTable(b document.Chart) *document.Table {
	switch b := b.(type) {
	case *document.LineBand:
		return b.Figures()
	case *document.StackedBar:
		if len(b.Rows) > 1 {
			return b.Figures()
		}
	}
	return nil
}
