package cells

import (
	"math"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/paper"
)

// pageTable builds a table of a laid out page. last says that it reaches to the end
// of its page and may go on on the next.
func (r *reader) pageTable(p paper.Page, reg region, head, body []paper.Line, last bool) *Table {
	r.open = nil
	if len(body) == 0 {
		for _, l := range head {
			r.row(rowOf(p, l))
		}
		return nil
	}
	cells := r.stack(head)
	cols := r.columns(cells, head, body, reg.rules)
	t := &Table{Place: place(p, head[0]), Columns: cols}
	t.Rows = r.rows(p, body, cols, reg.rules)
	r.emit(t)
	if last {
		r.open = t
	}
	return t
}

// goesOn carries the open table on over the first lines of the next page, after
// the running head, and says how many lines it took.
func (r *reader) goesOn(p paper.Page, reg region, before int) int {
	t := r.open
	r.open = nil
	lines := reg.lines[:before]
	from := slices.IndexFunc(lines, func(l paper.Line) bool { return fits(l, t.Columns) })
	if from < 0 || from > 5 {
		return 0
	}
	for i := range from {
		r.row(rowOf(p, lines[i]))
	}
	end := r.bodyEnd(lines, from, columnHeads(t.Columns))
	body := lines[from:end]
	cols := r.recast(t.Columns, body, reg.rules)
	more := &Table{Place: place(p, body[0]), Columns: cols}
	more.Rows = r.rows(p, body, cols, reg.rules)
	r.emit(more)
	if end == len(lines) && before == len(reg.lines) || restIsFoot(p, reg.lines[end:]) {
		r.open = more
	}
	return end
}

// columnHeads gives the columns as pieces of a head, for a page without one.
func columnHeads(cols []Column) []paper.Cell {
	out := make([]paper.Cell, len(cols))
	for i, c := range cols {
		out[i] = paper.Cell{X0: c.x0, X1: c.x1}
	}
	return out
}

// fits says whether a line looks like a row of a table with these columns: cells
// in most of them.
func fits(l paper.Line, cols []Column) bool {
	hit := map[int]bool{}
	for _, c := range l.Cells {
		for i, k := range cols {
			if c.X0 < k.x1 && c.X1 > k.x0 {
				hit[i] = true
			}
		}
	}
	return len(l.Cells) > 1 && len(hit)*2 >= len(cols)
}

// recast finds the columns of a table anew on the next page, where they may stand
// wider or narrower, and keeps their roles.
func (r *reader) recast(old []Column, body []paper.Line, rules []paper.Rule) []Column {
	spans := upright(body, rules)
	if spans == nil {
		spans = gutters(body)
	}
	if len(spans) != len(old) {
		return old
	}
	cols := slices.Clone(old)
	for i, s := range spans {
		cols[i].x0, cols[i].x1 = s.x0, s.x1
	}
	return cols
}

type span struct{ x0, x1 float64 }

// columns finds the columns of a table from the lines drawn on the page or from
// the gaps that run down through its body, and gives them the heads that stand
// over them.
func (r *reader) columns(head []paper.Cell, headLines, body []paper.Line, rules []paper.Rule) []Column {
	spans := upright(body, rules)
	ruled := spans != nil
	if !ruled {
		spans = gutters(body, head...)
	}
	if len(spans) < 2 {
		return fromHeads(r, head)
	}
	if !ruled {
		spans = joinUnderOneHead(spans, head)
	}
	cols := make([]Column, len(spans))
	texts := make([][]string, len(spans))
	for _, c := range head {
		at := -1
		best := 0.0
		for i, s := range spans {
			lo, hi := reach(spans, i)
			if o := min(hi, c.X1) - max(lo, c.X0); o > best {
				best, at = o, i
			}
			_ = s
		}
		if at < 0 {
			continue
		}
		if parts := headWords(headLines, c, spans); parts != nil {
			for i, t := range parts {
				texts[i] = append(texts[i], t...)
			}
			continue
		}
		texts[at] = append(texts[at], c.Text)
	}
	for i, s := range spans {
		text := strings.Join(texts[i], " ")
		cols[i] = Column{Role: r.roleOf(text), Head: text, x0: s.x0, x1: s.x1, col: i}
	}
	r.settleRoles(cols)
	return cols
}

