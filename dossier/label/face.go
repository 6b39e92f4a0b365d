package label

import (
	"math"
	"strings"

	"gallipot/calc/labelling"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/label/labelsize"
)

// outline is shape and size of a label, in mm.
type outline struct {
	Shape         labelsize.Shape
	Width, Height float64
	Margin        float64 // kept clear along the edge
	Overlap       float64 // of a wrap, at its right end
}

// The usual room along the edge and for the overlap of a wrap, in mm; common
// practice, no source.
const (
	usualMargin  = 2.0
	usualOverlap = 8.0
)

// outlineOf takes shape and size from the product file.
func outlineOf(l *labelsize.Size) outline {
	o := outline{Shape: l.Shape, Width: l.WidthMM.Float(), Margin: usualMargin}
	o.Height = o.Width
	if l.Shape != labelsize.Round {
		o.Height = l.HeightMM.Float()
	}
	if l.MarginMM != nil {
		o.Margin = l.MarginMM.Float()
	}
	if l.Shape == labelsize.Wrap {
		if o.Overlap = usualOverlap; l.OverlapMM != nil {
			o.Overlap = l.OverlapMM.Float()
		}
	}
	return o
}

// scaled returns the outline with its sides f times as long.
func (o outline) scaled(f float64) outline {
	o.Width, o.Height = o.Width*f, o.Height*f
	return o
}

// inside says whether a point keeps to the label; on its edge is inside.
func (o outline) inside(x, y float64) bool {
	const eps = 1e-6
	if o.Shape == labelsize.Round {
		r := o.Width / 2
		return math.Hypot(x-r, y-r) <= r+eps
	}
	return x >= -eps && y >= -eps && x <= o.Width+eps && y <= o.Height+eps
}

// setting is one way of setting a label.
type setting struct {
	x     float64 // height of a lower-case x, mm
	name  float64 // size of the name as a multiple of that of the text
	lines int     // most lines of the name; 0: any number
	front float64 // share of the width for name, function and foot; 0: all in one column
	left  float64 // share of the rest that lies to the left of the front, of a wrap
}

// panelGap is the room between panels, in mm.
const panelGap = 3.0

// set lays the matter out; it is nil where it does not fit.
func (o outline) set(m matter, s setting) *ink {
	if o.Shape == labelsize.Round {
		return m.setRound(disc(o.Width/2, o.Width/2, o.Width/2-o.Margin), s)
	}
	p := o.panels(s)
	switch {
	case s.front == 0:
		return m.setColumn(p.front, s)
	case o.Shape == labelsize.Wrap:
		list, others := m.split()
		return merged(others.setText(p.left, s), m.setFront(p.front, s), list.setText(p.right, s))
	}
	k := merged(m.setFront(p.front, s), m.setText(p.right, s))
	if k != nil {
		k.lines = append(k.lines, inkLine{p.cut, o.Margin, p.cut, o.Height - o.Margin})
	}
	return k
}

// panels are the areas of a label with straight sides: the front, all of it where there is
// one column; what stands to its right; and of a wrap what stands to its left.
type panels struct {
	left, front, right area
	cut                float64 // where the front of a rectangle ends
}

func (o outline) panels(s setting) (p panels) {
	m0 := o.Margin
	x1, y1 := o.Width-o.Overlap-m0, o.Height-m0
	switch {
	case s.front == 0:
		p.front = straight(m0, m0, x1, y1, false)
	case o.Shape == labelsize.Wrap:
		cut := m0 + (x1-m0)*(1-s.front)*s.left
		p.left = straight(m0, m0, cut-panelGap/2, y1, false)
		p.front = straight(cut+panelGap/2, m0, cut+(x1-m0)*s.front-panelGap/2, y1, true)
		p.right = straight(cut+(x1-m0)*s.front+panelGap/2, m0, x1, y1, false)
	default:
		p.cut = m0 + (x1-m0)*s.front
		p.front = straight(m0, m0, p.cut-panelGap/2, y1, true)
		p.right = straight(p.cut+panelGap/2, m0, x1, y1, false)
	}
	return p
}

// merged joins the ink of panels; it is nil where one of them is.
func merged(panels ...*ink) *ink {
	out := &ink{}
	for _, p := range panels {
		if p == nil {
			return nil
		}
		out.add(p, 0, 0)
	}
	return out
}

