package layout

import (
	"math"
	"strings"

	"gallipot/dossier/document"
)

// Gauge measures tables for one printer: in millimetres of a page or in columns
// of a terminal.
type Gauge struct {
	Width    float64 // of the page
	Pad      float64 // white space left and right of a cell's text
	Step     float64 // in which room is dealt out
	Spread   bool    // use up the room that is left
	HeadMost float64 // a head up to this wide may stay on one line
	Widest   float64 // of the pieces of a word that a column is made wide enough for;
	Tight    float64 // longer ones are cut; tight is enough where it saves parting the table
	Tick     float64 // a box to tick
	Hand     float64 // a space to write in, and
	HandMin  float64 // the least of it
	Text     measurer
	Unit     measurer
	Clean    func(string) string
	Cell     func(document.Cell) []Run // words or figure with all that stands behind it
	Signs    func(document.Cell) []Run // what stands behind it alone
}

// Column is one column of a table, measured.
type Column struct {
	document.Column
	At       int // its place in the table
	kind     document.ColumnKind
	Align    document.Align
	X, W     float64
	least    float64     // narrowest that cuts no word
	tight    float64     // narrowest where long words may be cut
	natural  float64     // where nothing has to be broken
	Signs    float64     // room for marks right of the figures
	left     float64     // widest part before the decimal point
	right    float64     // and from the point on
	cells    [][]float64 // by row: the widths of the cell's lines where nothing is broken
	weight   float64
	IsFigure bool
}

// Columns finds how much room each column of a table needs.
func (g *Gauge) Columns(t *document.Table) []*Column {
	cols := make([]*Column, len(t.Columns))
	for i, c := range t.Columns {
		c.Unit = t.UnitWords(i)
		col := &Column{Column: c, At: i, kind: t.Kind(i), Align: t.Align(i), weight: c.Weight}
		if col.weight == 0 {
			col.weight = 1
		}
		col.IsFigure = col.kind != document.KindText && c.Align == document.AlignAuto
		head := []Run{{Text: g.Clean(c.Head), Style: StyleBold}}
		col.least = max(longestPiece(head, g.Text), longestPiece(g.UnitRuns(c.Unit), g.Unit))
		col.tight = col.least
		col.natural = max(col.least, min(LineWidth(head, g.Text), g.HeadMost))
		for _, r := range t.Rows {
			if r.Kind != document.RowGroup {
				g.measure(col, RowCell(r, i))
			}
		}
		figures := col.left + col.right + col.Signs
		col.least, col.natural = max(col.least, figures), max(col.natural, figures)
		col.tight = max(col.tight, figures)
		cols[i] = col
	}
	return cols
}

// UnitRuns keeps a short unit on one line, and a longer one whole between spaces.
func (g *Gauge) UnitRuns(unit string) []Run {
	if len(unit) <= 12 {
		unit = strings.ReplaceAll(unit, " ", "\u00a0")
	}
	return []Run{{Text: g.Clean(unit), Whole: true}}
}

// RowCell returns the cell of a row as it is set: those of totals are bold.
func RowCell(r document.Row, i int) document.Cell {
	c := r.Cells[i]
	c.Bold = c.Bold || r.Kind == document.RowTotal
	return c
}

func (g *Gauge) measure(col *Column, c document.Cell) {
	runs := g.Cell(c)
	natural := LineWidth(runs, g.Text)
	switch {
	case c.IsFigure() && col.IsFigure:
		col.Signs = max(col.Signs, LineWidth(g.Signs(c), g.Text))
		left, right := g.figureParts(c, col)
		col.left, col.right = max(col.left, left), max(col.right, right)
		natural = 0
	case c.IsFigure():
		col.least, col.tight = max(col.least, natural), max(col.tight, natural)
	case c.Kind == document.CellTick:
		natural = g.Tick
	case c.Kind == document.CellWriteIn:
		natural = g.Hand
		col.least, col.tight = max(col.least, g.HandMin), max(col.tight, g.HandMin)
	default:
		piece := longestPiece(runs, g.Text)
		col.least = max(col.least, min(piece, g.Widest))
		col.tight = max(col.tight, min(piece, g.Tight))
	}
	col.natural = max(col.natural, natural)
	lines := []float64{natural}
	if c.Kind == document.CellText || c.Kind == document.CellMissing || c.Kind == document.CellVerdict {
		lines = lineWidths(runs, g.Text)
	}
	col.cells = append(col.cells, lines)
}

// figureParts returns the widths of a figure before and from its decimal point.
// A column with ranges has no point to stand on: all of it is set to the right.
func (g *Gauge) figureParts(c document.Cell, col *Column) (left, right float64) {
	l, r := g.Clean(c.String()), ""
	if col.kind != document.KindRange {
		l, r = splitFigure(l)
	}
	style := StyleRegular
	if c.Bold {
		style = StyleBold
	}
	return LineWidth([]Run{{Text: l, Style: style}}, g.Text), LineWidth([]Run{{Text: r, Style: style}}, g.Text)
}

// splitFigure cuts a figure at its decimal point; the point goes to the right part.
func splitFigure(s string) (left, right string) {
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return s[:i], s[i:]
	}
	if i := unitAt(s); i >= 0 { // a unit behind a whole number
		return s[:i], s[i:]
	}
	return s, ""
}

// Behind returns how far left of its column's edge a figure ends.
func (g *Gauge) Behind(c document.Cell, col *Column) float64 {
	_, right := g.figureParts(c, col)
	return col.Signs - LineWidth(g.Signs(c), g.Text) + col.right - right
}

