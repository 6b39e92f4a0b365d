package pdf

import (
	"strings"

	"gallipot/dossier/document/layout"
)

// textLine is one set line inside a box or a cell.
type textLine struct {
	runs  []layout.Run
	size  float64
	lh    float64
	ink   Colour
	shift float64 // from the left edge, or from the right one when flush
	flush bool    // set to the right edge
	mid   bool    // centred

	ruled   bool     // a line to write on stands below
	boxed   bool     // a box to tick stands before
	options []string // boxes to tick with their words, in place of runs
}

// stack is the content of one cell: lines below each other.
type stack struct {
	x, w  float64
	lines []textLine
	draw  func(y float64) // extra drawing on the first line, such as a tick box
	again bool            // repeated in grey where the row goes on on the next page
}

func (s *stack) height() float64 {
	h := 0.0
	for _, l := range s.lines {
		h += l.lh
	}
	return h
}

// set breaks runs into lines of a stack.
func (w *Writer) set(runs []layout.Run, width, size, lh float64, ink Colour) []textLine {
	var out []textLine
	wrap := layout.WrapRuns
	if w.sc.dense {
		wrap = layout.WrapHyphened
	}
	lines := wrap(runs, width, layout.RuneMM(size))
	if w.Cut != nil && w.sc.dense && signs(lines) > signs([][]layout.Run{runs}) {
		w.Cut(runs[0].Text)
	}
	for _, l := range lines {
		out = append(out, textLine{runs: l, size: size, lh: lh, ink: ink})
	}
	return out
}

// signs counts what is printed of lines, spaces apart: a hyphen more says that a word
// was broken.
func signs(lines [][]layout.Run) (n int) {
	for _, l := range lines {
		for _, r := range l {
			n += len(strings.Join(strings.Fields(r.Text), ""))
		}
	}
	return n
}

// plain makes one cleaned run.
func (w *Writer) plain(s string, style layout.FontStyle) []layout.Run {
	return []layout.Run{{Text: w.Clean.Clean(s), Style: style}}
}

// rowStyle is how a row of stacks is set off.
type rowStyle struct {
	pad      float64 // above and below the lines
	fill     *Colour // ground, from x over w
	x, w     float64
	bar      float64 // width of a bar along the left edge
	barInk   Colour
	under    float64 // width of the rule below the row
	ink      Colour  // of that rule
	anchors  []string
	onPage   func() // draws what is repeated at the top of a page: the head of a table
	keepNext float64
	whole    float64 // a row up to this height is not split; 0 means shortRow
}

// The rules of splitting: a row up to shortRow stays whole where a page can hold
// it; a longer one leaves at least fewLines lines at the foot of a page and takes
// at least two to the next.
const (
	shortRow = 42.0
	fewLines = 3
)

// row draws stacks beside each other, over as many pages as they need.
func (w *Writer) row(stacks []*stack, st rowStyle) {
	full := 0.0
	for _, s := range stacks {
		full = max(full, s.height())
	}
	if h := full + 2*st.pad; full <= max(st.whole, shortRow) && w.room() < h+st.keepNext-layout.Slack {
		w.turn(st)
	}
	if w.broken {
		w.turn(st)
	}
	at := make([]int, len(stacks))
	for first := true; ; first = false {
		ends, h, done := takeLines(stacks, at, w.room()-2*st.pad)
		if !done && !w.fresh && shortTake(at, ends) || h == 0 && !done {
			w.turn(st)
			ends, h, done = takeLines(stacks, at, w.room()-2*st.pad)
			if h == 0 && !done { // a page cannot hold a single line: never with our sizes
				return
			}
		}
		w.rowPart(stacks, at, ends, h, st, first)
		at = ends
		if done {
			return
		}
		w.turn(st)
	}
}

// turn goes to the next page and repeats what belongs on top.
func (w *Writer) turn(st rowStyle) {
	w.newPage()
	if st.onPage != nil {
		st.onPage()
	}
}

