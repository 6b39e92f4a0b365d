package pdf

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// TestDrawingSize: what has room is drawn in true size; else smaller by whole per cent,
// which the caption says. The text is 176 mm wide.
func TestDrawingSize(t *testing.T) {
	for name, c := range map[string]struct {
		wide, high, most float64
		scale            float64
		says             string
	}{
		"fits":            {120, 45, 75, 1, "in true size"},
		"too wide":        {220, 45, 75, 0.80, "at 80 % of its size"},
		"too high":        {100, 90, 75, 0.83, "at 83 % of its size"},
		"no height asked": {100, 90, 0, 1, "in true size"},
	} {
		t.Run(name, func(t *testing.T) {
			d := &document.Document{Title: "T", Date: 20260601, NoContents: true}
			d.AddSection("s", "S").Add(&document.Drawing{ID: "d", Title: "Label", Width: c.wide, Height: c.high, MostMM: c.most,
				Texts: []document.DrawnText{{X: 10, Base: 10, Size: 20, Text: "left"},
					{X: c.wide - 10, Base: c.high - 10, Size: 20, Text: "right"}},
				Shapes: []document.Shape{{Outlines: [][]document.Point{{{X: 1, Y: 1}, {X: 2, Y: 2}}}, Width: 0.2}}})
			require.Empty(t, d.Check())
			w := NewWriter(d)
			at := map[string][3]float64{}
			said := ""
			w.Placed = func(x, y, size float64, _ layout.FontStyle, s string) {
				at[s] = [3]float64{x, y, size}
				said += s
			}
			w.Document()
			require.NoError(t, w.P.Error())
			assert.Contains(t, said, c.says)
			left, right := at["left"], at["right"]
			assert.InDelta(t, (c.wide-20)*c.scale, right[0]-left[0], 0.01)
			assert.InDelta(t, (c.high-20)*c.scale, right[1]-left[1], 0.01)
			assert.InDelta(t, 20*c.scale, left[2], 0.01)
		})
	}
}
