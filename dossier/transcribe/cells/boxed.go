package cells

import (
	"cmp"
	"math"
	"slices"

	"gallipot/dossier/transcribe/paper"
)

// boxWidth is the least share of the width of a region's text that lines at one height must
// cover to part two rows.
const boxWidth = 0.6

// box is a row between two lines drawn across a page, or a part of such a line.
type box struct{ from, to float64 }

// boxesOf gives the rows between the lines drawn across a text. Where too few are drawn there
// are none.
func boxesOf(lines []paper.Line, rules []paper.Rule) []box {
	left, right := math.Inf(1), 0.0
	for _, l := range lines {
		for _, c := range l.Cells {
			left, right = min(left, c.X0), max(right, c.X1)
		}
	}
	drawn := map[int][]box{} // by height, in points
	for _, q := range rules {
		if q.Horizontal() {
			at := int(math.Round(q.Y0))
			drawn[at] = append(drawn[at], box{q.X0, q.X1})
		}
	}
	var ys []float64
	for at, parts := range drawn {
		if covered(parts) >= boxWidth*(right-left) {
			ys = append(ys, float64(at))
		}
	}
	slices.Sort(ys)
	ys = slices.CompactFunc(ys, func(a, b float64) bool { return math.Abs(b-a) < 3 })
	var out []box
	for i := 0; i+1 < len(ys); i++ {
		out = append(out, box{ys[i], ys[i+1]})
	}
	return out
}

// covered is how much of a height parts of a line cover together.
func covered(parts []box) (sum float64) {
	slices.SortFunc(parts, func(a, b box) int { return cmp.Compare(a.from, b.from) })
	end := math.Inf(-1)
	for _, p := range parts {
		if p.to > end {
			sum += p.to - max(p.from, end)
			end = p.to
		}
	}
	return sum
}
