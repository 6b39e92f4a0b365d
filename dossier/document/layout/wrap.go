package layout

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Run is text in one style: the unit that lines are made of.
type Run struct {
	Text  string
	Style FontStyle
	Link  string // anchor, or ""
	Small bool   // raised and smaller: marks and source numbers
	Grey  bool
	// Accent sets a run in the colour of numbers.
	Accent bool
	Whole  bool // broken at spaces only: units
}

// measurer gives the width of one rune of a run.
type measurer func(r rune, of *Run) float64

// WrapRuns breaks runs into lines no wider than width. It breaks at spaces, after
// the signs at which long chemical names may be parted, and inside a word only
// when nothing else fits. A line break in the text is kept. A width too small
// for a single rune still puts one rune on each line.
func WrapRuns(runs []Run, width float64, measure measurer) [][]Run {
	return wrapRuns(runs, width, measure, false)
}

// WrapHyphened is [WrapRuns] with a hyphen where nothing helps but to break a word.
func WrapHyphened(runs []Run, width float64, measure measurer) [][]Run {
	return wrapRuns(runs, width, measure, true)
}

func wrapRuns(runs []Run, width float64, measure measurer, hyphen bool) [][]Run {
	if fitsLine(runs, width, measure) {
		return [][]Run{runs}
	}
	text := Flatten(runs)
	var lines [][]Run
	for start := 0; ; {
		end, next := BreakLine(text, runs, start, width, measure)
		if hyphen && end == next && cutsWord(text, start, end) {
			end = roomForHyphen(text, runs, start, end, width, measure)
			next = end
			line := Unflatten(text[start:end], runs)
			line[len(line)-1].Text += "-"
			lines = append(lines, line)
			start = next
			continue
		}
		lines = append(lines, Unflatten(text[start:end], runs))
		if next >= len(text) {
			if next == len(text) && end < next && text[next-1].r == '\n' {
				lines = append(lines, nil)
			}
			return lines
		}
		start = next
	}
}

// cutsWord says whether a line that ends there parts two letters.
func cutsWord(text []glyph, start, end int) bool {
	return end-start > 2 && end < len(text) && unicode.IsLetter(text[end-1].r) && unicode.IsLetter(text[end].r)
}

// roomForHyphen returns where a line has to end so that a hyphen fits behind it.
func roomForHyphen(text []glyph, runs []Run, start, end int, width float64, measure measurer) int {
	used := 0.0
	for i := start; i < end; i++ {
		used += measure(text[i].r, &runs[text[i].of])
	}
	for end-start > 2 && used+measure('-', &runs[text[end-1].of]) > width+Slack {
		end--
		used -= measure(text[end].r, &runs[text[end].of])
	}
	return end
}

// fitsLine says whether runs are one line as they are: most are.
func fitsLine(runs []Run, width float64, measure measurer) bool {
	used, last := 0.0, ' '
	for i := range runs {
		if runs[i].Text == "" {
			return false
		}
		for _, r := range runs[i].Text {
			if r == '\n' {
				return false
			}
			used, last = used+measure(r, &runs[i]), r
		}
	}
	return used <= width+Slack && last != ' '
}

// glyph is one rune, the run it belongs to and its place in the text of that run.
type glyph struct {
	r            rune
	of, from, to int32 // the run, and bytes of its text
}

func Flatten(runs []Run) []glyph {
	n := 0
	for i := range runs {
		n += len(runs[i].Text)
	}
	out := make([]glyph, 0, n)
	for i := range runs {
		text := runs[i].Text
		for from := 0; from < len(text); {
			r, size := utf8.DecodeRuneInString(text[from:])
			out = append(out, glyph{r, int32(i), int32(from), int32(from + size)})
			from += size
		}
	}
	return out
}

// Unflatten returns a stretch of a text as runs.
func Unflatten(text []glyph, runs []Run) []Run {
	var line []Run
	from := 0
	for i, g := range text {
		if i+1 == len(text) || text[i+1].of != g.of {
			part := runs[g.of]
			part.Text = part.Text[text[from].from:g.to]
			line = append(line, part)
			from = i + 1
		}
	}
	return line
}

// Slack lets a word that fills its column to the last digit stay on its line.
const Slack = 1e-6

// fullEnough is the share of the width from which on a line is rather ended at a
// space than inside a long word.
const fullEnough = 0.6

// BreakLine returns where the line that begins at start ends, and where the next
// one begins.
func BreakLine(text []glyph, runs []Run, start int, width float64, measure measurer) (end, next int) {
	return breakLine(text, start, width, func(i int) float64 { return measure(text[i].r, &runs[text[i].of]) },
		func(i int) bool { return mayBreak(text, runs, i) })
}

