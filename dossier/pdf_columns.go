package dossier

import "math"

// A table is made of parts: groups of columns that fit a page side by side. Most
// have one. Each further part repeats the fixed columns.

// parts shares the columns out to as many parts as the page width asks for.
func parts(cols []*column, width float64) [][]*column {
	if leastWidth(cols) <= width {
		return [][]*column{cols}
	}
	if tight := tightWidth(cols); tight <= width {
		loosen(cols, width-tight)
		return [][]*column{cols}
	}
	var fixed, rest []*column
	for i, c := range cols {
		if i == 0 || c.Fixed {
			fixed = append(fixed, c)
		} else {
			rest = append(rest, c)
		}
	}
	base := leastWidth(fixed)
	if base > width*0.6 { // the fixed columns must not crowd out the others
		base = width * 0.6
	}
	var out [][]*column
	var part []*column
	used := base
	for _, c := range rest {
		need := c.least + 2*cellPad
		if len(part) > 0 && used+need > width {
			out = append(out, part)
			part, used = nil, base
		}
		part = append(part, c)
		used += need
	}
	out = append(out, part)
	return withFixed(fixed, evenParts(rest, len(out), base, width, out))
}

// loosen starts from the tight widths and gives what is left back to the columns
// whose long words would be cut, the leftmost first.
func loosen(cols []*column, left float64) {
	for _, c := range cols {
		more := min(c.least-c.tight, left)
		c.least = c.tight + more
		left -= more
	}
}

// evenParts makes the parts about equally wide, when that fits as well.
func evenParts(rest []*column, n int, base, width float64, greedy [][]*column) [][]*column {
	per := (len(rest) + n - 1) / n
	var out [][]*column
	for from := 0; from < len(rest); from += per {
		part := rest[from:min(from+per, len(rest))]
		if base+leastWidth(part) > width {
			return greedy
		}
		out = append(out, part)
	}
	return out
}

// withFixed puts copies of the fixed columns before each part.
func withFixed(fixed []*column, groups [][]*column) [][]*column {
	out := make([][]*column, len(groups))
	for i, g := range groups {
		for _, c := range fixed {
			twin := *c
			out[i] = append(out[i], &twin)
		}
		out[i] = append(out[i], g...)
	}
	return out
}

func leastWidth(cols []*column) float64 {
	w := 0.0
	for _, c := range cols {
		w += c.least + 2*cellPad
	}
	return w
}

func tightWidth(cols []*column) float64 {
	w := 0.0
	for _, c := range cols {
		w += c.tight + 2*cellPad
	}
	return w
}

// share gives each column its width. All get their natural width where that
// fits. Else columns of figures get what they need, and the rest is dealt out in
// small steps, each to the column that makes the table shortest.
func share(cols []*column, width float64) {
	natural := 0.0
	for _, c := range cols {
		natural += c.natural + 2*cellPad
	}
	if natural <= width {
		for _, c := range cols {
			c.w = c.natural + 2*cellPad
		}
		spread(cols, width-natural, width)
	} else {
		deal(cols, width)
	}
	x := marginL
	for _, c := range cols {
		c.x = x
		x += c.w
	}
}

// spread hands out the room that is left: to columns of words by their weight,
// up to a third more than they need, and a little to all, so that a narrow table
// stays narrow enough to read across.
func spread(cols []*column, left, width float64) {
	for _, c := range cols {
		c.w += min(left/float64(len(cols)), 5)
	}
	total, weights := 0.0, 0.0
	for _, c := range cols {
		total += c.w
		if !c.isFigure {
			weights += c.weight
		}
	}
	if left = width - total; left <= 0 || weights == 0 {
		return
	}
	if total < width*0.6 { // a small table is not pulled apart
		return
	}
	for _, c := range cols {
		if !c.isFigure {
			c.w += left * c.weight / weights
		}
	}
}

// step is the width dealt out at a time, in mm.
const step = 2.0

func deal(cols []*column, width float64) {
	left := width
	for _, c := range cols {
		c.w = c.least + 2*cellPad
		if c.isFigure {
			c.w = min(c.natural, max(c.least, c.left+c.right+c.signs)) + 2*cellPad
		}
		left -= c.w
	}
	if left < 0 { // the fixed columns alone are too wide: all shrink alike
		f := width / (width - left)
		for _, c := range cols {
			c.w *= f
		}
		return
	}
	now := lineCosts(cols)
	for ; left >= step; left -= step {
		best, gain := -1, 0.0
		for i, c := range cols {
			if c.w >= c.natural+2*cellPad {
				continue
			}
			c.w += step
			g := (now - lineCosts(cols)) * c.weight
			c.w -= step
			if g > gain+slack {
				best, gain = i, g
			}
		}
		if best < 0 {
			break
		}
		cols[best].w += step
		now = lineCosts(cols)
	}
	if left > 0 {
		cols[widest(cols)].w += left
	}
}

func widest(cols []*column) int {
	best := 0
	for i, c := range cols {
		if c.natural > cols[best].natural {
			best = i
		}
	}
	return best
}

// sampleRows bounds the rows that are looked at for the widths.
const sampleRows = 150

// lineCosts estimates the height of a table in lines: each row as high as its
// highest cell, and a little for every other cell, so that no column is starved.
func lineCosts(cols []*column) float64 {
	rows := 0
	for _, c := range cols {
		rows = max(rows, len(c.cells))
	}
	every := max(rows/sampleRows, 1)
	cost := 0.0
	for r := 0; r < rows; r += every {
		most, all := 0.0, 0.0
		for _, c := range cols {
			if r >= len(c.cells) {
				continue
			}
			room := max(c.w-2*cellPad, 1)
			lines := 1.0
			if c.cells[r] > room {
				// broken lines are not full: some room is lost at each end
				lines = math.Max(1.5, c.cells[r]*1.12/room+0.4)
			}
			most, all = max(most, lines), all+lines
		}
		cost += most + 0.08*all
	}
	return cost
}
