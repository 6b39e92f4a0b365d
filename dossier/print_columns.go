package dossier

import (
	"math"
	"strings"
)

// gauge measures tables for one printer: in millimetres of a page or in columns
// of a terminal.
type gauge struct {
	width    float64 // of the page
	pad      float64 // white space left and right of a cell's text
	step     float64 // in which room is dealt out
	spread   bool    // use up the room that is left
	headMost float64 // a head up to this wide may stay on one line
	widest   float64 // of the pieces of a word that a column is made wide enough for;
	tight    float64 // longer ones are cut; tight is enough where it saves parting the table
	tick     float64 // a box to tick
	hand     float64 // a space to write in, and
	handMin  float64 // the least of it
	text     measurer
	unit     measurer
	clean    func(string) string
	cell     func(Cell) []run // words or figure with all that stands behind it
	signs    func(Cell) []run // what stands behind it alone
}

// column is one column of a table, measured.
type column struct {
	Column
	at       int // its place in the table
	kind     ColumnKind
	align    Align
	x, w     float64
	least    float64     // narrowest that cuts no word
	tight    float64     // narrowest where long words may be cut
	natural  float64     // where nothing has to be broken
	signs    float64     // room for marks right of the figures
	left     float64     // widest part before the decimal point
	right    float64     // and from the point on
	cells    [][]float64 // by row: the widths of the cell's lines where nothing is broken
	weight   float64
	isFigure bool
}

// columns finds how much room each column of a table needs.
func (g *gauge) columns(t *Table) []*column {
	cols := make([]*column, len(t.Columns))
	for i, c := range t.Columns {
		c.Unit = t.unitWords(i)
		col := &column{Column: c, at: i, kind: t.kind(i), align: t.align(i), weight: c.Weight}
		if col.weight == 0 {
			col.weight = 1
		}
		col.isFigure = col.kind != KindText && c.Align == AlignAuto
		head := []run{{text: g.clean(c.Head), style: styleBold}}
		col.least = max(longestPiece(head, g.text), longestPiece(g.unitRuns(c.Unit), g.unit))
		col.tight = col.least
		col.natural = max(col.least, min(lineWidth(head, g.text), g.headMost))
		for _, r := range t.Rows {
			if r.Kind != RowGroup {
				g.measure(col, rowCell(r, i))
			}
		}
		figures := col.left + col.right + col.signs
		col.least, col.natural = max(col.least, figures), max(col.natural, figures)
		col.tight = max(col.tight, figures)
		cols[i] = col
	}
	return cols
}

// unitRuns keeps a short unit on one line, and a longer one whole between spaces.
func (g *gauge) unitRuns(unit string) []run {
	if len(unit) <= 12 {
		unit = strings.ReplaceAll(unit, " ", "\u00a0")
	}
	return []run{{text: g.clean(unit), whole: true}}
}

// rowCell returns the cell of a row as it is set: those of totals are bold.
func rowCell(r Row, i int) Cell {
	c := r.Cells[i]
	c.Bold = c.Bold || r.Kind == RowTotal
	return c
}

func (g *gauge) measure(col *column, c Cell) {
	runs := g.cell(c)
	natural := lineWidth(runs, g.text)
	switch {
	case c.IsFigure() && col.isFigure:
		col.signs = max(col.signs, lineWidth(g.signs(c), g.text))
		left, right := g.figureParts(c, col)
		col.left, col.right = max(col.left, left), max(col.right, right)
		natural = 0
	case c.IsFigure():
		col.least, col.tight = max(col.least, natural), max(col.tight, natural)
	case c.Kind == CellTick:
		natural = g.tick
	case c.Kind == CellWriteIn:
		natural = g.hand
		col.least, col.tight = max(col.least, g.handMin), max(col.tight, g.handMin)
	default:
		piece := longestPiece(runs, g.text)
		col.least = max(col.least, min(piece, g.widest))
		col.tight = max(col.tight, min(piece, g.tight))
	}
	col.natural = max(col.natural, natural)
	lines := []float64{natural}
	if c.Kind == CellText || c.Kind == CellMissing || c.Kind == CellVerdict {
		lines = lineWidths(runs, g.text)
	}
	col.cells = append(col.cells, lines)
}

// figureParts returns the widths of a figure before and from its decimal point.
// A column with ranges has no point to stand on: all of it is set to the right.
func (g *gauge) figureParts(c Cell, col *column) (left, right float64) {
	l, r := g.clean(c.String()), ""
	if col.kind != KindRange {
		l, r = splitFigure(l)
	}
	style := styleRegular
	if c.Bold {
		style = styleBold
	}
	return lineWidth([]run{{text: l, style: style}}, g.text), lineWidth([]run{{text: r, style: style}}, g.text)
}

