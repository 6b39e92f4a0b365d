package label

import (
	"math"

	"gallipot/dossier/document/layout"
)

// ink is everything drawn on a label, in mm from its left upper corner.
type ink struct {
	texts []inkText
	signs []inkSign
	lines []inkLine
}

// inkText is one run of text; base is the line the letters stand on.
type inkText struct {
	X, Base, Width float64
	Size           float64 // points
	Style          layout.FontStyle
	S              string
}

// inkSign is one sign with its left upper corner and its height.
type inkSign struct {
	kind         signKind
	x, y, height float64
}

// inkLine is a thin line.
type inkLine struct{ x0, y0, x1, y1 float64 }

// add takes over what is drawn on another, moved to the right and down.
func (k *ink) add(o *ink, right, down float64) {
	for _, t := range o.texts {
		t.X, t.Base = t.X+right, t.Base+down
		k.texts = append(k.texts, t)
	}
	for _, s := range o.signs {
		s.x, s.y = s.x+right, s.y+down
		k.signs = append(k.signs, s)
	}
	for _, l := range o.lines {
		k.lines = append(k.lines, inkLine{l.x0 + right, l.y0 + down, l.x1 + right, l.y1 + down})
	}
}

// area is a part of a label that may be filled: one with straight sides, or a circle.
type area struct {
	top, bottom float64
	left, right float64
	widest      float64 // no line has more room
	centred     bool
	cx, cy, r   float64 // of a circle; r is 0 for none
}

// straight returns an area with straight sides.
func straight(x0, y0, x1, y1 float64, centred bool) area {
	return area{top: y0, bottom: y1, left: x0, right: x1, centred: centred, widest: x1 - x0}
}

// disc returns the area of a circle.
func disc(cx, cy, r float64) area {
	return area{top: cy - r, bottom: cy + r, centred: true, widest: 2 * r, cx: cx, cy: cy, r: r}
}

// span returns the left and the right end of the room between two heights; it is empty
// where left is not below right. Of a circle the shorter of both chords counts.
func (a *area) span(top, bottom float64) (left, right float64) {
	if a.r == 0 {
		return a.left, a.right
	}
	far := max(math.Abs(top-a.cy), math.Abs(bottom-a.cy))
	if far >= a.r {
		return a.cx, a.cx
	}
	half := math.Sqrt(a.r*a.r - far*far)
	return a.cx - half, a.cx + half
}

// creep is how far a line moves down where its room is too narrow.
const creep = 0.25

// place puts something of the given width and height at y or below it, where the
// area is wide enough.
func (a area) place(y, width, height float64) (x, at float64, ok bool) {
	for ; y+height <= a.bottom+layout.Slack; y += creep {
		left, right := a.span(y, y+height)
		if right-left >= width-layout.Slack {
			if a.centred {
				left += (right - left - width) / 2
			}
			return left, y, true
		}
	}
	return 0, 0, false
}

// lowest is the least height at which paragraphs that begin at y can end, however their
// lines are broken: their letters side by side need so many lines of the widest.
func (m matter) lowest(a area, y float64, s setting) float64 {
	const safe = 1e-6 // more than sums of widths are rounded by
	size := sizeForX(s.x)
	high := lineShare() * size * layout.PointMM
	for i := range m.Paras {
		if i > 0 {
			y += paraGap * s.x
		}
		if w := m.Paras[i].widthOf() * size; w > 0 {
			y += high * max(1, math.Ceil(w/(a.widest+layout.Slack)-safe))
		}
	}
	return y - safe
}

// widthOf is the width in mm of the letters of a paragraph at a size of one point, spaces
// left out, measured once.
func (p *para) widthOf() float64 {
	if p.as != nil && p.as.measured {
		return p.as.width
	}
	measure, w := layout.RuneMM(1), 0.0
	for _, run := range p.runs() {
		for _, r := range run.Text {
			if r != ' ' && r != '\n' {
				w += measure(r, &run)
			}
		}
	}
	if p.as != nil {
		p.as.width, p.as.measured = w, true
	}
	return w
}

