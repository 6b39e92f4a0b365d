package paper

import (
	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// mostObjects is how many drawn things of a page are looked at.
const mostObjects = 20_000

// pageObjects is what a page draws beside its letters.
type pageObjects struct {
	rules            []Rule
	picture          float64 // area of the largest picture
	texts, invisible int     // pieces of text, and those of them that nobody sees
}

// thin is the width in points up to which a drawn box counts as a line.
const thin = 2.5

// objects looks at what the page draws: lines and boxes, pictures, and whether
// its text is meant to be seen.
func (p *pdfPage) objects() pageObjects {
	var o pageObjects
	n, err := p.inst.FPDFPage_CountObjects(&requests.FPDFPage_CountObjects{Page: p.ref})
	if err != nil {
		return o
	}
	for i := range min(n.Count, mostObjects) {
		got, err := p.inst.FPDFPage_GetObject(&requests.FPDFPage_GetObject{Page: p.ref, Index: i})
		if err != nil {
			return o
		}
		p.object(&o, got.PageObject, true)
	}
	return o
}

func (p *pdfPage) object(o *pageObjects, obj references.FPDF_PAGEOBJECT, top bool) {
	kind, err := p.inst.FPDFPageObj_GetType(&requests.FPDFPageObj_GetType{PageObject: obj})
	if err != nil {
		return
	}
	switch kind.Type {
	case enums.FPDF_PAGEOBJ_TEXT:
		o.texts++
		mode, err := p.inst.FPDFTextObj_GetTextRenderMode(
			&requests.FPDFTextObj_GetTextRenderMode{PageObject: obj})
		if err == nil && mode.TextRenderMode == enums.FPDF_TEXTRENDERMODE_INVISIBLE {
			o.invisible++
		}
	case enums.FPDF_PAGEOBJ_IMAGE:
		if r, ok := p.bounds(obj); ok {
			o.picture = max(o.picture, (r.X1-r.X0)*(r.Y1-r.Y0))
		}
	case enums.FPDF_PAGEOBJ_PATH:
		if top {
			o.rules = p.path(o.rules, obj)
		}
	case enums.FPDF_PAGEOBJ_FORM:
		n, err := p.inst.FPDFFormObj_CountObjects(&requests.FPDFFormObj_CountObjects{PageObject: obj})
		if err != nil || !top {
			return
		}
		if r, ok := p.bounds(obj); ok && n.Count == 1 {
			defer func(before float64) { // a picture inside a form is as large as the form
				if o.picture > before {
					o.picture = max(before, (r.X1-r.X0)*(r.Y1-r.Y0))
				}
			}(o.picture)
		}
		for i := range min(n.Count, mostObjects) {
			got, err := p.inst.FPDFFormObj_GetObject(&requests.FPDFFormObj_GetObject{PageObject: obj,
				Index: uint64(i)})
			if err != nil {
				return
			}
			p.object(o, got.PageObject, false)
		}
	}
}

func (p *pdfPage) bounds(obj references.FPDF_PAGEOBJECT) (Rule, bool) {
	b, err := p.inst.FPDFPageObj_GetBounds(&requests.FPDFPageObj_GetBounds{PageObject: obj})
	if err != nil {
		return Rule{}, false
	}
	ax, ay := p.upright(float64(b.Left), float64(b.Bottom))
	bx, by := p.upright(float64(b.Right), float64(b.Top))
	return Rule{min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)}, true
}

// path takes the lines out of a drawn path: a thin box is one line, a larger box
// four, and a path of many strokes one for each level or upright stroke.
func (p *pdfPage) path(rules []Rule, obj references.FPDF_PAGEOBJECT) []Rule {
	b, ok := p.bounds(obj)
	if !ok || b.X1-b.X0 > 3*p.width || b.Y1-b.Y0 > 3*p.height {
		return rules
	}
	if b.X1-b.X0 <= thin || b.Y1-b.Y0 <= thin {
		return append(rules, b)
	}
	n, err := p.inst.FPDFPath_CountSegments(&requests.FPDFPath_CountSegments{PageObject: obj})
	if err != nil {
		return rules
	}
	if n.Count <= 6 {
		if b.X1-b.X0 > 0.97*p.width && b.Y1-b.Y0 > 0.9*p.height {
			return rules // the page's background
		}
		return append(rules, Rule{b.X0, b.Y0, b.X1, b.Y0}, Rule{b.X0, b.Y1, b.X1, b.Y1},
			Rule{b.X0, b.Y0, b.X0, b.Y1}, Rule{b.X1, b.Y0, b.X1, b.Y1})
	}
	return p.strokes(rules, obj, min(n.Count, 4000))
}

func (p *pdfPage) strokes(rules []Rule, obj references.FPDF_PAGEOBJECT, count int) []Rule {
	m, err := p.inst.FPDFPageObj_GetMatrix(&requests.FPDFPageObj_GetMatrix{PageObject: obj})
	if err != nil {
		return rules
	}
	t := m.Matrix
	var x, y float64
	for i := range count {
		s, err := p.inst.FPDFPath_GetPathSegment(&requests.FPDFPath_GetPathSegment{PageObject: obj, Index: i})
		if err != nil {
			return rules
		}
		kind, err := p.inst.FPDFPathSegment_GetType(
			&requests.FPDFPathSegment_GetType{PathSegment: s.PathSegment})
		if err != nil {
			return rules
		}
		at, err := p.inst.FPDFPathSegment_GetPoint(
			&requests.FPDFPathSegment_GetPoint{PathSegment: s.PathSegment})
		if err != nil {
			return rules
		}
		nx, ny := p.upright(float64(t.A*at.X+t.C*at.Y+t.E), float64(t.B*at.X+t.D*at.Y+t.F))
		if kind.Type == enums.FPDF_SEGMENT_LINETO && (abs(nx-x) <= 1) != (abs(ny-y) <= 1) {
			rules = append(rules, Rule{min(x, nx), min(y, ny), max(x, nx), max(y, ny)})
		}
		x, y = nx, ny
	}
	return rules
}

func abs(x float64) float64 { return max(x, -x) }
