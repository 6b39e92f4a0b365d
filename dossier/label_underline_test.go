package dossier

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
)

// TestUnderlinedAddress: every line of the address has a line below it, as long as
// its words and clear of them; nothing else has one, the market in front included.
func TestUnderlinedAddress(t *testing.T) {
	m := matter{name: "Tide", paras: []para{
		{kind: calc.ItemPerson, lead: "GB", text: "Skerry, Shore Road 1, Northerly Harbour, United Kingdom", underlined: true},
		{kind: calc.ItemPerson, lead: "EU", text: "Pier, Quay 2, Ireland"},
	}}
	for _, o := range []outline{{shape: ShapeRectangle, width: 40, height: 40, margin: 2}, {shape: ShapeRound, width: 50, height: 50, margin: 2}} {
		k := o.set(m, setting{x: 1.2, name: 1.6})
		require.NotNil(t, k, o.shape)
		words := 0
		for _, text := range k.texts {
			if text.style != styleRegular || text.s == "Pier, Quay 2, Ireland" {
				continue
			}
			if !assert.LessOrEqual(t, words, len(k.lines)) || words == len(k.lines) {
				break
			}
			line := k.lines[words]
			words++
			assert.InDelta(t, text.x, line.x0, 1e-9)
			assert.InDelta(t, text.x+text.width, line.x1, 1e-9)
			assert.Equal(t, line.y0, line.y1)
			assert.Greater(t, line.y0, text.base)
			assert.True(t, o.inside(line.x0, line.y0) && o.inside(line.x1, line.y1))
		}
		assert.Greater(t, words, 1, "the address takes several lines")
		assert.Len(t, k.lines, words)
	}
}