// splitFigure cuts a figure at its decimal point; the point goes to the right part.
func splitFigure(s string) (left, right string) {
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return s[:i], s[i:]
	}
	if i := strings.IndexRune(s, '\u00a0'); i >= 0 { // a unit behind a whole number
		return s[:i], s[i:]
	}
	return s, ""
}

// behind returns how far left of its column's edge a figure ends.
func (g *gauge) behind(c Cell, col *column) float64 {
	_, right := g.figureParts(c, col)
	return col.signs - lineWidth(g.signs(c), g.text) + col.right - right
}

// A table is made of parts: groups of columns that fit a page side by side. Most
// have one. Each further part repeats the fixed columns.

// parts shares the columns out to as many parts as the page width asks for.
func (g *gauge) parts(cols []*column) [][]*column {
	if g.leastWidth(cols) <= g.width {
		return [][]*column{cols}
	}
	if tight := g.tightWidth(cols); tight <= g.width {
		loosen(cols, g.width-tight)
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
	base := g.leastWidth(fixed)
	if base > g.width*0.6 { // the fixed columns must not crowd out the others
		fixed, rest = cols[:1], cols[1:]
		base = g.leastWidth(fixed)
	}
	var out [][]*column
	var part []*column
	used := base
	for _, c := range rest {
		need := c.least + 2*g.pad
		if len(part) > 0 && used+need > g.width {
			out = append(out, part)
			part, used = nil, base
		}
		part = append(part, c)
		used += need
	}
	out = append(out, part)
	return withFixed(fixed, g.evenParts(rest, len(out), base, out))
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
func (g *gauge) evenParts(rest []*column, n int, base float64, greedy [][]*column) [][]*column {
	per := (len(rest) + n - 1) / n
	var out [][]*column
	for from := 0; from < len(rest); from += per {
		part := rest[from:min(from+per, len(rest))]
		if base+g.leastWidth(part) > g.width {
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

func (g *gauge) leastWidth(cols []*column) float64 {
	w := 0.0
	for _, c := range cols {
		w += c.least + 2*g.pad
	}
	return w
}

func (g *gauge) tightWidth(cols []*column) float64 {
	w := 0.0
	for _, c := range cols {
		w += c.tight + 2*g.pad
	}
	return w
}

// share gives each column its width, the first beginning at x. All get their natural width where that
// fits. Else columns of figures get what they need, and the rest is dealt out in
// small steps, each to the column that makes the table shortest.
func (g *gauge) share(cols []*column, x float64) {
	natural := 0.0
	for _, c := range cols {
		natural += c.natural + 2*g.pad
	}
	if natural <= g.width {
		for _, c := range cols {
			c.w = c.natural + 2*g.pad
		}
		g.spreadOut(cols, g.width-natural)
	} else {
		g.deal(cols)
	}
	for _, c := range cols {
		c.x = x
		x += c.w
	}
}

// spreadOut hands out the room that is left: to columns of words by their weight,
// up to a third more than they need, and a little to all, so that a narrow table
// stays narrow enough to read across.
func (g *gauge) spreadOut(cols []*column, left float64) {
	if !g.spread {
		return
	}
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
	if left = g.width - total; left <= 0 || weights == 0 {
		return
	}
	if total < g.width*0.6 { // a small table is not pulled apart
		return
	}
	for _, c := range cols {
		if !c.isFigure {
			c.w += left * c.weight / weights
		}
	}
}

func (g *gauge) deal(cols []*column) {
	left := g.width
	for _, c := range cols {
		c.w = c.least + 2*g.pad
		if c.isFigure {
			c.w = min(c.natural, max(c.least, c.left+c.right+c.signs)) + 2*g.pad
		}
		left -= c.w
	}
	if left < 0 { // the fixed columns alone are too wide: all shrink alike
		f := g.width / (g.width - left)
		for _, c := range cols {
			c.w *= f
		}
		return
	}
	now := g.lineCosts(cols)
	for ; left >= g.step; left -= g.step {
		best, gain := -1, 0.0
		for i, c := range cols {
			if c.w >= c.natural+2*g.pad {
				continue
			}
			c.w += g.step
			saved := (now - g.lineCosts(cols)) * c.weight
			c.w -= g.step
			if saved > gain+slack {
				best, gain = i, saved
			}
		}
		if best < 0 {
			break
		}
		cols[best].w += g.step
		now = g.lineCosts(cols)
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
func (g *gauge) lineCosts(cols []*column) float64 {
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
			room := max(c.w-2*g.pad, 1)
			lines := 0.0
			for _, wd := range c.cells[r] {
				if wd <= room {
					lines++
				} else { // broken lines are not full: some room is lost at each end
					lines += math.Max(1.5, wd*1.12/room+0.4)
				}
			}
			most, all = max(most, lines), all+lines
		}
		cost += most + 0.08*all
	}
	return cost
}
