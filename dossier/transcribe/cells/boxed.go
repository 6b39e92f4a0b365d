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

// boxesOf gives the rows of a region between the lines drawn across it. Where too few are
// drawn there are none.
func boxesOf(reg region) []span {
	left, right := math.Inf(1), 0.0
	for _, l := range reg.lines {
		for _, c := range l.Cells {
			left, right = min(left, c.X0), max(right, c.X1)
		}
	}
	drawn := map[int][]span{} // by height, in points
	for _, q := range reg.rules {
		if q.Horizontal() {
			at := int(math.Round(q.Y0))
			drawn[at] = append(drawn[at], span{q.X0, q.X1})
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
	var out []span
	for i := 0; i+1 < len(ys); i++ {
		out = append(out, span{ys[i], ys[i+1]})
	}
	return out
}

// covered is how much of a height parts of a line cover together.
func covered(parts []span) (sum float64) {
	slices.SortFunc(parts, func(a, b span) int { return cmp.Compare(a.x0, b.x0) })
	end := math.Inf(-1)
	for _, p := range parts {
		if p.x1 > end {
			sum += p.x1 - max(p.x0, end)
			end = p.x1
		}
	}
	return sum
}

// boxedHead says how many lines from here are a head that takes several lines within one row
// drawn on the page, as in narrow columns: "Content in the" over "compound" beside "CAS".
func (r *reader) boxedHead(lines []paper.Line, i int) int {
	b := slices.IndexFunc(r.boxes, func(b span) bool { return lines[i].Y > b.x0 && lines[i].Y <= b.x1 })
	if b < 0 || i > 0 && lines[i-1].Y > r.boxes[b].x0 {
		return 0
	}
	n := 1
	for i+n < len(lines) && lines[i+n].Y <= r.boxes[b].x1 {
		n++
	}
	if n < 2 || n > mostHeadLines || !r.isHead(r.stacked(lines[i:i+n])) {
		return 0
	}
	return n
}
