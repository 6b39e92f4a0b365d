package label

import (
	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/label/labelsize"
)

// Drawing is the label as other documents show it, without the marks of a proof.
func (art *artwork) Drawing() *document.Drawing {
	o := art.size
	d := &document.Drawing{Width: o.Width, Height: o.Height, Round: o.Shape == labelsize.Round}
	for _, l := range art.ink.lines {
		d.Shapes = append(d.Shapes,
			document.Shape{Outlines: [][]document.Point{{{X: l.x0, Y: l.y0}, {X: l.x1, Y: l.y1}}}, Width: lineWidth})
	}
	for _, s := range art.ink.signs {
		d.Shapes = append(d.Shapes, s.shapes()...)
	}
	for _, t := range art.ink.texts {
		d.Texts = append(d.Texts, document.DrawnText{X: t.X, Base: t.Base, Size: t.Size,
			Bold: t.Style == layout.StyleBold, Text: t.S})
	}
	return d
}

// shapes are the strokes of a sign at its place.
func (s inkSign) shapes() (out []document.Shape) {
	for _, st := range signs[s.kind].strokes {
		shape := document.Shape{Filled: st.filled, Cleared: st.cleared, Closed: st.closed,
			Width: st.width * s.height}
		for _, pts := range st.outlines {
			var at []document.Point
			for _, q := range pts {
				at = append(at, document.Point{X: s.x + q.x*s.height, Y: s.y + q.y*s.height})
			}
			shape.Outlines = append(shape.Outlines, at)
		}
		out = append(out, shape)
	}
	return out
}