// flowText sets text into an area from y on and returns where the next thing may
// begin. It fails where the area is too low, or too narrow for a word.
func (k *ink) flowText(a area, y float64, runs []layout.Run, size float64) (float64, bool) {
	text := layout.Flatten(runs)
	measure := layout.RuneMM(size)
	high := lineShare() * size * layout.PointMM
	for start := 0; start < len(text); {
		if y+high > a.bottom+layout.Slack {
			return y, false
		}
		left, right := a.span(y, y+high)
		end, next := layout.BreakLine(text, runs, start, right-left, measure)
		cut := next < len(text) && next == end && !layout.MayBreakAfter(text, end-1)
		if right-left <= 0 || cut || end == start {
			y += creep
			continue
		}
		line := layout.Unflatten(text[start:end], runs)
		width := 0.0
		for _, r := range line {
			width += layout.TextMM(r.Text, r.Style, size)
		}
		if width > right-left+layout.Slack {
			y += creep
			continue
		}
		x := left
		if a.centred {
			x += (right - left - width) / 2
		}
		for _, r := range line {
			w := layout.TextMM(r.Text, r.Style, size)
			k.texts = append(k.texts, inkText{x, y + riseShare()*size*layout.PointMM, w, size, r.Style, r.Text})
			x += w
		}
		y, start = y+high, next
	}
	return y, true
}

// bit is a small thing that stands in a row with others.
type bit struct {
	width, height float64
	*ink
}

// rowGap is the room between bits.
const rowGap = 2.2

// flowBits sets bits in rows, their feet on one line, and returns where the next
// thing may begin. Without ink nothing is set: it is asked whether they fit.
func (k *ink) flowBits(a area, y float64, bits []bit) (float64, bool) {
	for start := 0; start < len(bits); {
		row := bits[start:]
		for ; ; row = row[:len(row)-1] {
			width, height := rowSize(row)
			x, at, ok := a.place(y, width, height)
			if ok && (len(row) == 1 || at < y+creep || a.narrower(y)) {
				for _, b := range row {
					if k != nil {
						k.add(b.ink, x, at+height-b.height)
					}
					x += b.width + rowGap
				}
				y = at + height + rowGap/2
				break
			}
			if len(row) == 1 {
				return y, false
			}
		}
		start += len(row)
	}
	if len(bits) > 0 {
		y -= rowGap / 2
	}
	return y, true
}

// narrower says whether the room at y is narrower than a little below: there a
// row may wait for more room.
func (a area) narrower(y float64) bool {
	l0, r0 := a.span(y, y)
	l1, r1 := a.span(y+1, y+1)
	return r1-l1 > r0-l0+layout.Slack
}

func rowSize(row []bit) (width, height float64) {
	for i, b := range row {
		if i > 0 {
			width += rowGap
		}
		width += b.width
		height = max(height, b.height)
	}
	return width, height
}

// textBit is text on one line; its height is that of the line.
func textBit(s string, style layout.FontStyle, size float64) bit {
	w := layout.TextMM(s, style, size)
	return bit{w, lineShare() * size * layout.PointMM,
		&ink{texts: []inkText{{0, riseShare() * size * layout.PointMM, w, size, style, s}}}}
}

// signBit is a sign; the text of an open jar stands inside it.
func signBit(kind signKind, height float64, text string) bit {
	s := signs[kind]
	b := bit{s.width * height, height, &ink{signs: []inkSign{{kind, 0, 0, height}}}}
	if text != "" {
		size := 1.0
		size = min(s.room.x*height/layout.TextMM(text, layout.StyleBold, size),
			s.room.y*height/(heights[layout.StyleBold]().Digit*size*layout.PointMM))
		size = math.Floor(size*0.94*100) / 100
		w, high := layout.TextMM(text, layout.StyleBold, size), heights[layout.StyleBold]().
			Digit*size*layout.PointMM
		b.texts = []inkText{{s.words.x*height - w/2, s.words.y*height + high/2, w, size, layout.StyleBold, text}}
	}
	return b
}

// beside joins two bits into one, their feet on one line.
func beside(a, b bit, gap float64) bit {
	out := bit{a.width + gap + b.width, max(a.height, b.height), &ink{}}
	out.add(a.ink, 0, out.height-a.height)
	out.add(b.ink, a.width+gap, out.height-b.height)
	return out
}
