package dossier

import (
	"fmt"
	"strings"
)

// svgCanvas draws a chart as a picture for web pages. One unit is a millimetre of
// the printed page.
type svgCanvas struct{ b strings.Builder }

// topRoom is left above a drawing: the label of an upright axis stands there.
const topRoom = 4.0

// svg returns a drawing as an element for a web page.
func svg(d drawing, title string) string {
	c := &svgCanvas{}
	d.draw(c)
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="%s" width="%.0f" height="%.0f" viewBox="0 %.1f %.1f %.1f" font-family="Verdana, sans-serif">`+"\n%s</svg>",
		esc(title), textW*5, (d.height+topRoom)*5, -topRoom, textW, d.height+topRoom, c.b.String())
}

func greyHex(ink int) string { return fmt.Sprintf("#%02x%02x%02x", ink, ink, ink) }

func (p pen) attributes() string {
	if p.width <= 0 {
		return ""
	}
	s := fmt.Sprintf(` stroke="%s" stroke-width="%.2f"`, greyHex(p.ink), p.width)
	if len(p.dash) > 0 {
		s += ` stroke-dasharray="` + strings.Trim(fmt.Sprint(p.dash), "[]") + `"`
	}
	return s
}

func groundHex(ground int) string {
	if ground == none {
		return "none"
	}
	return greyHex(ground)
}

func (c *svgCanvas) line(x1, y1, x2, y2 float64, p pen) {
	if finite(x1, y1, x2, y2) {
		fmt.Fprintf(&c.b, `<line x1="%.2f" y1="%.2f" x2="%.2f" y2="%.2f"%s/>`+"\n", x1, y1, x2, y2, p.attributes())
	}
}

func (c *svgCanvas) rect(x, y, w, h float64, ground int, p pen) {
	if finite(x, y, w, h) {
		fmt.Fprintf(&c.b, `<rect x="%.2f" y="%.2f" width="%.2f" height="%.2f" fill="%s"%s/>`+"\n", x, y, w, h, groundHex(ground), p.attributes())
	}
}

func (c *svgCanvas) polygon(points []point, ground int, p pen) {
	list := make([]string, len(points))
	for i, q := range points {
		if !finite(q.x, q.y) {
			return
		}
		list[i] = fmt.Sprintf("%.2f,%.2f", q.x, q.y)
	}
	fmt.Fprintf(&c.b, `<polygon points="%s" fill="%s"%s/>`+"\n", strings.Join(list, " "), groundHex(ground), p.attributes())
}

// text fits the words to the width they were laid out with, whatever font the
// browser has.
func (c *svgCanvas) text(x, base float64, s string, style fontStyle, size float64, ink int) {
	if !finite(x, base) || s == "" {
		return
	}
	weight := ""
	if style == styleBold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(&c.b, `<text x="%.2f" y="%.2f" font-size="%.2f" fill="%s"%s textLength="%.2f" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
		x, base, size*pointMM, greyHex(ink), weight, textMM(s, style, size), esc(s))
}

func (c *svgCanvas) link(x, y, w, h float64, anchor string) {
	fmt.Fprintf(&c.b, `<a href="#%s"><rect x="%.2f" y="%.2f" width="%.2f" height="%.2f" fill="none" pointer-events="all"/></a>`+"\n", esc(anchor), x, y, w, h)
}

func (c *svgCanvas) clean(s string) string { return printable(s) }
