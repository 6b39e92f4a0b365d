package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/paper"
)

// positional gives the lines of a laid out text columns where a head stands over
// them: each piece belongs to the head over it.
func (d *doc) positional(rows []row) []row {
	out := slices.Clone(rows)
	grid := 5000
	for i := 0; i < len(out); i++ {
		if out[i].grid > 0 {
			continue
		}
		kept := out[i]
		d.splitHeads(&out[i])
		if len(out[i].cells) < 2 {
			continue
		}
		cols, kind := d.headAt(out, i, true)
		if kind < middling {
			out[i] = kept
		}
		if kind < middling {
			continue
		}
		grid++
		end := i + 1
		for end < len(out) && out[end].grid == 0 && !d.leavesTable(out, end, cols) {
			end++
		}
		for n := 0; n < 2 && end-1 > i+1 && end < len(out) && d.titleOver(out[end-1]); n++ {
			end-- // the title of what follows
		}
		if end-i < 2 || end-i < 3 && kind != strong {
			continue
		}
		out[i].grid = grid
		left, right := edges(out[i+1:end], cols)
		for k := i + 1; k < end; k++ {
			out[k] = placed(d.resplit(out[k], left, right), cols)
			out[k].grid = grid
		}
		i = end - 1
	}
	return out
}

// leavesTable says whether a line no longer belongs to the table above it.
func (d *doc) leavesTable(rows []row, i int, cols []column) bool {
	r := rows[i]
	head := func(j int) bool {
		if j >= len(rows) {
			return false
		}
		x := rows[j]
		d.splitHeads(&x)
		_, kind := d.headAt(append(slices.Clone(rows[:j]), x), j, false)
		return kind == strong
	}
	if head(i) {
		return true
	}
	if len(r.cells) >= 2 {
		return false
	}
	t := r.text()
	if head(i + 1) {
		return true
	}
	if _, ok := d.phaseOf(t); ok || d.totalOf(t) {
		return false
	}
	if len(strings.Fields(t)) > 7 || strings.HasSuffix(t, ".") {
		return true
	}
	if l, ok := d.line(t); ok && l.name != "" {
		return false
	}
	if r.gap { // a name alone below a gap ends it, unless rows follow
		return i+1 >= len(rows) || len(rows[i+1].cells) < 2
	}
	return false
}

// placed puts the pieces of a line under the heads they belong to.
func placed(r row, cols []column) row {
	if len(r.cells) == len(cols) {
		for i := range r.cells {
			r.cells[i].col = cols[i].col
		}
		return r
	}
	cells := slices.Clone(r.cells)
	for i := range cells {
		c := &cells[i]
		best, least := 0, -1.0
		for _, k := range cols {
			dist := min(abs(c.x0-k.x0), abs(c.x1-k.x1), abs((c.x0+c.x1)-(k.x0+k.x1))/2)
			if c.x0 < k.x1 && k.x0 < c.x1 {
				dist = 0
			}
			if least < 0 || dist < least {
				best, least = k.col, dist
			}
		}
		c.col = best
	}
	var merged []cell
	for _, c := range cells {
		if n := len(merged); n > 0 && merged[n-1].col == c.col {
			merged[n-1].text += "  " + c.text
			merged[n-1].x1 = c.x1
			continue
		}
		merged = append(merged, c)
	}
	r.cells = merged
	return r
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// titleOver says whether the last line of a table can be the title of what follows.
func (d *doc) titleOver(r row) bool {
	t := r.text()
	if len(r.cells) != 1 || d.totalOf(t) || len(strings.Fields(t)) > 8 || strings.HasSuffix(t, ".") {
		return false
	}
	_, isLine := d.line(t)
	return !isLine
}

// splitHeads parts a piece that holds two heads of columns side by side.
func (d *doc) splitHeads(r *row) {
	var out []cell
	for _, c := range r.cells {
		out = append(out, c)
		if len(c.words) < 2 || len(c.words) > 6 || d.headOf(c.text).role == isName {
			continue
		}
		for n := 1; n < len(c.words); n++ {
			a, b := pieceOf(c, c.words[:n]), pieceOf(c, c.words[n:])
			x, y := d.headOf(a.text), d.headOf(b.text)
			if x.role != unknown && x.role != isAmount && y.role != unknown {
				out = append(out[:len(out)-1], a, b)
				break
			}
		}
	}
	for i := range out {
		out[i].col = i
	}
	r.cells = out
}

func pieceOf(c cell, words []paper.Word) cell {
	parts := make([]string, len(words))
	for i, w := range words {
		parts[i] = w.Text
	}
	c.text, c.words, c.x0, c.x1 = strings.Join(parts, " "), words, words[0].X0, words[len(words)-1].X1
	return c
}

// edges finds where the columns of a laid out table begin and end, from the rows
// that have a piece in each column.
func edges(rows []row, cols []column) (left, right map[int]float64) {
	left, right = map[int]float64{}, map[int]float64{}
	counts := map[int]int{}
	for _, r := range rows {
		if len(r.cells) < 2 {
			continue
		}
		for _, c := range placed(r, cols).cells {
			if counts[c.col] == 0 || c.x0 < left[c.col] {
				left[c.col] = c.x0
			}
			if counts[c.col] == 0 || c.x1 > right[c.col] {
				right[c.col] = c.x1
			}
			counts[c.col]++
		}
	}
	return left, right
}

// resplit parts pieces that run from one column into the next, because hardly a gap
// stands between them.
func (d *doc) resplit(r row, left, right map[int]float64) row {
	var out []cell
	for _, c := range r.cells {
		rest := c
		for n := 1; n < len(rest.words); n++ {
			w := rest.words[n]
			starts := false
			for k, x := range left {
				starts = starts || near2(w.X0, x) && right[k] > w.X0
			}
			last := rest.words[len(rest.words)-1]
			if _, ok := d.dose.Parse(pieceOf(rest, rest.words[n:]).text); ok {
				for k, x := range right {
					starts = starts || near2(last.X1, x) && left[k] > rest.x0+1
				}
			}
			if starts {
				out = append(out, pieceOf(rest, rest.words[:n]))
				rest = pieceOf(rest, rest.words[n:])
				n = 0
			}
		}
		out = append(out, rest)
	}
	for i := range out {
		out[i].col = i
	}
	r.cells = out
	return r
}

func near2(a, b float64) bool { return abs(a-b) < 1.5 }
