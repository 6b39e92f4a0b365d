package cells

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// region is a part of a laid out page that is read from top to bottom.
type region struct {
	lines []paper.Line
	rules []paper.Rule
}

// What speaks for two columns of text; our own choice, tried on papers of both
// kinds.
const (
	leastLines  = 8    // lines beside the gap
	leastAlone  = 3    // lines that stand on one side only, on each side
	mostTogther = 0.55 // share of lines that stand on both sides
	leastGap    = 8    // points
)

// regions parts a page into what stands over its two columns, the left column, the
// right column, and what stands below. A page in one column is one region.
func (r *reader) regions(p paper.Page) []region {
	whole := []region{{p.Lines, p.Rules}}
	r.boxes = boxesOf(p.Lines, p.Rules)
	if len(p.Lines) < leastLines {
		return whole
	}
	best, ok := r.columnGap(p)
	if !ok {
		return whole
	}
	x, inside := best.x, p.Lines[best.from:best.to]
	var left, right []paper.Line
	for _, l := range inside {
		a, b := cut(l, x)
		if len(a.Cells) > 0 {
			left = append(left, a)
		}
		if len(b.Cells) > 0 {
			right = append(right, b)
		}
	}
	var lr, rr []paper.Rule
	for _, q := range p.Rules {
		if q.X0 < x {
			lr = append(lr, q)
		} else {
			rr = append(rr, q)
		}
	}
	return []region{{p.Lines[:best.from], p.Rules}, {left, lr}, {right, rr}, {p.Lines[best.to:], p.Rules}}
}

// gap is where lines may stand in two columns: a place that no word of theirs crosses.
type gap struct {
	x        float64
	from, to int // lines
}

// mostGaps is how many gaps of a page are looked at, the longest first.
const mostGaps = 4

// columnGap finds the gap between two columns of text: the longest gap of a page may be that
// between the names and the values of one of them.
func (r *reader) columnGap(p paper.Page) (gap, bool) {
	var gaps []gap
	for x := int(0.3 * p.Width); x <= int(0.7*p.Width); x += 3 {
		from, to := longestClear(p.Lines, float64(x))
		same := func(g gap) bool { return g.from == from && g.to == to }
		if to-from >= leastLines && !slices.ContainsFunc(gaps, same) {
			gaps = append(gaps, gap{float64(x), from, to})
		}
	}
	slices.SortStableFunc(gaps, func(a, b gap) int { return (b.to - b.from) - (a.to - a.from) })
	for k, g := range gaps[:min(mostGaps, len(gaps))] {
		inside := p.Lines[g.from:g.to]
		if k > 0 && r.withinTable(p.Lines, g) {
			continue
		}
		if (twoColumns(inside, g.x) || r.labelColumns(inside, g.x)) && !r.headAcross(inside, g.x) &&
			!ruledAcross(p.Rules, inside, g.x) {
			return g, true
		}
	}
	return gap{}, false
}

// withinTable says whether a gap parts the columns of a table that begins above it.
func (r *reader) withinTable(lines []paper.Line, g gap) bool {
	for i := 0; i < g.from; i++ {
		n := r.pageHead(lines, i)
		if n == 0 {
			continue
		}
		head := r.stack(lines[i : i+n])
		end := r.bodyEnd(lines, i+n, head)
		if end > g.from && len(head) > 0 && head[0].X0 < g.x && head[len(head)-1].X1 > g.x {
			return true
		}
		i = max(i, end-1)
	}
	return false
}

// longestClear finds the longest run of lines that no word crosses at x.
func longestClear(lines []paper.Line, x float64) (from, to int) {
	start := 0
	for i := 0; i <= len(lines); i++ {
		if i < len(lines) && !crosses(lines[i], x) {
			continue
		}
		if i-start > to-from {
			from, to = start, i
		}
		start = i + 1
	}
	return from, to
}

func crosses(l paper.Line, x float64) bool {
	for _, c := range l.Cells {
		if c.X0 < x && c.X1 > x {
			return true
		}
	}
	return false
}

// twoColumns weighs whether lines stand in two columns of text: many stand on one
// side only, on both sides, in turn, and the gap is wide.
func twoColumns(lines []paper.Line, x float64) bool {
	both, left, right, turns := 0, 0, 0, 0
	side, gapLeft, gapRight := 0, 0.0, 1e9
	for _, l := range lines {
		a, b := false, false
		for _, c := range l.Cells {
			if c.X0 < x {
				a, gapLeft = true, max(gapLeft, c.X1)
			} else {
				b, gapRight = true, min(gapRight, c.X0)
			}
		}
		now := 0
		switch {
		case a && b:
			both++
		case a:
			left++
			now = 1
		case b:
			right++
			now = 2
		}
		if now != 0 && side != 0 && now != side {
			turns++
		}
		if now != 0 {
			side = now
		}
	}
	return gapRight-gapLeft >= leastGap && left >= leastAlone && right >= leastAlone && turns >= 3 &&
		float64(both) < mostTogther*float64(len(lines))
}

