package page

import (
	"fmt"
	"strings"

	"gallipot/dossier/document/chart"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/words"
)

// svgCanvas draws a chart as a picture for web pages. One unit is a millimetre of
// the printed page.
type svgCanvas struct{ b strings.Builder }

// topRoom is left above a drawing: the label of an upright axis stands there.
const topRoom = 4.0

// svg returns a drawing as an element for a web page.
func svg(d chart.Drawing, title string) string {
	c := &svgCanvas{}
	d.Draw(c)
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="%s" width="%.0f" height="%.0f" viewBox="0 %.1f %.1f %.1f" font-family="Verdana, sans-serif">`+"\n%s</svg>",
		esc(title), pdf.TextW*5, (d.Height+topRoom)*5, -topRoom, pdf.TextW, d.Height+topRoom, c.b.String())
}

func greyHex(ink int) string { return fmt.Sprintf("#%02x%02x%02x", ink, ink, ink) }

func attributes(p chart.Pen) string {
	if p.Width <= 0 {
		return ""
	}
	s := fmt.Sprintf(` stroke="%s" stroke-width="%.2f"`, greyHex(p.Ink), p.Width)
	if len(p.Dash) > 0 {
		s += ` stroke-dasharray="` + strings.Trim(fmt.Sprint(p.Dash), "[]") + `"`
	}
	return s
}

func groundHex(ground int) string {
	switch ground {
	case chart.None:
		return "none"
	case chart.Green:
		return "#224e3e"
	}
	return greyHex(ground)
}

func (c *svgCanvas) Line(x1, y1, x2, y2 float64, p chart.Pen) {
	if chart.Finite(x1, y1, x2, y2) {
		fmt.Fprintf(&c.b, `<line x1="%.2f" y1="%.2f" x2="%.2f" y2="%.2f"%s/>`+"\n", x1, y1, x2, y2, attributes(p))
	}
}

func (c *svgCanvas) Rect(x, y, w, h float64, ground int, p chart.Pen) {
	if chart.Finite(x, y, w, h) {
		fmt.Fprintf(&c.b, `<rect x="%.2f" y="%.2f" width="%.2f" height="%.2f" fill="%s"%s/>`+"\n", x, y, w, h,
			groundHex(ground), attributes(p))
	}
}

func (c *svgCanvas) Polygon(points []chart.Point, ground int, p chart.Pen) {
	list := make([]string, len(points))
	for i, q := range points {
		if !chart.Finite(q.X, q.Y) {
			return
		}
		list[i] = fmt.Sprintf("%.2f,%.2f", q.X, q.Y)
	}
	fmt.Fprintf(&c.b, `<polygon points="%s" fill="%s"%s/>`+"\n", strings.Join(list, " "), groundHex(ground),
		attributes(p))
}

// Text fits the words to the width they were laid out with, whatever font the
// browser has.
func (c *svgCanvas) Text(x, base float64, s string, style layout.FontStyle, size float64, ink int) {
	if !chart.Finite(x, base) || s == "" {
		return
	}
	weight := ""
	if style == layout.StyleBold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(&c.b,
		`<text x="%.2f" y="%.2f" font-size="%.2f" fill="%s"%s textLength="%.2f" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
		x, base, size*layout.PointMM, greyHex(ink), weight, layout.TextMM(s, style, size), esc(s))
}

func (c *svgCanvas) Link(x, y, w, h float64, anchor string) {
	fmt.Fprintf(&c.b,
		`<a href="#%s"><rect x="%.2f" y="%.2f" width="%.2f" height="%.2f" fill="none" pointer-events="all"/></a>`+"\n", esc(anchor), x, y, w, h)
}

func (c *svgCanvas) Clean(s string) string { return words.Printable(s) }