// reach is a column with half of the gaps beside it.
func reach(spans []span, i int) (lo, hi float64) {
	lo, hi = spans[i].x0-1e3, spans[i].x1+1e3
	if i > 0 {
		lo = (spans[i-1].x1 + spans[i].x0) / 2
	}
	if i+1 < len(spans) {
		hi = (spans[i].x1 + spans[i+1].x0) / 2
	}
	return lo, hi
}

// headWords parts a piece of the head whose words stand over several columns, each
// word over its own; nil where it belongs to one.
func headWords(lines []paper.Line, c paper.Cell, spans []span) map[int][]string {
	out := map[int][]string{}
	for _, l := range lines {
		for _, k := range l.Cells {
			for n, w := range k.Words {
				if w.X1 <= c.X0 || w.X0 >= c.X1 {
					continue
				}
				mid := (w.X0 + w.X1) / 2
				if n > 0 && unitAlone(w.Text) && (n+1 == len(k.Words) ||
					w.X0-k.Words[n-1].X1 <= k.Words[n+1].X0-w.X1) {
					mid = (k.Words[n-1].X0 + k.Words[n-1].X1) / 2 // the unit of the head before it
				}
				for i := range spans {
					if lo, hi := reach(spans, i); mid >= lo && mid < hi {
						out[i] = append(out[i], w.Text)
					}
				}
			}
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// fromHeads takes the columns from the heads alone.
func fromHeads(r *reader, head []paper.Cell) []Column {
	cols := make([]Column, len(head))
	for i, c := range head {
		cols[i] = Column{Role: r.roleOf(c.Text), Head: c.Text, x0: c.X0, x1: c.X1, col: i}
	}
	r.settleRoles(cols)
	return cols
}

// upright gives the columns between upright lines that run through the body; nil
// where there are none.
func upright(body []paper.Line, rules []paper.Rule) []span {
	top, bottom := body[0].Y-body[0].Size, body[len(body)-1].Y
	heights := map[int]float64{}
	for _, q := range rules {
		if q.Horizontal() {
			continue
		}
		if h := min(q.Y1, bottom) - max(q.Y0, top); h > 0 {
			heights[int(math.Round(q.X0/3))] += h
		}
	}
	var xs []float64
	for k, h := range heights {
		if h+heights[k+1]*0.5 >= 0.6*(bottom-top) {
			xs = append(xs, float64(k)*3)
		}
	}
	slices.Sort(xs)
	xs = slices.CompactFunc(xs, func(a, b float64) bool { return math.Abs(b-a) < 7 })
	if len(xs) < 3 {
		return nil
	}
	var spans []span
	for i := 0; i+1 < len(xs); i++ {
		spans = append(spans, span{xs[i], xs[i+1]})
	}
	for _, l := range body { // a word that crosses tells that the lines are no columns
		for _, c := range l.Cells {
			for _, w := range c.Words {
				for _, x := range xs[1 : len(xs)-1] {
					if w.X0 < x-4 && w.X1 > x+4 {
						return nil
					}
				}
			}
		}
	}
	return spans
}

// narrowest is the width of a gap between columns as a share of the letters'
// height: narrow where many lines agree on it, wide where few do.
func narrowest(lines int) float64 {
	if lines >= 5 {
		return 0.4
	}
	return 0.9
}

// gutters gives the columns between gaps that no word of the body crosses. Half the
// width is enough for a gap where a head begins.
func gutters(body []paper.Line, head ...paper.Cell) []span {
	left, right, size := math.Inf(1), 0.0, 0.0
	for _, l := range body {
		for _, c := range l.Cells {
			left, right, size = min(left, c.X0), max(right, c.X1), max(size, l.Size)
		}
	}
	if math.IsInf(left, 1) {
		return nil
	}
	n := int((right-left)*2) + 2
	if n > 20_000 {
		return nil
	}
	covered := make([]int, n)
	lines := 0
	for _, l := range body {
		if len(l.Cells) == 1 && l.Cells[0].X1-l.Cells[0].X0 > 0.5*(right-left) && !underHeads(l, head) {
			continue // a sentence over the columns
		}
		lines++
		for _, c := range l.Cells {
			for _, w := range c.Words {
				for x := int((w.X0 - left) * 2); x <= int((w.X1-left)*2) && x < n; x++ {
					covered[x]++
				}
			}
		}
	}
	least := narrowest(lines) * size * 2
	var spans []span
	start, gap := -1, 0
	for x := 0; x <= n; x++ {
		if x < n && covered[x] > 0 {
			if start >= 0 && (float64(gap) >= least || lines >= 4 && float64(gap) >= 0.2*size &&
				(float64(gap) >= least/2 && begins(head, left+float64(x)/2) ||
					aligned(body, left+float64(x)/2))) {
				spans = append(spans, span{left + float64(start)/2, left + float64(x-gap)/2})
				start = x
			}
			if start < 0 {
				start = x
			}
			gap = 0
			continue
		}
		gap++
	}
	if start >= 0 {
		spans = append(spans, span{left + float64(start)/2, right})
	}
	return spans
}

// aligned says whether most lines have a word that begins at x behind a gap whose
// width differs from line to line, as at the left edge of a column.
func aligned(body []paper.Line, x float64) bool {
	starts, right := 0, 0
	narrow, wide := math.Inf(1), 0.0
	for _, l := range body {
		prev, before := -1.0, false
		for _, c := range l.Cells {
			for _, w := range c.Words {
				if w.X1 <= x-0.5 {
					prev, before = w.X1, true
				}
				if w.X0 > x-1.2 && w.X0 < x+1.2 {
					starts++
					if before {
						narrow, wide = min(narrow, x-prev), max(wide, x-prev)
					}
				}
			}
		}
		if len(l.Cells) > 0 && l.Cells[len(l.Cells)-1].X1 > x {
			right++
		}
	}
	return starts >= 4 && starts*10 >= right*7 && wide-narrow > 0.6*body[0].Size
}

// underHeads says whether words of a line begin under all pieces of a head, as in a
// row whose cells stand close together.
func underHeads(l paper.Line, head []paper.Cell) bool {
	n := 0
	for _, c := range l.Cells {
		for _, w := range c.Words {
			if begins(head, w.X0) {
				n++
			}
		}
	}
	return n > 1 && n >= len(head)
}

// begins says whether a piece of the head begins at x.
func begins(head []paper.Cell, x float64) bool {
	return slices.ContainsFunc(head, func(c paper.Cell) bool { return c.X0 > x-2 && c.X0 < x+2 })
}

// joinUnderOneHead joins columns that the same piece of the head stands over and
// that have no other head of their own: parts of one value whose blanks happen to
// stand under each other.
func joinUnderOneHead(spans []span, head []paper.Cell) []span {
	own := func(s span) (over, alone bool) {
		for _, c := range head {
			mid := (c.X0 + c.X1) / 2
			if mid >= s.x0-4 && mid <= s.x1+4 {
				return true, true
			}
		}
		return false, false
	}
	var out []span
	for i, s := range spans {
		if i > 0 {
			prev := &out[len(out)-1]
			_, mine := own(s)
			_, theirs := own(*prev)
			for _, c := range head {
				if c.X0 < prev.x1 && c.X1 > s.x0 && (!mine || !theirs) && s.x0-prev.x1 < 12 {
					prev.x1 = s.x1
					s.x1 = -1
					break
				}
			}
			if s.x1 < 0 {
				continue
			}
			if !mine && s.x0-prev.x1 < 6 && !theirs {
				prev.x1 = s.x1
				continue
			}
		}
		out = append(out, s)
	}
	return out
}
