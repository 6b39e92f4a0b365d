package labelsize

import (
	"gallipot/calc/labelling"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// The shapes of labels.
const (
	Rectangle Shape = "rectangle"
	Round     Shape = "round"
	Wrap      Shape = "wrap" // a rectangle round a jar or bottle, with a front
)

// The lengths that a label can have, in mm.
var shortest, longest = exact.Int(5), exact.Int(600)

// Read reads the label of a product; nil when none is described.
func Read(v source.Node) (l *Size) {
	v.In("label size", "{shape: rectangle, width_mm: 70, height_mm: 40}", func(m *source.Mapping) {
		m.Need("shape", "shape: rectangle")
		m.Need("width_mm", "width_mm: 70")
		l = &Size{
			Shape: Shape(m.At("shape").Choice(string(Rectangle), string(Round), string(Wrap))),
			WidthMM: m.At("width_mm").Between(shortest,
				longest), MinTypeMM: m.At("min_type_mm").Between(exact.Frac(3, 10), shortest),
			MarginMM: m.At("margin_mm").Between(exact.Int(0),
				longest), OverlapMM: m.At("overlap_mm").Between(exact.Int(0),
				longest), Leaflet: m.At("leaflet").Yes(),
			SoldAs: labelling.LabelSale(m.At("sold_as").Choice(string(labelling.FreeSample),
				string(labelling.SingleApplication))),
			EMark: m.At("e_mark").Yes(), NoPAO: m.At("no_pao").Sentence(), Pos: m.Pos(),
		}
		if l.Shape == Rectangle || l.Shape == Wrap {
			m.Need("height_mm", "height_mm: 40")
		}
		l.HeightMM = m.At("height_mm").Between(shortest, longest)
		l.Sheet = readGrid(m.At("sheet"))
	})
	return l
}

func readGrid(v source.Node) (g *Grid) {
	v.In("sheet of cut labels",
		"{across: 3, down: 7, left_mm: 7.2, top_mm: 15.1, step_across_mm: 66, step_down_mm: 38.1}",
		func(m *source.Mapping) {
			for _, key := range []string{"across", "down", "left_mm", "top_mm", "step_across_mm",
				"step_down_mm"} {
				m.Need(key, key+": …")
			}
			g = &Grid{LeftMM: m.At("left_mm").Between(exact.Int(0), longest),
				TopMM: m.At("top_mm").Between(exact.Int(0), longest),
				AcrossMM: m.At("step_across_mm").Between(shortest,
					longest), DownMM: m.At("step_down_mm").Between(shortest, longest), Pos: m.Pos()}
			g.Across, _ = m.At("across").Count(1, 30)
			g.Down, _ = m.At("down").Count(1, 50)
		})
	return g
}
