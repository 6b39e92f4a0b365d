package label

import (
	"math"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/label/labelsize"
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
func gridFor(o outline, size *labelsize.Size) (grid, bool) {
	if s := size.Sheet; s != nil && s.LeftMM != nil && s.TopMM != nil && s.AcrossMM != nil && s.DownMM != nil {
		g := grid{pw: pdf.PageW, ph: pdf.PageH, across: s.Across, down: s.Down, left: s.LeftMM.Float(),
			top:        s.TopMM.Float(),
			stepAcross: s.AcrossMM.Float(), stepDown: s.DownMM.Float(), cut: true}
		fits := g.left+float64(g.across-1)*g.stepAcross+o.Width <= g.pw+layout.Slack &&
			g.top+float64(g.down-1)*g.stepDown+o.Height <= g.ph+layout.Slack
		return g, fits && g.stepAcross >= o.Width-layout.Slack && g.stepDown >= o.Height-layout.Slack
	}
	var best grid
	for _, paper := range [][2]float64{{pdf.PageW, pdf.PageH}, {pdf.PageH, pdf.PageW}} {
		g := grid{pw: paper[0], ph: paper[1], stepAcross: o.Width + sheetGap, stepDown: o.Height + sheetGap,
			top: sheetEdge}
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
	g, ok := gridFor(art.size, art.label.A.Product.Label)
	if !ok {
		return noSheet(art.size, art.label.A.Product.Label)
	}
	w.P.AddPageFormat("P", fpdf.SizeType{Wd: g.pw, Ht: g.ph})
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
	if o.Shape == labelsize.Round {
		w.circle(x, y, o.Width)
		return
	}
	for _, cx := range []float64{x, x + o.Width} {
		w.Line(cx, y-off, cx, y-off-long, thin, pdf.Colour{})
		w.Line(cx, y+o.Height+off, cx, y+o.Height+off+long, thin, pdf.Colour{})
	}
	for _, cy := range []float64{y, y + o.Height} {
		w.Line(x-off, cy, x-off-long, cy, thin, pdf.Colour{})
		w.Line(x+o.Width+off, cy, x+o.Width+off+long, cy, thin, pdf.Colour{})
	}
}

// sheetWords writes the proof line at the foot of a sheet, with the bar above it.
// On a sheet of cut labels without room there it stands on the page after it.
func (w *labelPrinter) sheetWords(art *artwork, g grid) {
	words := art.words()
	lines := w.wrapped([]string{words[0], strings.Join(words[1:], " · ")}, g.pw-2*sheetEdge)
	under := g.top + float64(g.down-1)*g.stepDown + art.size.Height + 2
	need := float64(len(lines))*proofLine + 5
	if g.ph-under < need {
		w.P.AddPageFormat("P", fpdf.SizeType{Wd: g.pw, Ht: g.ph})
		under = g.ph - need
	}
	y := max(under, g.ph-need-3)
	w.bar(sheetEdge, y+1.5)
	w.say(lines, sheetEdge, y+5.5)
}
