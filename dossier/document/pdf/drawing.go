package pdf

import (
	"fmt"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// drawing sets what is drawn below its caption: in true size where there is room for it,
// else as large as there is, and the caption says how much smaller.
func (w *Writer) drawing(b *document.Drawing) piece {
	scale := min(1, w.width/b.Width)
	if b.MostMM > 0 {
		scale = min(scale, b.MostMM/b.Height)
	}
	remark := "in true size"
	if scale < 1 {
		scale = float64(int(scale*100)) / 100 // whole per cent, as said
		remark = fmt.Sprintf("at %.0f %% of its size", scale*100)
	}
	lines := w.caption(w.chartNo[b], "Figure", b.Title, remark)
	high := b.Height * scale
	return piece{need: float64(len(lines))*w.sc.captionLine + w.sc.captionGap + high, draw: func() {
		w.anchor(b.ID, w.y)
		w.row([]*stack{{x: w.left, w: w.width, lines: lines}}, rowStyle{})
		w.took(w.sc.captionGap)
		w.sketch(b, w.left, w.y, scale)
		w.took(high)
		w.gap(w.sc.gapBlock)
	}}
}

// sketch draws the edge and all that is within, its corner at x, y.
func (w *Writer) sketch(b *document.Drawing, x, y, scale float64) {
	w.P.SetDrawColor(Rule[0], Rule[1], Rule[2])
	w.P.SetLineWidth(0.1)
	if b.Round {
		w.P.Circle(x+b.Width*scale/2, y+b.Width*scale/2, b.Width*scale/2, "D")
	} else {
		w.P.Rect(x, y, b.Width*scale, b.Height*scale, "D")
	}
	for _, s := range b.Shapes {
		w.Shape(s, x, y, scale)
	}
	w.P.SetLineJoinStyle("miter")
	w.P.SetLineCapStyle("butt")
	for _, t := range b.Texts {
		style := layout.StyleRegular
		if t.Bold {
			style = layout.StyleBold
		}
		w.Write(x+t.X*scale, y+t.Base*scale, t.Text, style, t.Size*scale, Colour{})
	}
}

// Shape draws a shape in black with the corner of its drawing at x, y, in mm; lines end
// and turn round.
func (w *Writer) Shape(s document.Shape, x, y, scale float64) {
	w.P.SetLineJoinStyle("round")
	w.P.SetLineCapStyle("round")
	w.P.SetDrawColor(0, 0, 0)
	for _, pts := range s.Outlines {
		for i, q := range pts {
			if i == 0 {
				w.P.MoveTo(x+q.X*scale, y+q.Y*scale)
			} else {
				w.P.LineTo(x+q.X*scale, y+q.Y*scale)
			}
		}
		if s.Closed || s.Filled {
			w.P.ClosePath()
		}
	}
	w.P.SetLineWidth(s.Width * scale)
	switch {
	case s.Filled:
		w.P.SetFillColor(0, 0, 0)
		w.P.DrawPath("F*")
	case s.Cleared:
		w.P.SetFillColor(255, 255, 255)
		w.P.DrawPath("DF")
	default:
		w.P.DrawPath("D")
	}
}