// split parts the ingredient list from the rest of the paragraphs; without a
// list the first half stands for it.
func (m matter) split() (list, others matter) {
	others, taken := m.without(labelling.ItemIngredients)
	if len(taken) == 0 {
		half := (len(m.Paras) + 1) / 2
		taken, others.Paras = m.Paras[half:], m.Paras[:half]
	}
	list.Paras = taken
	return list, others
}

// gaps between paragraphs, as multiples of the height of a lower-case x.
const (
	paraGap = 0.8
	nameGap = 1.0
	footGap = 1.2
)

// setName sets name and function and returns where the next thing may begin.
func (m matter) setName(k *ink, a area, y float64, s setting) (float64, bool) {
	size := sizeForX(s.x)
	before := len(k.texts)
	y, ok := k.flowText(a, y, m.nameRuns(), roundedUp(size*s.name))
	if s.lines > 0 && len(k.texts)-before > s.lines {
		return y, false
	}
	if ok && m.function != "" {
		y, ok = k.flowText(a, y, m.functionRuns(), functionSize(size, s))
	}
	return y + nameGap*s.x, ok
}

func (m matter) nameRuns() []layout.Run { return []layout.Run{{Text: m.Name, Style: layout.StyleBold}} }

func (m matter) functionRuns() []layout.Run { return []layout.Run{{Text: m.function}} }

// functionSize is the size of the function below a name, between that of the text and that of
// the name.
func functionSize(size float64, s setting) float64 {
	return roundedUp(size * max(1, min(1.25, s.name*0.75)))
}

// eachPara flows the paragraphs one below the other and returns where they end; ok is false
// where they do not fit.
func (m matter) eachPara(a area, y float64, s setting,
	flow func(p para, y, size float64) (float64, bool)) (end float64, ok bool) {
	if m.lowest(a, y, s) > a.bottom+layout.Slack {
		return y, false
	}
	size := sizeForX(s.x)
	for i, p := range m.Paras {
		if i > 0 {
			y += paraGap * s.x
		}
		if y, ok = flow(p, y, size); !ok {
			return y, false
		}
	}
	return y, true
}

// setParas sets the paragraphs of some area.
func (m matter) setParas(k *ink, a area, y float64, s setting) (float64, bool) {
	return m.eachPara(a, y, s, func(p para, y, size float64) (float64, bool) {
		before := len(k.texts)
		y, ok := k.flowText(a, y, p.runs(), size)
		if ok && p.underlined {
			k.underline(before, size)
		}
		return y, ok
	})
}

// underline draws a line below what was set in regular type since some run.
func (k *ink) underline(since int, size float64) {
	const below = 0.14 // of the size, clear of the feet of the letters
	for _, t := range k.texts[since:] {
		if t.Style == layout.StyleRegular && strings.TrimSpace(t.S) != "" {
			at := t.Base + below*size*layout.PointMM
			k.lines = append(k.lines, inkLine{t.X, at, t.X + t.Width, at})
		}
	}
}

// setText fills a panel with paragraphs.
func (m matter) setText(a area, s setting) *ink {
	k := &ink{}
	if _, ok := m.setParas(k, a, a.top, s); !ok {
		return nil
	}
	return k
}

// footHeight is how high the bits of the foot are in an area with straight
// sides, or false where they do not fit.
func footHeight(a area, bits []bit) (float64, bool) {
	y, ok := (*ink)(nil).flowBits(a, a.top, bits)
	return y - a.top, ok
}

// setColumn sets all in one column: name, text, and the foot at the bottom.
func (m matter) setColumn(a area, s setting) *ink {
	k := &ink{}
	bits := m.bits(s.x)
	foot, ok := footHeight(a, bits)
	if !ok {
		return nil
	}
	above := a
	above.bottom = a.bottom - foot - footGap*s.x
	y, ok := m.setName(k, above, a.top, s)
	if ok {
		_, ok = m.setParas(k, above, y, s)
	}
	if ok {
		_, ok = k.flowBits(a, a.bottom-foot, bits)
	}
	if !ok {
		return nil
	}
	return k
}

// setFront sets name and function in the middle of a panel, and the foot at its
// bottom.
func (m matter) setFront(a area, s setting) *ink {
	k := &ink{}
	bits := m.bits(s.x)
	foot, ok := footHeight(a, bits)
	if !ok {
		return nil
	}
	above := a
	above.bottom = a.bottom - foot - footGap*s.x
	y, ok := m.setName(new(ink), above, a.top, s)
	if !ok {
		return nil
	}
	spare := max(0, above.bottom-(y-nameGap*s.x))
	m.setName(k, above, a.top+spare/2, s)
	if _, ok = k.flowBits(a, a.bottom-foot, bits); !ok {
		return nil
	}
	return k
}

