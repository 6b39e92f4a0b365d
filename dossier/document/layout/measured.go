package layout

import "sort"

// Measured is text of one size whose letters are measured once, for whoever asks how many
// lines it takes in columns of many widths.
type Measured struct {
	text  []glyph
	runs  []Run
	size  float64
	small bool // a run is set in small type
	known []taken

	upTo   []float64 // mm, the width of all letters before each, and of all of them
	breaks []int32   // the last place before each where a line may end; 0: none
	spaces []int32   // the same, of those behind a space
	ends   []int     // where a line has to end
}

// taken is how many lines a width takes; none where a word is wider.
type taken struct {
	width float64
	lines int
}

// Measure measures the letters of runs at a size in points.
func Measure(runs []Run, size float64) *Measured {
	m := &Measured{text: Flatten(runs), runs: runs, size: size}
	n := len(m.text)
	m.upTo = make([]float64, n+1)
	places := make([]int32, 2*(n+1))
	m.breaks, m.spaces = places[:n+1], places[n+1:]
	measure := RuneMM(size)
	for i, g := range m.text {
		m.upTo[i+1] = m.upTo[i] + measure(g.r, &runs[g.of])
		m.breaks[i+1], m.spaces[i+1] = m.breaks[i], m.spaces[i]
		if g.r == '\n' {
			m.ends = append(m.ends, i)
		}
		if mayBreak(m.text, runs, i) {
			m.breaks[i+1] = int32(i + 1)
			if g.r == ' ' {
				m.spaces[i+1] = int32(i + 1)
			}
		}
	}
	for i := range runs {
		m.small = m.small || runs[i].Small
	}
	return m
}

// Lines is how many lines the text takes in a column of a width in mm; ok is false where
// it has a word that is wider.
func (m *Measured) Lines(width float64) (lines int, ok bool) {
	for _, t := range m.known {
		if t.width == width {
			return t.lines, t.lines >= 0
		}
	}
	lines = m.count(width)
	m.known = append(m.known, taken{width, lines})
	return lines, lines >= 0
}

func (m *Measured) count(width float64) (lines int) {
	for start := 0; start < len(m.text); lines++ {
		end, next := m.line(start, width)
		cut := next < len(m.text) && next == end && !MayBreakAfter(m.text, end-1)
		if width <= 0 || cut || end == start || m.isWider(start, end, width+Slack) {
			return -1
		}
		start = next
	}
	return lines
}

// inDoubt is how near to a width, in mm, the sum of letters up to a place says nothing:
// far more than sums in different orders differ by, and far less than [Slack].
const inDoubt = 1e-8

func near(a, b float64) bool { return a-b < inDoubt && b-a < inDoubt }

// line is [BreakLine] without a look at each letter: where its sums leave a doubt, that is
// asked.
func (m *Measured) line(start int, width float64) (end, next int) {
	edge := m.upTo[start] + width + Slack
	over := start + sort.Search(len(m.text)-start, func(i int) bool { return m.upTo[start+i+1] > edge })
	if over < len(m.text) && near(m.upTo[over+1], edge) || near(m.upTo[over], edge) {
		return m.slowLine(start, width)
	}
	for over < len(m.text) && (over == start || m.text[over].r == ' ') {
		over++
	}
	if at := sort.SearchInts(m.ends, start); at < len(m.ends) && m.ends[at] <= over {
		return trimRight(m.text, start, m.ends[at]), m.ends[at] + 1
	}
	if over == len(m.text) {
		return trimRight(m.text, start, over), over
	}
	best, space := int(m.breaks[over]), int(m.spaces[over])
	if space > start {
		full, used := fullEnough*width, m.upTo[space]-m.upTo[start]
		if near(used, full) {
			return m.slowLine(start, width)
		}
		if used > full {
			best = space
		}
	}
	if best > start {
		return trimRight(m.text, start, best), skipSpaces(m.text, best)
	}
	return over, over
}

func (m *Measured) slowLine(start int, width float64) (end, next int) {
	return BreakLine(m.text, m.runs, start, width, RuneMM(m.size))
}

// isWider says whether a line is wider than an edge, as [TextMM] adds it up.
func (m *Measured) isWider(start, end int, edge float64) bool {
	if sum := m.upTo[end] - m.upTo[start]; !m.small && !near(sum, edge) {
		return sum > edge
	}
	return m.wide(start, end) > edge
}

// wide is the width of a line as [TextMM] adds it up, run by run.
func (m *Measured) wide(start, end int) float64 {
	total := 0.0
	for i := start; i < end; {
		w, of := 0.0, m.text[i].of
		face := Faces[m.runs[of].Style]()
		for ; i < end && m.text[i].of == of; i++ {
			w += face.Width(m.text[i].r)
		}
		total += w * m.size * PointMM
	}
	return total
}
