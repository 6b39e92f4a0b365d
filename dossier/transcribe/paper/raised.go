package paper

import (
	"cmp"
	"slices"
	"strings"

	"gallipot/ingredients/pattern"
)

// raisedSigns are the raised forms of the figures.
var raisedSigns = strings.NewReplacer("0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶",
	"7", "⁷", "8", "⁸", "9", "⁹", "-", "⁻")

// raisedText is what a raised text may be to be a mark of a footnote or a power.
var raisedText = pattern.New(`^[-\x{2212}]?\d{1,2}(?:[,;] ?\d{1,2})*\)?$`)

// raised gives raised figures in their raised form, so that a mark of a footnote
// does not become the last figure of a number. Other texts stay as they are.
func raised(s string) string {
	if t := strings.TrimSpace(s); raisedText.MatchString(t) {
		return raisedSigns.Replace(strings.ReplaceAll(t, "−", "-"))
	}
	return s
}

// How much smaller a raised letter is than the letter it stands beside, and how much
// higher, as shares of that letter's height. Measured on what word processors and
// browsers print: raised by 33 to 43 %, shrunk to 58 to 81 %.
const (
	raisedSize = 0.87
	raisedUp   = 0.15
	raisedGap  = 0.3
)

// raise gives the figures of a line that stand raised beside a larger letter their
// raised form. The letters stand from left to right.
func raise(glyphs []glyph) {
	for i := 0; i < len(glyphs); i++ {
		if glyphs[i].r < '0' || glyphs[i].r > '9' {
			continue
		}
		j := i + 1
		for j < len(glyphs) && glyphs[j].r >= '0' && glyphs[j].r <= '9' && alike(glyphs[i], glyphs[j]) &&
			glyphs[j].x0-glyphs[j-1].x1 < raisedGap*glyphs[i].height {
			j++
		}
		before := i > 0 && over(glyphs[i], glyphs[i-1], glyphs[i].x0-glyphs[i-1].x1)
		after := j < len(glyphs) && over(glyphs[i], glyphs[j], glyphs[j].x0-glyphs[j-1].x1)
		if (before || after) && j-i <= 2 {
			for k := i; k < j; k++ {
				glyphs[k].r = []rune(raisedSigns.Replace(string(glyphs[k].r)))[0]
			}
		}
		i = j - 1
	}
}

// raisedMost is how far above a letter's baseline a raised figure stands at most, as a share of
// that letter's height.
const raisedMost = 0.6

// onto puts raised figures onto the line of the letter before them, where the cell beside it
// begins a line higher: alone they would come before their figure and lengthen it. The letters
// stand from top to bottom, before and after.
func onto(glyphs []glyph) {
	usual := 0.0
	for _, g := range glyphs {
		usual = max(usual, g.height)
	}
	moved := false
	for i := range glyphs {
		g := &glyphs[i]
		if g.r < '0' || g.r > '9' || g.height > raisedSize*usual {
			continue
		}
		for _, b := range glyphs[i+1:] {
			if b.y-g.y > raisedMost*usual {
				break
			}
			if gap := g.x0 - b.x1; gap > -0.1*b.height && b.y-g.y <= raisedMost*b.height && over(*g, b, gap) {
				g.line, moved = b.y, true
				break
			}
		}
	}
	if moved {
		slices.SortStableFunc(glyphs, func(a, b glyph) int { return cmp.Compare(a.baseline(), b.baseline()) })
	}
}

// baseline is the line that a letter belongs to.
func (g glyph) baseline() float64 {
	if g.line > 0 {
		return g.line
	}
	return g.y
}

// alike says whether two letters are of one size and on one baseline.
func alike(a, b glyph) bool {
	return abs(a.height-b.height) < 0.05*a.height && abs(a.y-b.y) < 0.05*a.height
}

// over says whether a letter stands raised beside another one.
func over(a, base glyph, gap float64) bool {
	return gap < raisedGap*base.height && a.height <= raisedSize*base.height &&
		base.y-a.y >= raisedUp*base.height
}
