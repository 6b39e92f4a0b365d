package dossier

import "fmt"

// pdfCanvas draws a chart at a place of the page.
type pdfCanvas struct {
	w    *pdfWriter
	x, y float64
}

func (c pdfCanvas) pen(p pen) {
	w := c.w.p
	w.SetDrawColor(p.ink, p.ink, p.ink)
	w.SetLineWidth(p.width)
	w.SetDashPattern(p.dash, 0)
}

func (c pdfCanvas) line(x1, y1, x2, y2 float64, p pen) {
	if !finite(x1, y1, x2, y2) {
		return
	}
	c.pen(p)
	c.w.p.Line(c.x+x1, c.y+y1, c.x+x2, c.y+y2)
	c.w.p.SetDashPattern(nil, 0)
}

func (c pdfCanvas) rect(x, y, w, h float64, ground int, p pen) {
	if !finite(x, y, w, h) {
		return
	}
	if style := c.style(ground, p); style != "" {
		c.w.p.Rect(c.x+x, c.y+y, w, h, style)
	}
	c.w.p.SetDashPattern(nil, 0)
}

func (c pdfCanvas) style(ground int, p pen) string {
	style := ""
	if ground != none {
		c.w.p.SetFillColor(ground, ground, ground)
		style = "F"
	}
	if p.width > 0 {
		c.pen(p)
		style += "D"
	}
	return style
}

func (c pdfCanvas) polygon(points []point, ground int, p pen) {
	style := c.style(ground, p)
	if style == "" || len(points) == 0 {
		return
	}
	for i, q := range points {
		if i == 0 {
			c.w.p.MoveTo(c.x+q.x, c.y+q.y)
		} else {
			c.w.p.LineTo(c.x+q.x, c.y+q.y)
		}
	}
	c.w.p.ClosePath()
	c.w.p.DrawPath(style)
}

func (c pdfCanvas) text(x, base float64, s string, style fontStyle, size float64, ink int) {
	if finite(x, base) {
		c.w.write(c.x+x, c.y+base, c.clean(s), style, size, colour{ink, ink, ink})
	}
}

func (c pdfCanvas) link(x, y, w, h float64, anchor string) {
	c.w.linkArea(c.x+x, c.y+y, w, h, anchor)
}

func (c pdfCanvas) clean(s string) string { return c.w.clean.clean(s) }

// chart lists the pieces of a chart: its drawings, with title and caption.
func (w *pdfWriter) chart(b chart) []piece {
	id, title, caption := b.head()
	pieces := drawings(b, textW, w.clean.clean)
	below := w.set(w.plain(caption, styleRegular), textW, smallSize, smallLine, grey)
	if caption == "" {
		below = nil
	}
	var out []piece
	for i, d := range pieces {
		head := title
		if len(pieces) > 1 {
			head = fmt.Sprintf("%s (part %d of %d)", title, i+1, len(pieces))
		}
		lines := w.set(w.plain(head, styleBold), textW, bodySize-0.5, captionLine, black)
		last := i+1 == len(pieces)
		need := float64(len(lines))*captionLine + 4 + d.height
		if last {
			need += float64(len(below)) * smallLine
		}
		out = append(out, piece{need: need, draw: func() {
			if i == 0 {
				w.anchor(id, w.y)
			}
			w.row([]*stack{{x: marginL, w: textW, lines: lines}}, rowStyle{})
			w.took(4)
			d.draw(pdfCanvas{w, marginL, w.y})
			w.took(d.height)
			if last {
				w.row([]*stack{{x: marginL, w: textW, lines: below}}, rowStyle{})
				w.gap(gapBlock)
			}
		}})
	}
	if t := chartTable(b); t != nil {
		out = append(out, w.table(t)...)
	}
	return out
}

// chartTable returns the figures that a drawing cannot carry itself.
func chartTable(b chart) *Table {
	switch b := b.(type) {
	case *LineBand:
		return b.figures()
	case *StackedBar:
		if len(b.Rows) > 1 {
			return b.figures()
		}
	}
	return nil
}