// highestStart is how far down, as a share of the diameter, the text of a round
// label may begin.
const highestStart = 0.4

// setRound sets all in the middle of a circle, one thing below the other. Of
// the heights to begin at it takes the one that leaves as much room above as
// below.
func (m matter) setRound(a area, s setting) *ink {
	var best *ink
	least := math.Inf(1)
	for y := a.top; y < a.top+highestStart*(a.bottom-a.top); y += 4 * creep {
		k := &ink{}
		end, ok := m.flowAll(k, a, y, s)
		if !ok {
			if best != nil {
				break
			}
			continue
		}
		if off := math.Abs((k.top() - a.top) - (a.bottom - end)); off < least {
			best, least = k, off
		} else {
			break
		}
	}
	return best
}

func (m matter) flowAll(k *ink, a area, y float64, s setting) (float64, bool) {
	y, ok := m.setName(k, a, y, s)
	if ok {
		y, ok = m.setParas(k, a, y, s)
	}
	if !ok {
		return y, false
	}
	return k.flowBits(a, y+footGap*s.x, m.bits(s.x))
}

// top is where the first line begins.
func (k *ink) top() float64 {
	top := math.Inf(1)
	for _, t := range k.texts {
		top = min(top, t.Base-riseShare()*t.Size*layout.PointMM)
	}
	return top
}

// The sizes of the name that are tried, as multiples of the text's: good ones in
// a few lines first, then what must do where room is short.
var goodNames, smallNames = []float64{3.4, 2.8, 2.3, 1.9, 1.6}, []float64{1.6, 1.35, 1.15}

// nameLines is how many lines a name of a good size takes at most.
const nameLines = 3

// settings lists the ways of sharing out a label's width.
func (o outline) settings() []setting {
	switch {
	case o.Shape == labelsize.Round:
		return []setting{{}}
	case o.Shape == labelsize.Wrap:
		var out []setting
		for _, front := range []float64{0.26, 0.32, 0.38} {
			for _, left := range []float64{0.45, 0.35, 0.55, 0.25} { // even panels first
				out = append(out, setting{front: front, left: left})
			}
		}
		return out
	case o.Width > 1.45*o.Height:
		return []setting{{front: 0.46}, {front: 0.40}, {front: 0.35}, {front: 0.30}, {}}
	}
	return []setting{{}}
}

// largestType is the largest x on a label, in mm: more would only look loud.
const (
	largestType = 1.6
	typeStep    = 0.05
)

// fit sets the matter with letters as large as fit, and no lower than least mm;
// nil where they do not fit.
func (o outline) fit(m matter, least float64) (*ink, float64) {
	if k, x := o.fitNames(m, least, goodNames, nameLines); k != nil {
		return k, x
	}
	return o.fitNames(m, least, smallNames, 0)
}

func (o outline) fitNames(m matter, least float64, names []float64, lines int) (*ink, float64) {
	at := func(step int) *ink {
		for _, name := range names {
			for _, s := range o.settings() {
				s.x, s.name, s.lines = least+float64(step)*typeStep, name, lines
				if k := o.set(m, s); k != nil {
					return k
				}
			}
		}
		return nil
	}
	best := at(0)
	if best == nil {
		return nil, 0
	}
	lo, hi := 0, max(0, int((largestType-least)/typeStep+1e-9))+1
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if k := at(mid); k != nil {
			best, lo = k, mid
		} else {
			hi = mid
		}
	}
	return best, least + float64(lo)*typeStep
}

// holds says whether the matter fits with letters of least mm.
func (o outline) holds(m matter, least float64) bool {
	m = m.withFoot(least)
	for _, name := range smallNames {
		for _, s := range o.settings() {
			s.x, s.name = least, name
			if o.fits(m, s) {
				return true
			}
		}
	}
	return false
}

// growth is how much larger a label would have to be for the matter to fit, as a
// multiple of its sides; 0 where even a much larger one would not do.
func (o outline) growth(m matter, least float64) float64 {
	const most, step = 4.0, 0.02
	m = m.withFoot(least)
	fits := func(f float64) bool { return o.scaled(f).holds(m, least) }
	if !fits(most) {
		return 0
	}
	lo, hi := 1.0, most
	for hi-lo > step {
		if mid := (lo + hi) / 2; fits(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}