// A table is made of parts: groups of columns that fit a page side by side. Most
// have one. Each further part repeats the fixed columns.

// Parts shares the columns out to as many parts as the page width asks for.
func (g *Gauge) Parts(cols []*Column) [][]*Column {
	if g.LeastWidth(cols) <= g.Width {
		return [][]*Column{cols}
	}
	if tight := g.TightWidth(cols); tight <= g.Width {
		loosen(cols, g.Width-tight)
		return [][]*Column{cols}
	}
	var fixed, rest []*Column
	for i, c := range cols {
		if i == 0 || c.Fixed {
			fixed = append(fixed, c)
		} else {
			rest = append(rest, c)
		}
	}
	base := g.LeastWidth(fixed)
	if base > g.Width*0.6 { // the fixed columns must not crowd out the others
		fixed, rest = cols[:1], cols[1:]
		base = g.LeastWidth(fixed)
	}
	var out [][]*Column
	var part []*Column
	used := base
	for _, c := range rest {
		need := c.least + 2*g.Pad
		if len(part) > 0 && used+need > g.Width {
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
func loosen(cols []*Column, left float64) {
	for _, c := range cols {
		more := min(c.least-c.tight, left)
		c.least = c.tight + more
		left -= more
	}
}

// evenParts makes the parts about equally wide, when that fits as well.
func (g *Gauge) evenParts(rest []*Column, n int, base float64, greedy [][]*Column) [][]*Column {
	per := (len(rest) + n - 1) / n
	var out [][]*Column
	for from := 0; from < len(rest); from += per {
		part := rest[from:min(from+per, len(rest))]
		if base+g.LeastWidth(part) > g.Width {
			return greedy
		}
		out = append(out, part)
	}
	return out
}

// withFixed puts copies of the fixed columns before each part.
func withFixed(fixed []*Column, groups [][]*Column) [][]*Column {
	out := make([][]*Column, len(groups))
	for i, g := range groups {
		for _, c := range fixed {
			twin := *c
			out[i] = append(out[i], &twin)
		}
		out[i] = append(out[i], g...)
	}
	return out
}

func (g *Gauge) LeastWidth(cols []*Column) float64 {
	w := 0.0
	for _, c := range cols {
		w += c.least + 2*g.Pad
	}
	return w
}

func (g *Gauge) TightWidth(cols []*Column) float64 {
	w := 0.0
	for _, c := range cols {
		w += c.tight + 2*g.Pad
	}
	return w
}

// Share gives each column its width, the first beginning at x. All get their natural width where that
// fits. Else columns of figures get what they need, and the rest is dealt out in
// small steps, each to the column that makes the table shortest.
func (g *Gauge) Share(cols []*Column, x float64) {
	natural := 0.0
	for _, c := range cols {
		natural += c.natural + 2*g.Pad
	}
	if natural <= g.Width {
		for _, c := range cols {
			c.W = c.natural + 2*g.Pad
		}
		g.spreadOut(cols, g.Width-natural)
	} else {
		g.deal(cols)
	}
	for _, c := range cols {
		c.X = x
		x += c.W
	}
}

// spreadOut hands out the room that is left: to columns of words by their weight,
// up to a third more than they need, and a little to all, so that a narrow table
// stays narrow enough to read across.
func (g *Gauge) spreadOut(cols []*Column, left float64) {
	if !g.Spread {
		return
	}
	for _, c := range cols {
		c.W += min(left/float64(len(cols)), 5)
	}
	total, weights := 0.0, 0.0
	for _, c := range cols {
		total += c.W
		if !c.IsFigure {
			weights += c.weight
		}
	}
	if left = g.Width - total; left <= 0 || weights == 0 {
		return
	}
	if total < g.Width*0.6 { // a small table is not pulled apart
		return
	}
	for _, c := range cols {
		if !c.IsFigure {
			c.W += left * c.weight / weights
		}
	}
}

func (g *Gauge) deal(cols []*Column) {
	left := g.Width
	for _, c := range cols {
		c.W = c.least + 2*g.Pad
		if c.IsFigure {
			c.W = min(c.natural, max(c.least, c.left+c.right+c.Signs)) + 2*g.Pad
		}
		left -= c.W
	}
	if left < 0 { // the fixed columns alone are too wide: all shrink alike
		f := g.Width / (g.Width - left)
		for _, c := range cols {
			c.W *= f
		}
		return
	}
	now := g.lineCosts(cols)
	for ; left >= g.Step; left -= g.Step {
		best, gain := -1, 0.0
		for i, c := range cols {
			if c.W >= c.natural+2*g.Pad {
				continue
			}
			c.W += g.Step
			saved := (now - g.lineCosts(cols)) * c.weight
			c.W -= g.Step
			if saved > gain+Slack {
				best, gain = i, saved
			}
		}
		if best < 0 {
			break
		}
		cols[best].W += g.Step
		now = g.lineCosts(cols)
	}
	if left > 0 {
		cols[widest(cols)].W += left
	}
}

func widest(cols []*Column) int {
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
func (g *Gauge) lineCosts(cols []*Column) float64 {
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
			room := max(c.W-2*g.Pad, 1)
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

// unitAt returns where the unit behind a figure begins, -1 where there is none: a
// space between digits parts thousands.
func unitAt(s string) int {
	for i, r := range s {
		if r != '\u00a0' {
			continue
		}
		if rest := s[i+len("\u00a0"):]; rest == "" || rest[0] < '0' || rest[0] > '9' {
			return i
		}
	}
	return -1
}
