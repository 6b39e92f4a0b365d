package label

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document/layout"
	"gallipot/dossier/label/labelsize"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// requireKept wants a text inside the margin of its shape, with all that its
// letters reach up and down.
func requireKept(t *testing.T, o outline, x inkText, name string) {
	t.Helper()
	up, down := heights[x.Style]().Up*x.Size*layout.PointMM, heights[x.Style]().Down*x.Size*layout.PointMM
	for _, corner := range [][2]float64{{x.X, x.Base - up}, {x.X + x.Width, x.Base - up}, {x.X, x.Base + down},
		{x.X + x.Width, x.Base + down}} {
		if o.Shape == labelsize.Round {
			r := o.Width / 2
			require.LessOrEqual(t, math.Hypot(corner[0]-r, corner[1]-r), r-o.Margin+0.02, "%s: %q leaves the circle", name, x.S)
			continue
		}
		require.GreaterOrEqual(t, corner[0], o.Margin-0.02, "%s: %q", name, x.S)
		require.GreaterOrEqual(t, corner[1], o.Margin-0.02, "%s: %q", name, x.S)
		require.LessOrEqual(t, corner[0], o.Width-o.Overlap-o.Margin+0.02, "%s: %q", name, x.S)
		require.LessOrEqual(t, corner[1], o.Height-o.Margin+0.02, "%s: %q", name, x.S)
	}
}

// requireApart wants no text upon another: the letters without accents, which
// may reach into the line above, must not meet.
func requireApart(t *testing.T, texts []inkText, name string) {
	t.Helper()
	for i, a := range texts {
		for _, b := range texts[i+1:] {
			wide := min(a.X+a.Width, b.X+b.Width) - max(a.X, b.X)
			high := min(a.Base, b.Base) + 0.2*min(a.Size,
				b.Size)*layout.PointMM - max(a.Base-0.75*a.Size*layout.PointMM, b.Base-0.75*b.Size*layout.PointMM)
			require.False(t, wide > 0.05 && high > 0.05, "%s: %q and %q overlap", name, a.S, b.S)
		}
	}
}

// unspaced takes the spaces out, so that a name parted at the end of a line reads
// as one.
func unspaced(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, "\u00a0", " ")), "")
}

// wordsOn joins texts to the words that a reader sees, in the order drawn.
func wordsOn(texts []inkText) string {
	var parts []string
	line, end := 0.0, 0.0
	for _, x := range texts {
		s := strings.ReplaceAll(x.S, "\u00a0", " ")
		if len(parts) > 0 && x.Base == line && x.X < end+0.01 {
			parts[len(parts)-1] += s // the same line goes on in another style
		} else {
			parts = append(parts, s)
		}
		line, end = x.Base, x.X+x.Width
	}
	return strings.Join(strings.Fields(strings.Join(parts, " ")), " ")
}
