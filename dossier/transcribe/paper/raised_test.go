package paper

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// letters sets a text on a baseline; what stands between braces is raised.
func letters(text string, up, size float64) (out []glyph) {
	x, raisedNow := 0.0, false
	for _, r := range text {
		switch {
		case r == '{' || r == '}':
			raisedNow = r == '{'
		case r == ' ':
			x += 4
		case raisedNow:
			out = append(out, glyph{r: r, x: x, x0: x, x1: x + 5*size, y: 100 - up, height: 9 * size})
			x += 5 * size
		default:
			out = append(out, glyph{r: r, x: x, x0: x, x1: x + 5, y: 100, height: 9})
			x += 5
		}
	}
	return out
}

func TestRaise(t *testing.T) {
	for _, c := range []struct {
		name, text string
		up, size   float64
		want       string
	}{
		{"a mark behind a figure", "12.5{2}", 3, 0.6, "12.5²"},
		{"a mark as an office program prints it", "85.0{3}", 3.9, 0.81, "85.0³"},
		{"a mark before its note", "{1}typical", 3, 0.6, "¹typical"},
		{"a power", "<10{2}", 3, 0.6, "<10²"},
		{"small print on the baseline", "12.5{2}", 0, 0.6, "12.52"},
		{"lowered", "CO{2}", -2, 0.6, "CO2"},
		{"a figure far from the larger text", "A     {12}", 3, 0.6, "A12"},
		{"three figures are no mark", "A{123}", 3, 0.6, "A123"},
	} {
		t.Run(c.name, func(t *testing.T) {
			glyphs := letters(c.text, c.up, c.size)
			raise(glyphs)
			got := ""
			for _, g := range glyphs {
				got += string(g.r)
			}
			require.Equal(t, c.want, got)
		})
	}
}

// A mark of a footnote is printed 4 points over its figure, where the number in the cell beside
// it has its own first line.
func TestRaisedBetweenLines(t *testing.T) {
	shift := func(gs []glyph, x, y float64) []glyph {
		for i := range gs {
			gs[i].x, gs[i].x0, gs[i].x1, gs[i].y = gs[i].x+x, gs[i].x0+x, gs[i].x1+x, gs[i].y+y
		}
		return gs
	}
	var page []glyph
	page = append(page, shift(letters("106-22-9", 0, 1), 0, -6)...)
	page = append(page, shift(letters("26489-01-0", 0, 1), 0, 6)...)
	page = append(page, shift(letters("655{2}", 4, 0.6), 100, 0)...)
	var got []string
	for _, l := range linesOf(page) {
		got = append(got, l.Text("|"))
	}
	require.Equal(t, []string{"106-22-9", "655²", "26489-01-0"}, got)
}

func TestRaisedText(t *testing.T) {
	f, err := NewReader().Read("a.html", []byte("<p>x</p><table><tr><td>Silk<sup>1</sup></td><td>12.5<sup>2</sup>"+
		"</td><td>10<sup>-3</sup></td><td>a<sup>long note</sup></td></tr></table><p>g/cm<sup>3</sup></p>"))
	require.NoError(t, err)
	require.Equal(t, "Silk¹|12.5²|10⁻³|along note", f.Pages[0].Lines[1].Text("|"))
	require.Equal(t, "g/cm³", f.Pages[0].Lines[2].Text("|"))
}
