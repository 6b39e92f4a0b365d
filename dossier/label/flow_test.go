package label

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/labelling"
)

// What can be set ends no higher than the bound says, so that the bound leaves out
// nothing that fits; and it does leave out most of what does not.
func TestLowest(t *testing.T) {
	rnd := rand.New(rand.NewPCG(60, 30))
	words := strings.Fields("Aqua, Glycerin, Sodium Cocoyl Isethionate, CI\u00a077491, Butyrospermum Parkii Butter, 1,2-Hexanediol, ÄÖÜ – m")
	fits, left, missed := 0, 0, 0
	for range 600 {
		var m matter
		for range 1 + rnd.IntN(4) {
			var text []string
			for range 1 + rnd.IntN(60) {
				text = append(text, words[rnd.IntN(len(words))])
			}
			p := para{kind: labelling.ItemIngredients, Text: strings.Join(text, " ")}
			if rnd.IntN(2) == 0 {
				p.Lead = "Ingredients"
			}
			m.Paras = append(m.Paras, p)
		}
		a := straight(2, 2, 10+90*rnd.Float64(), 8+60*rnd.Float64(), rnd.IntN(2) == 0)
		if rnd.IntN(3) == 0 {
			r := 8 + 40*rnd.Float64()
			a = disc(r, r, r)
		}
		s := setting{x: 0.6 + rnd.Float64()}
		k, y, ok := &ink{}, a.top, true
		size := sizeForX(s.x)
		for i, p := range m.Paras {
			if i > 0 {
				y += paraGap * s.x
			}
			if y, ok = k.flowText(a, y, p.runs(), size); !ok {
				break
			}
		}
		bound := m.lowest(a, a.top, s)
		switch {
		case ok:
			fits++
			require.LessOrEqual(t, bound, y)
		case bound > a.bottom:
			left++
		default:
			missed++
		}
	}
	require.Greater(t, fits, 100)
	require.Greater(t, left, 5*missed, "%d left out at once, %d only by setting them", left, missed)
}