// labelColumns weighs whether lines stand in two columns of labels with their values, or of
// headings: "Moisture: max. 8 %" beside "Lead: < 20 mg/kg". A label that stands on both
// sides of a line belongs to cards, which are read across.
func (r *reader) labelColumns(lines []paper.Line, x float64) bool {
	both, labelled, headings := 0, 0, 0
	gapLeft, gapRight := 0.0, 1e9
	for _, l := range lines {
		a, b := cut(l, x)
		for _, c := range a.Cells {
			gapLeft = max(gapLeft, c.X1)
		}
		for _, c := range b.Cells {
			gapRight = min(gapRight, c.X0)
		}
		if len(a.Cells) == 0 || len(b.Cells) == 0 {
			continue
		}
		both++
		left, leftHead := r.labelOf(a)
		right, rightHead := r.labelOf(b)
		if left != "" && left == right {
			return false
		}
		if leftHead || rightHead {
			headings++
		}
		if (left != "" || leftHead) && (right != "" || rightHead) {
			labelled++
		}
	}
	return gapRight-gapLeft >= leastGap && both >= leastAlone && headings > 0 && labelled*10 >= both*8
}

// labelOf is the label of a line that is one label with its value, and whether the line is a
// heading.
func (r *reader) labelOf(l paper.Line) (label string, heading bool) {
	text := l.Text(" ")
	if len(l.Cells) > 2 {
		return "", false
	}
	if head, _, ok := strings.Cut(text, ":"); ok && len(strings.Fields(head)) <= 6 {
		return lexicon.Fold(head), false
	}
	return "", r.heading(text) != ""
}

// headAcross says whether the head of a table lies over the gap.
func (r *reader) headAcross(lines []paper.Line, x float64) bool {
	for i := range lines {
		if r.centredHeadAcross(lines[i:], x) {
			return true
		}
	}
	return slices.ContainsFunc(lines, func(l paper.Line) bool {
		a, b := cut(l, x)
		if len(a.Cells) == 0 || len(b.Cells) == 0 || !r.isHead(headTexts(r, l)) {
			return false
		}
		return !(r.isHead(headTexts(r, a)) && r.isHead(headTexts(r, b))) && r.allRoles(a) && r.allRoles(b)
	})
}

// centredHeadAcross says whether the first lines are a head over the gap whose pieces are
// centred beside each other, less than a line apart.
func (r *reader) centredHeadAcross(lines []paper.Line, x float64) bool {
	if len(lines) < 2 || lines[1].Y-lines[0].Y >= 0.9*lines[0].Size {
		return false
	}
	n := r.pageHead(lines, 0)
	var left, right paper.Line
	for _, l := range lines[:n] {
		a, b := cut(l, x)
		left.Cells, right.Cells = append(left.Cells, a.Cells...), append(right.Cells, b.Cells...)
	}
	if n < 2 || len(left.Cells) == 0 || len(right.Cells) == 0 {
		return false
	}
	one, other := r.stacked([]paper.Line{left}), r.stacked([]paper.Line{right})
	return !(r.isHead(one) && r.isHead(other)) && r.allRoles(left) && r.allRoles(right)
}

func (r *reader) allRoles(l paper.Line) bool {
	return !slices.ContainsFunc(headTexts(r, l), func(t string) bool { return r.roleOf(t) == "" && !r.isTest(t) })
}

// ruledAcross says whether lines drawn on the page reach over the gap, between the
// lines of text, as those of a table do.
func ruledAcross(rules []paper.Rule, lines []paper.Line, x float64) bool {
	if len(lines) == 0 {
		return false
	}
	top, bottom, n := lines[0].Y, lines[len(lines)-1].Y, 0
	for _, q := range rules {
		if q.Horizontal() && q.Y0 > top && q.Y0 < bottom && q.X0 < x-20 && q.X1 > x+20 {
			n++
		}
	}
	return n >= 3
}

// cut parts a line at x.
func cut(l paper.Line, x float64) (left, right paper.Line) {
	left, right = l, l
	left.Cells, right.Cells = nil, nil
	for _, c := range l.Cells {
		if c.X0 < x {
			left.Cells = append(left.Cells, c)
		} else {
			right.Cells = append(right.Cells, c)
		}
	}
	return left, right
}