// takeLines returns how far each stack gets within room, and the height taken.
func takeLines(stacks []*stack, at []int, room float64) (ends []int, height float64, done bool) {
	ends, done = make([]int, len(at)), true
	for i, s := range stacks {
		h, j := 0.0, at[i]
		for j < len(s.lines) && h+s.lines[j].lh <= room+layout.Slack {
			h += s.lines[j].lh
			j++
		}
		ends[i] = j
		done = done && j == len(s.lines)
	}
	if !done {
		holdBack(stacks, at, ends)
	}
	for i, s := range stacks {
		h := 0.0
		for _, l := range s.lines[at[i]:ends[i]] {
			h += l.lh
		}
		height = max(height, h)
	}
	return ends, height, done
}

// holdBack leaves a second line for the next page where only one would go over.
func holdBack(stacks []*stack, at, ends []int) {
	rest := 0
	for i, s := range stacks {
		rest = max(rest, len(s.lines)-ends[i])
	}
	if rest != 1 {
		return
	}
	for i, s := range stacks {
		if len(s.lines)-ends[i] == 1 && ends[i]-at[i] > fewLines {
			ends[i]--
		}
	}
}

// shortTake says whether a part would be a stub at the foot of a page.
func shortTake(at, ends []int) bool {
	most := 0
	for i := range at {
		most = max(most, ends[i]-at[i])
	}
	return most < fewLines
}

func (w *Writer) rowPart(stacks []*stack, at, ends []int, h float64, st rowStyle, first bool) {
	top, bottom := w.y, w.y+h+2*st.pad
	if st.fill != nil {
		w.box(st.x, top, st.w, bottom-top, *st.fill)
	}
	if st.bar > 0 {
		w.box(st.x, top, st.bar, bottom-top, st.barInk)
	}
	if first {
		for _, id := range st.anchors {
			w.anchor(id, top)
		}
	}
	for i, s := range stacks {
		y := top + st.pad
		if first && s.draw != nil {
			s.draw(y)
		}
		lines, ink := s.lines[at[i]:ends[i]], (*Colour)(nil)
		if !first && s.again && len(lines) == 0 && s.height() <= h {
			lines, ink = s.lines, &Grey
		}
		for _, l := range lines {
			if ink != nil {
				l.ink = *ink
			}
			w.setLine(s, l, y)
			y += l.lh
		}
	}
	w.took(bottom - top)
	if st.under > 0 {
		w.Line(st.x, bottom, st.x+st.w, bottom, st.under, st.ink)
	}
}

func (w *Writer) setLine(s *stack, l textLine, y float64) {
	x := s.x + l.shift
	if l.flush || l.mid {
		wd := layout.LineWidth(l.runs, layout.RuneMM(l.size))
		if l.mid {
			x = s.x + (s.w-wd)/2
		} else {
			x = s.x + s.w - l.shift - wd
		}
	}
	switch {
	case l.options != nil:
		w.tickRow(s.x, y, l.lh, l.options)
		return
	case l.boxed:
		w.tickBox(s.x, y+(l.lh-w.sc.tick)/2, w.sc.tick, false)
	case l.ruled:
		w.Line(s.x, y+l.lh-0.6, s.x+s.w, y+l.lh-0.6, 0.15, Grey)
		y += 0.7
	}
	w.writeRuns(x, y, l.lh, l.size, l.runs, l.ink)
}

// tickRow draws the options of one line.
func (w *Writer) tickRow(x, y, lh float64, options []string) {
	for _, o := range options {
		w.tickBox(x, y+(lh-w.sc.tick)/2, w.sc.tick, false)
		x += w.sc.tick + 2
		w.Write(x, baseline(y, lh, w.sc.body), o, layout.StyleRegular, w.sc.body, Black)
		x += layout.TextMM(o, layout.StyleRegular, w.sc.body) + 6
	}
}
