package label

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/labelling"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/label/labelsize"
)

// TestUnderlinedAddress: every line of the address has a line below it, as long as
// its words and clear of them; nothing else has one, the market in front included.
func TestUnderlinedAddress(t *testing.T) {
	m := matter{Name: "Tide", Paras: []para{
		{kind: labelling.ItemPerson, Lead: "GB", Text: "Skerry, Shore Road 1, Northerly Harbour, United Kingdom",
			underlined: true},
		{kind: labelling.ItemPerson, Lead: "EU", Text: "Pier, Quay 2, Ireland"},
	}}
	for _, o := range []outline{{Shape: labelsize.Rectangle, Width: 40, Height: 40, Margin: 2},
		{Shape: labelsize.Round, Width: 50, Height: 50, Margin: 2}} {
		k := o.set(m, setting{x: 1.2, name: 1.6})
		require.NotNil(t, k, o.Shape)
		words := 0
		for _, text := range k.texts {
			if text.Style != layout.StyleRegular || text.S == "Pier, Quay 2, Ireland" {
				continue
			}
			if !assert.LessOrEqual(t, words, len(k.lines)) || words == len(k.lines) {
				break
			}
			line := k.lines[words]
			words++
			assert.InDelta(t, text.X, line.x0, 1e-9)
			assert.InDelta(t, text.X+text.Width, line.x1, 1e-9)
			assert.Equal(t, line.y0, line.y1)
			assert.Greater(t, line.y0, text.Base)
			assert.True(t, o.inside(line.x0, line.y0) && o.inside(line.x1, line.y1))
		}
		assert.Greater(t, words, 1, "the address takes several lines")
		assert.Len(t, k.lines, words)
	}
}
