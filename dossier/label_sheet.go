package dossier

import (
	"math"
	"strings"

	"codeberg.org/go-pdf/fpdf"
)

// grid is how labels stand on a sheet, in mm.
type grid struct {
	pw, ph               float64 // of the sheet
	across, down         int
	left, top            float64
	stepAcross, stepDown float64
	cut                  bool // cut already: no marks
}

// The room on a sheet of labels, in mm: round its edge, at its foot for the
// proof line, and between labels for the marks.
const (
	sheetEdge = 10.0
	sheetFoot = 18.0
	sheetGap  = 4.0
)

// gridFor shares an A4 sheet out, upright or across, whichever holds more; a
// sheet of cut labels is as the product file says. It is false where not even
// one label fits.
func gridFor(o outline, size *LabelSize) (grid, bool) {
	if s := size.Sheet; s != nil && s.LeftMM != nil && s.TopMM != nil && s.AcrossMM != nil && s.DownMM != nil {
		g := grid{pw: pageW, ph: pageH, across: s.Across, down: s.Down, left: s.LeftMM.Float(), top: s.TopMM.Float(),
			stepAcross: s.AcrossMM.Float(), stepDown: s.DownMM.Float(), cut: true}
		fits := g.left+float64(g.across-1)*g.stepAcross+o.width <= g.pw+slack && g.top+float64(g.down-1)*g.stepDown+o.height <= g.ph+slack
		return g, fits && g.stepAcross >= o.width-slack && g.stepDown >= o.height-slack
	}
	var best grid
	for _, paper := range [][2]float64{{pageW, pageH}, {pageH, pageW}} {
		g := grid{pw: paper[0], ph: paper[1], stepAcross: o.width + sheetGap, stepDown: o.height + sheetGap, top: sheetEdge}
		g.across = int(math.Floor((g.pw - 2*sheetEdge + sheetGap) / g.stepAcross))
		g.down = int(math.Floor((g.ph - sheetEdge - sheetFoot + sheetGap) / g.stepDown))
		g.left = (g.pw - float64(g.across)*g.stepAcross + sheetGap) / 2
		if g.across*g.down > best.across*best.down {
			best = g
		}
	}
	return best, best.across*best.down > 0
}

// sheet fills one A4 sheet with a label.
func (w *labelPrinter) sheet(art *artwork) error {
	g, ok := gridFor(art.size, art.label.a.Product.Label)
	if !ok {
		return noSheet(art.size, art.label.a.Product.Label)
	}
	w.p.AddPageFormat("P", fpdf.SizeType{Wd: g.pw, Ht: g.ph})
	for row := range g.down {
		for col := range g.across {
			x, y := g.left+float64(col)*g.stepAcross, g.top+float64(row)*g.stepDown
			w.draw(art.ink, x, y)
			if !g.cut {
				w.cutMarks(art.size, x, y)
			}
		}
	}
	w.sheetWords(art, g)
	return nil
}

// cutMarks shows the edges of a label in the room between it and the next.
func (w *labelPrinter) cutMarks(o outline, x, y float64) {
	const off, long, thin = 0.4, 1.4, 0.1
	if o.shape == ShapeRound {
		w.circle(x, y, o.width)
		return
	}
	for _, cx := range []float64{x, x + o.width} {
		w.line(cx, y-off, cx, y-off-long, thin, colour{})
		w.line(cx, y+o.height+off, cx, y+o.height+off+long, thin, colour{})
	}
	for _, cy := range []float64{y, y + o.height} {
		w.line(x-off, cy, x-off-long, cy, thin, colour{})
		w.line(x+o.width+off, cy, x+o.width+off+long, cy, thin, colour{})
	}
}

// sheetWords writes the proof line at the foot of a sheet, with the bar above it.
// On a sheet of cut labels without room there it stands on the page after it.
func (w *labelPrinter) sheetWords(art *artwork, g grid) {
	words := art.words()
	lines := w.wrapped([]string{words[0], strings.Join(words[1:], " · ")}, g.pw-2*sheetEdge)
	under := g.top + float64(g.down-1)*g.stepDown + art.size.height + 2
	need := float64(len(lines))*proofLine + 5
	if g.ph-under < need {
		w.p.AddPageFormat("P", fpdf.SizeType{Wd: g.pw, Ht: g.ph})
		under = g.ph - need
	}
	y := max(under, g.ph-need-3)
	w.bar(sheetEdge, y+1.5)
	w.say(lines, sheetEdge, y+5.5)
}
