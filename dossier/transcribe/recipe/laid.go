package recipe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe/columns"
	"gallipot/dossier/transcribe/recipe/raw"
)

// positional gives the lines of a laid out text columns where a head stands over
// them: each piece belongs to the head over it.
func (d *doc) positional(rows []raw.Row) []raw.Row {
	out := slices.Clone(rows)
	grid := 5000
	for i := 0; i < len(out); i++ {
		if out[i].Grid > 0 {
			continue
		}
		kept := out[i]
		d.splitHeads(&out[i])
		if len(out[i].Cells) < 2 {
			continue
		}
		cols, kind := d.columns.HeadAt(out, i, true)
		if kind < columns.Middling {
			out[i] = kept
		}
		if kind < columns.Middling {
			continue
		}
		grid++
		end := i + 1
		for end < len(out) && out[end].Grid == 0 && !d.leavesTable(out, end, cols) {
			end++
		}
		for n := 0; n < 2 && end-1 > i+1 && end < len(out) && d.titleOver(out[end-1]); n++ {
			end-- // the title of what follows
		}
		if end-i < 2 || end-i < 3 && kind != columns.Strong {
			continue
		}
		out[i].Grid = grid
		left, right := edges(out[i+1:end], cols)
		for k := i + 1; k < end; k++ {
			out[k] = placed(d.resplit(out[k], left, right), cols)
			out[k].Grid = grid
		}
		i = end - 1
	}
	return out
}

// leavesTable says whether a line no longer belongs to the table above it.
func (d *doc) leavesTable(rows []raw.Row, i int, cols []columns.Column) bool {
	r := rows[i]
	head := func(j int) bool {
		if j >= len(rows) {
			return false
		}
		x := rows[j]
		d.splitHeads(&x)
		_, kind := d.columns.HeadAt(append(slices.Clone(rows[:j]), x), j, false)
		return kind == columns.Strong
	}
	if head(i) {
		return true
	}
	if len(r.Cells) >= 2 {
		return false
	}
	t := r.Text()
	if head(i + 1) {
		return true
	}
	if _, ok := d.PhaseOf(t); ok || d.TotalOf(t) {
		return false
	}
	if len(strings.Fields(t)) > 7 || strings.HasSuffix(t, ".") {
		return true
	}
	if l, ok := d.running.Line(t); ok && l.Name != "" {
		return false
	}
	if r.Gap { // a name alone below a gap ends it, unless rows follow
		return i+1 >= len(rows) || len(rows[i+1].Cells) < 2
	}
	return false
}

// placed puts the pieces of a line under the heads they belong to.
func placed(r raw.Row, cols []columns.Column) raw.Row {
	if len(r.Cells) == len(cols) {
		for i := range r.Cells {
			r.Cells[i].Col = cols[i].Col
		}
		return r
	}
	cells := slices.Clone(r.Cells)
	for i := range cells {
		c := &cells[i]
		best, least := 0, -1.0
		for _, k := range cols {
			dist := min(abs(c.X0-k.X0), abs(c.X1-k.X1), abs((c.X0+c.X1)-(k.X0+k.X1))/2)
			if c.X0 < k.X1 && k.X0 < c.X1 {
				dist = 0
			}
			if least < 0 || dist < least {
				best, least = k.Col, dist
			}
		}
		c.Col = best
	}
	var merged []raw.Cell
	for _, c := range cells {
		if n := len(merged); n > 0 && merged[n-1].Col == c.Col {
			merged[n-1].Text += "  " + c.Text
			merged[n-1].X1 = c.X1
			continue
		}
		merged = append(merged, c)
	}
	r.Cells = merged
	return r
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// titleOver says whether the last line of a table can be the title of what follows.
func (d *doc) titleOver(r raw.Row) bool {
	t := r.Text()
	if len(r.Cells) != 1 || d.TotalOf(t) || len(strings.Fields(t)) > 8 || strings.HasSuffix(t, ".") {
		return false
	}
	_, isLine := d.running.Line(t)
	return !isLine
}

// splitHeads parts a piece that holds two heads of columns side by side.
func (d *doc) splitHeads(r *raw.Row) {
	var out []raw.Cell
	for _, c := range r.Cells {
		out = append(out, c)
		if len(c.Words) < 2 || len(c.Words) > 6 || d.columns.HeadOf(c.Text).Role == columns.IsName {
			continue
		}
		for n := 1; n < len(c.Words); n++ {
			a, b := pieceOf(c, c.Words[:n]), pieceOf(c, c.Words[n:])
			x, y := d.columns.HeadOf(a.Text), d.columns.HeadOf(b.Text)
			if x.Role != columns.Unknown && x.Role != columns.IsAmount && y.Role != columns.Unknown {
				out = append(out[:len(out)-1], a, b)
				break
			}
		}
	}
	for i := range out {
		out[i].Col = i
	}
	r.Cells = out
}

func pieceOf(c raw.Cell, words []paper.Word) raw.Cell {
	parts := make([]string, len(words))
	for i, w := range words {
		parts[i] = w.Text
	}
	c.Text, c.Words, c.X0, c.X1 = strings.Join(parts, " "), words, words[0].X0, words[len(words)-1].X1
	return c
}

// edges finds where the columns of a laid out table begin and end, from the rows
// that have a piece in each column.
func edges(rows []raw.Row, cols []columns.Column) (left, right map[int]float64) {
	left, right = map[int]float64{}, map[int]float64{}
	counts := map[int]int{}
	for _, r := range rows {
		if len(r.Cells) < 2 {
			continue
		}
		for _, c := range placed(r, cols).Cells {
			if counts[c.Col] == 0 || c.X0 < left[c.Col] {
				left[c.Col] = c.X0
			}
			if counts[c.Col] == 0 || c.X1 > right[c.Col] {
				right[c.Col] = c.X1
			}
			counts[c.Col]++
		}
	}
	return left, right
}

// resplit parts pieces that run from one column into the next, because hardly a gap
// stands between them.
func (d *doc) resplit(r raw.Row, left, right map[int]float64) raw.Row {
	var out []raw.Cell
	for _, c := range r.Cells {
		rest := c
		for n := 1; n < len(rest.Words); n++ {
			w := rest.Words[n]
			starts := false
			for k, x := range left {
				starts = starts || near2(w.X0, x) && right[k] > w.X0
			}
			last := rest.Words[len(rest.Words)-1]
			if _, ok := d.Dose.Parse(pieceOf(rest, rest.Words[n:]).Text); ok {
				for k, x := range right {
					starts = starts || near2(last.X1, x) && left[k] > rest.X0+1
				}
			}
			if starts {
				out = append(out, pieceOf(rest, rest.Words[:n]))
				rest = pieceOf(rest, rest.Words[n:])
				n = 0
			}
		}
		out = append(out, rest)
	}
	for i := range out {
		out[i].Col = i
	}
	r.Cells = out
	return r
}

func near2(a, b float64) bool { return abs(a-b) < 1.5 }
