package paper

import (
	"math"
	"slices"
)

// mostObjects is how many drawn things of a page are looked at.
const mostObjects = 20_000

// pageObjects is what a page draws beside its letters.
type pageObjects struct {
	rules            []Rule
	picture          float64  // area of the largest picture
	texts, invisible int      // pieces of text, and those of them that are not drawn
	pale             []handle // pieces drawn white, in the end those on white paper
}

// layer says whether a page has an invisible layer of text: half of its text or more is not
// meant to be seen, or some of it under a picture of the page.
func (o pageObjects) layer(area float64) bool {
	return o.invisible > 0 && (o.invisible*2 >= o.texts || o.picture > 0.5*area)
}

// thin is the width in points up to which a drawn box counts as a line.
const thin = 2.5

// objects looks at what the page draws: lines and boxes, pictures, and whether
// its text is meant to be seen.
func (p *pdfPage) objects() pageObjects {
	var o pageObjects
	for i := range min(p.number("FPDFPage_CountObjects", p.page), mostObjects) {
		obj, ok := p.call("FPDFPage_GetObject", p.page, uint64(i))
		if !ok || obj == 0 {
			return o
		}
		p.object(&o, obj, true)
	}
	if len(o.pale) > 0 {
		o.pale = p.onPaper(o.pale)
	}
	return o
}

// white is from which part of 255 each colour of a piece of text counts as that of the paper.
const white = 250

// isPale says whether a drawn thing is filled with the colour of the paper, or with none.
func (p *pdfPage) isPale(obj handle) bool {
	s := p.scratch
	if done, ok := p.call("FPDFPageObj_GetFillColor", obj, s, s+4, s+8, s+12); !ok || done == 0 {
		return false
	}
	b, ok := p.floats(4) // red, green, blue, cover: whole numbers in the same room
	part := func(i int) uint32 { return math.Float32bits(b[i]) }
	return ok && (part(3) == 0 || part(0) >= white && part(1) >= white && part(2) >= white)
}

// onPaper leaves of white pieces those that stand on no coloured ground. Pictures, shadings
// and forms count as ground, since what they show is not looked at.
func (p *pdfPage) onPaper(pale []handle) (unseen []handle) {
	var grounds []Rule
	for i := range min(p.number("FPDFPage_CountObjects", p.page), mostObjects) {
		obj, ok := p.call("FPDFPage_GetObject", p.page, uint64(i))
		if !ok || obj == 0 {
			break
		}
		kind := p.number("FPDFPageObj_GetType", obj)
		if kind == objText || kind == objPath && p.isPale(obj) {
			continue
		}
		if r, ok := p.bounds(obj); ok {
			grounds = append(grounds, r)
		}
	}
	for _, obj := range pale {
		r, ok := p.bounds(obj)
		x, y := (r.X0+r.X1)/2, (r.Y0+r.Y1)/2
		if ok && !slices.ContainsFunc(grounds, func(g Rule) bool {
			return x >= g.X0 && x <= g.X1 && y >= g.Y0 && y <= g.Y1
		}) {
			unseen = append(unseen, obj)
		}
	}
	return unseen
}

func (p *pdfPage) object(o *pageObjects, obj handle, top bool) {
	// a mode is had of texts alone, so that most things need not be asked what they are
	if mode := p.number("FPDFTextObj_GetTextRenderMode", obj); mode >= 0 {
		o.texts++
		if mode == renderInvisible {
			o.invisible++
		} else if top && p.isPale(obj) {
			o.pale = append(o.pale, obj)
		}
		return
	}
	switch p.number("FPDFPageObj_GetType", obj) {
	case objImage:
		if r, ok := p.bounds(obj); ok {
			o.picture = max(o.picture, (r.X1-r.X0)*(r.Y1-r.Y0))
		}
	case objPath:
		if top {
			o.rules = p.path(o.rules, obj)
		}
	case objForm:
		n := p.number("FPDFFormObj_CountObjects", obj)
		if !top {
			return
		}
		if r, ok := p.bounds(obj); ok && n == 1 {
			defer func(before float64) { // a picture inside a form is as large as the form
				if o.picture > before {
					o.picture = max(before, (r.X1-r.X0)*(r.Y1-r.Y0))
				}
			}(o.picture)
		}
		for i := range min(n, mostObjects) {
			inner, ok := p.call("FPDFFormObj_GetObject", obj, uint64(i))
			if !ok || inner == 0 {
				return
			}
			p.object(o, inner, false)
		}
	}
}

func (p *pdfPage) bounds(obj handle) (Rule, bool) {
	s := p.scratch
	if done, ok := p.call("FPDFPageObj_GetBounds", obj, s, s+4, s+8, s+12); !ok || done == 0 {
		return Rule{}, false
	}
	b, ok := p.floats(4) // left, bottom, right, top
	if !ok {
		return Rule{}, false
	}
	ax, ay := p.upright(float64(b[0]), float64(b[1]))
	bx, by := p.upright(float64(b[2]), float64(b[3]))
	return Rule{min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)}, true
}

// path takes the lines out of a drawn path: a thin box is one line, a larger box
// four, and a path of many strokes one for each level or upright stroke.
func (p *pdfPage) path(rules []Rule, obj handle) []Rule {
	b, ok := p.bounds(obj)
	if !ok || b.X1-b.X0 > 3*p.width || b.Y1-b.Y0 > 3*p.height {
		return rules
	}
	if b.X1-b.X0 <= thin || b.Y1-b.Y0 <= thin {
		return append(rules, b)
	}
	n := p.number("FPDFPath_CountSegments", obj)
	if n <= 6 {
		if b.X1-b.X0 > 0.97*p.width && b.Y1-b.Y0 > 0.9*p.height {
			return rules // the page's background
		}
		return append(rules, Rule{b.X0, b.Y0, b.X1, b.Y0}, Rule{b.X0, b.Y1, b.X1, b.Y1},
			Rule{b.X0, b.Y0, b.X0, b.Y1}, Rule{b.X1, b.Y0, b.X1, b.Y1})
	}
	return p.strokes(rules, obj, min(n, 4000))
}

func (p *pdfPage) strokes(rules []Rule, obj handle, count int) []Rule {
	if done, ok := p.call("FPDFPageObj_GetMatrix", obj, p.scratch); !ok || done == 0 {
		return rules
	}
	t, ok := p.floats(6) // a, b, c, d, e, f
	if !ok {
		return rules
	}
	var x, y float64
	for i := range count {
		segment, ok := p.call("FPDFPath_GetPathSegment", obj, uint64(i))
		if !ok || segment == 0 {
			return rules
		}
		kind := p.number("FPDFPathSegment_GetType", segment)
		if done, ok := p.call("FPDFPathSegment_GetPoint", segment, p.scratch, p.scratch+4); !ok || done == 0 {
			return rules
		}
		at, ok := p.floats(2)
		if !ok {
			return rules
		}
		nx, ny := p.upright(float64(t[0]*at[0]+t[2]*at[1]+t[4]), float64(t[1]*at[0]+t[3]*at[1]+t[5]))
		if kind == segmentLine && (abs(nx-x) <= 1) != (abs(ny-y) <= 1) {
			rules = append(rules, Rule{min(x, nx), min(y, ny), max(x, nx), max(y, ny)})
		}
		x, y = nx, ny
	}
	return rules
}

func abs(x float64) float64 { return max(x, -x) }