// mayBreak says whether a line may end behind the i-th rune of its run.
func mayBreak(text []glyph, runs []Run, i int) bool {
	return MayBreakAfter(text, i) && !(runs[text[i].of].Whole && text[i].r != ' ')
}

// breakLine is BreakLine for text whose letters are measured, and which is known to break.
func breakLine(text []glyph, start int, width float64, widthOf func(i int) float64,
	mayBreak func(i int) bool) (end, next int) {
	used, best := 0.0, -1
	space, atSpace := -1, 0.0 // the last space, and the width of the line up to it
	for i := start; i < len(text); i++ {
		g := text[i]
		if g.r == '\n' {
			return trimRight(text, start, i), i + 1
		}
		used += widthOf(i)
		if used > width+Slack && g.r != ' ' && i > start {
			if space > start && atSpace > fullEnough*width {
				best = space
			}
			if best > start {
				return trimRight(text, start, best), skipSpaces(text, best)
			}
			return i, i
		}
		if mayBreak(i) {
			best = i + 1
			if g.r == ' ' {
				space, atSpace = best, used
			}
		}
	}
	return trimRight(text, start, len(text)), len(text)
}

func trimRight(text []glyph, start, end int) int {
	for end > start && text[end-1].r == ' ' {
		end--
	}
	return end
}

func skipSpaces(text []glyph, i int) int {
	for i < len(text) && text[i].r == ' ' {
		i++
	}
	return i
}

// MayBreakAfter says whether a line may end behind the rune at i. Figures and
// positions ("1,2-", "C10-30", "10–15") stay whole.
func MayBreakAfter(text []glyph, i int) bool {
	r := text[i].r
	if r == ' ' {
		return !joins(text, i)
	}
	if !strings.ContainsRune("/-,;–—_", r) || i == 0 || i+1 >= len(text) {
		return false
	}
	before, after := text[i-1].r, text[i+1].r
	if after == ' ' || before == ' ' || unicode.IsDigit(after) && r != '/' {
		return false
	}
	switch r {
	case '/':
		return inWord(text, i-3, i) && inWord(text, i+1, i+4)
	case '-':
		return unicode.IsLetter(before) && i > 1 && text[i-2].r != ' ' && text[i-2].r != '-'
	}
	return !unicode.IsDigit(before)
}

// joins says whether the space at i stands inside what is read as one: a figure and its
// sign ("0.32 %", "40 °C"), or the code of a colour or additive ("CI 77891", "E 171").
func joins(text []glyph, i int) bool {
	if i == 0 || i+1 >= len(text) {
		return false
	}
	before, after := text[i-1].r, text[i+1].r
	if unicode.IsDigit(before) {
		return after == '%' || after == '°'
	}
	start := i
	for start > 0 && unicode.IsLetter(text[start-1].r) {
		start--
	}
	if !unicode.IsDigit(after) || i-start > 2 {
		return false
	}
	switch before {
	case 'E':
		return i-start == 1
	case 'I':
		return i-start == 2 && text[start].r == 'C'
	}
	return false
}

// inWord says whether all runes of a stretch are there and none is a space:
// units ("mg/kg", "w/w") are too short to be parted.
func inWord(text []glyph, from, to int) bool {
	if from < 0 || to > len(text) {
		return false
	}
	for _, g := range text[from:to] {
		if unicode.IsSpace(g.r) {
			return false
		}
	}
	return true
}

// longestPiece returns the width of the widest piece that has no place to break.
func longestPiece(runs []Run, measure measurer) float64 {
	text := Flatten(runs)
	widest, piece := 0.0, 0.0
	for i, g := range text {
		if g.r == '\n' || g.r == ' ' {
			piece = 0
			continue
		}
		piece += measure(g.r, &runs[g.of])
		widest = max(widest, piece)
		if MayBreakAfter(text, i) && !runs[g.of].Whole {
			piece = 0
		}
	}
	return widest
}

// LineWidth returns the width of runs set on one line; at a line break it starts
// again and the widest line counts.
func LineWidth(runs []Run, measure measurer) float64 {
	widest, used := 0.0, 0.0
	for i := range runs {
		for _, r := range runs[i].Text {
			if r == '\n' {
				widest, used = max(widest, used), 0
				continue
			}
			used += measure(r, &runs[i])
		}
	}
	return max(widest, used)
}

// lineWidths returns the width of each line where only line breaks end one.
func lineWidths(runs []Run, measure measurer) []float64 {
	lines := []float64{0}
	for i := range runs {
		for _, r := range runs[i].Text {
			if r == '\n' {
				lines = append(lines, 0)
				continue
			}
			lines[len(lines)-1] += measure(r, &runs[i])
		}
	}
	return lines
}
