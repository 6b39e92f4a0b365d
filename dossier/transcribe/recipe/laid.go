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
		underHeads(out[i+1:end], cols, left, right)
		for k := i + 1; k < end; k++ {
			out[k] = placed(d.resplit(out[k], left, right), cols)
			out[k].Grid = grid
		}
		n := len(out)
		out = unwrapped(out, i+1, end, cols)
		i = end - 1 - (n - len(out))
	}
	return out
}

// unwrapped joins names that take two lines of a table whose amounts stand between
// them: a row without a name, above and below it rows of words alone.
func unwrapped(rows []raw.Row, from, end int, cols []columns.Column) []raw.Row {
	words, name := map[int]bool{}, -1
	for _, c := range cols {
		words[c.Col] = c.Role == columns.IsName || c.Role == columns.IsINCI
		if c.Role == columns.IsName {
			name = c.Col
		}
	}
	wordsAlone := func(r raw.Row) bool {
		return r.At(name).Text != "" && !slices.ContainsFunc(r.Cells, func(c raw.Cell) bool { return !words[c.Col] })
	}
	for k := from + 1; k+1 < end; k++ {
		above, below := rows[k-1], rows[k+1]
		if name < 0 || rows[k].At(name).Text != "" || !wordsAlone(above) || !wordsAlone(below) {
			continue
		}
		for col := range words {
			if t := strings.TrimSpace(above.At(col).Text + " " + below.At(col).Text); words[col] && t != "" &&
				rows[k].At(col).Text == "" {
				c := above.At(col)
				c.Text = t
				rows[k].Cells = append(rows[k].Cells, c)
			}
		}
		slices.SortFunc(rows[k].Cells, func(a, b raw.Cell) int { return a.Col - b.Col })
		rows = append(rows[:k-1], append([]raw.Row{rows[k]}, rows[k+2:]...)...)
		end -= 2
		k--
	}
	return rows
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

// splitHeads parts a piece that holds several heads of columns side by side.
func (d *doc) splitHeads(r *raw.Row) {
	var out []raw.Cell
	for _, c := range r.Cells {
		if len(c.Words) < 2 || len(c.Words) > 10 || d.columns.HeadOf(c.Text).Role == columns.IsName {
			out = append(out, c)
			continue
		}
		if parts := d.headParts(c, c.Words); len(parts) > 1 {
			out = append(out, parts...)
		} else {
			out = append(out, c)
		}
	}
	for i := range out {
		out[i].Col = i
	}
	r.Cells = out
}

// headParts parts words that are known heads one after the other, the longest first;
// nil where a word belongs to none.
func (d *doc) headParts(c raw.Cell, words []paper.Word) []raw.Cell {
	for n := min(len(words), 4); n >= 1; n-- {
		one := pieceOf(c, words[:n])
		if d.columns.HeadOf(one.Text).Role == columns.Unknown || n > 1 && d.twoHeads(c, words[:n]) {
			continue
		}
		if n == len(words) {
			return []raw.Cell{one}
		}
		if rest := d.headParts(c, words[n:]); rest != nil {
			return append([]raw.Cell{one}, rest...)
		}
	}
	return nil
}

// twoHeads says whether words that read as the head of an amount are two heads: another
// head and a unit, or two units.
func (d *doc) twoHeads(c raw.Cell, words []paper.Word) bool {
	whole := d.columns.HeadOf(pieceOf(c, words).Text)
	if whole.Role != columns.IsAmount {
		return false
	}
	first, rest := d.columns.HeadOf(words[0].Text), d.columns.HeadOf(pieceOf(c, words[1:]).Text)
	return first.Role != columns.Unknown && rest.Role == columns.IsAmount &&
		(first.Role != columns.IsAmount || first.Unit != "" && rest.Unit != "" && first.Unit != rest.Unit)
}

// underHeads adds the left edges of the columns whose head stands where most rows have
// a word that begins: cells that stand close together show no gap.
func underHeads(rows []raw.Row, cols []columns.Column, left, right map[int]float64) {
	for _, k := range cols {
		n := 0
		for _, r := range rows {
			n += min(1, beginning(r, k.X0))
		}
		if n < 3 || n*10 < len(rows)*6 {
			continue
		}
		if x, known := left[k.Col]; !known || x > k.X0 {
			left[k.Col] = k.X0
		}
		right[k.Col] = max(right[k.Col], k.X1)
	}
}

// beginning counts the words of a row that begin at x.
func beginning(r raw.Row, x float64) (n int) {
	for _, c := range r.Cells {
		for _, w := range c.Words {
			if near2(w.X0, x) {
				n++
			}
		}
	}
	return n
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
