package layout

// Measured is text of one size whose letters are measured once, for whoever asks how many
// lines it takes in columns of many widths.
type Measured struct {
	text   []glyph
	runs   []Run
	size   float64
	widths []float64 // of each letter, mm
	breaks []bool    // whether a line may end behind it
	known  []taken
}

// taken is how many lines a width takes; none where a word is wider.
type taken struct {
	width float64
	lines int
}

// Measure measures the letters of runs at a size in points.
func Measure(runs []Run, size float64) *Measured {
	m := &Measured{text: Flatten(runs), runs: runs, size: size}
	m.widths, m.breaks = make([]float64, len(m.text)), make([]bool, len(m.text))
	measure := RuneMM(size)
	for i, g := range m.text {
		m.widths[i], m.breaks[i] = measure(g.r, &runs[g.of]), mayBreak(m.text, runs, i)
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
		if width <= 0 || cut || end == start || m.wide(start, end) > width+Slack {
			return -1
		}
		start = next
	}
	return lines
}

// line is [BreakLine] with what is measured.
func (m *Measured) line(start int, width float64) (end, next int) {
	return breakLine(m.text, start, width, func(i int) float64 { return m.widths[i] },
		func(i int) bool { return m.breaks[i] })
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
