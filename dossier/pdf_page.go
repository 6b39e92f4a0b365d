package dossier

import (
	"bytes"
	"fmt"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// The page in millimetres. The left margin leaves room for the holes of a file.
const (
	pageW      = 210.0
	pageH      = 297.0
	marginL    = 23.0
	marginR    = 17.0
	textW      = pageW - marginL - marginR
	bodyTop    = 24.0
	bodyBottom = 274.0
	headerY    = 12.0
	footerY    = 280.0
)

// The type: sizes in points, line heights in millimetres.
const (
	bodySize  = 9.5
	bodyLine  = 4.75
	smallSize = 7.5
	smallLine = 3.7
	tableSize = 8.0
	tableLine = 3.95
	// crowdedSize is for tables that would not fit otherwise
	crowdedSize = 7.2
)

// colour is red, green and blue from 0 to 255.
type colour [3]int

var (
	black  = colour{22, 22, 22}
	grey   = colour{92, 92, 92}
	rule   = colour{168, 168, 168}
	pale   = colour{241, 241, 239}
	accent = colour{34, 78, 62}
)

// pdfWriter lays a document out on pages. It knows where it stands on the page;
// y is the top of what comes next.
type pdfWriter struct {
	p      *fpdf.Fpdf
	d      *Document
	clean  *cleaner
	loaded [styleMono + 1]bool
	inFont fontUse // what the page is set in at present
	y      float64
	fresh  bool // nothing is drawn on this page yet
	broken bool // a page break is asked for before the next thing drawn

	links    map[string]int // anchor to link of the PDF writer
	pages    map[string]int // anchor to page, filled while drawing
	entries  []contentsEntry
	tableNo  map[*Table]int
	outline  []outlineItem
	linkRefs []linkRef
	placed   func(x, y, size float64, style fontStyle, s string) // what tests watch; nil else
}

// fontUse is a face at a size in points.
type fontUse struct {
	style fontStyle
	size  float64
}

// outlineItem is one bookmark: what the finishing step checks and tests compare.
type outlineItem struct {
	title string
	level int
	page  int
}

// linkRef is one link area that was drawn.
type linkRef struct {
	page   int
	anchor string
}

// noClock keeps the clock out of the file.
var noClock = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

func newPDFWriter(d *Document) *pdfWriter {
	w := &pdfWriter{
		d: d, clean: newCleaner(),
		links: map[string]int{}, pages: map[string]int{}, tableNo: d.tableNumbers(),
	}
	w.p = newPages()
	w.font(styleRegular, bodySize)
	return w
}

// newPages returns a page writer that leaves margins, page breaks, dates and
// compression to us.
func newPages() *fpdf.Fpdf {
	p := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: pageW, Ht: pageH}})
	p.SetCatalogSort(true)
	p.SetCreationDate(noClock) // the finishing step writes the real dates
	p.SetModificationDate(noClock)
	p.SetCompression(false)
	p.SetMargins(0, 0, 0)
	p.SetCellMargin(0)
	p.SetAutoPageBreak(false, 0)
	return p
}

var familyOf = [...][2]string{{"go", ""}, {"go", "B"}, {"go", "I"}, {"gomono", ""}}

// font sets the style for what is drawn next, and loads it on first use, since a
// style that is loaded and not used still takes room in the file.
func (w *pdfWriter) font(style fontStyle, size float64) {
	use := fontUse{style, size}
	if w.inFont == use {
		return
	}
	w.inFont = use
	name := familyOf[style]
	if !w.loaded[style] {
		// a copy: the writer overwrites some bytes of a font of one width while it
		// cuts it down, and the next document would not be the same
		w.p.AddUTF8FontFromBytes(name[0], name[1], bytes.Clone(faces[style]().data))
		w.loaded[style] = true
	}
	w.p.SetFont(name[0], name[1], size)
}

func (w *pdfWriter) ink(c colour)  { w.p.SetTextColor(c[0], c[1], c[2]) }
func (w *pdfWriter) fill(c colour) { w.p.SetFillColor(c[0], c[1], c[2]) }

// line draws a straight line of the given width in mm.
func (w *pdfWriter) line(x1, y1, x2, y2, width float64, c colour) {
	w.p.SetDrawColor(c[0], c[1], c[2])
	w.p.SetLineWidth(width)
	w.p.Line(x1, y1, x2, y2)
}

// box fills a rectangle.
func (w *pdfWriter) box(x, y, wd, ht float64, c colour) {
	w.fill(c)
	w.p.Rect(x, y, wd, ht, "F")
}

// tickBox draws a box to tick, its left upper corner at x, y.
func (w *pdfWriter) tickBox(x, y, size float64, ticked bool) {
	w.p.SetDrawColor(black[0], black[1], black[2])
	w.p.SetLineWidth(0.25)
	w.p.Rect(x, y, size, size, "D")
	if ticked {
		w.line(x+0.2*size, y+0.55*size, x+0.42*size, y+0.8*size, 0.45, black)
		w.line(x+0.42*size, y+0.8*size, x+0.85*size, y+0.18*size, 0.45, black)
	}
}

// capShare is half the height of a capital as a share of the size of type: text
// is set so that its capitals stand in the middle of their line.
const capShare = 0.36

// baseline returns where the text of a line with its top at y stands.
func baseline(y, lh, size float64) float64 { return y + lh/2 + capShare*size*pointMM }

// write draws s with its baseline at y.
func (w *pdfWriter) write(x, y float64, s string, style fontStyle, size float64, c colour) {
	if s == "" {
		return
	}
	if w.placed != nil {
		w.placed(x, y, size, style, s)
	}
	w.font(style, size)
	w.ink(c)
	w.p.Text(x, y, s)
}

// writeRuns draws one line of runs, its top at y, and returns its width.
func (w *pdfWriter) writeRuns(x, y, lh, size float64, runs []run, c colour) float64 {
	at := x
	for _, r := range runs {
		sz, base, ink := size, baseline(y, lh, size), c
		if r.small {
			sz, base = size*smallScale, base-0.26*size*pointMM
		}
		if r.grey {
			ink = grey
		}
		wd := textMM(r.text, r.style, sz)
		if r.link != "" {
			ink = accent
			w.linkArea(at, y, wd, lh, r.link)
		}
		w.write(at, base, r.text, r.style, sz, ink)
		at += wd
	}
	return at - x
}

// linkArea makes a rectangle lead to an anchor.
func (w *pdfWriter) linkArea(x, y, wd, ht float64, anchor string) {
	w.p.Link(x, y, wd, ht, w.link(anchor))
	w.linkRefs = append(w.linkRefs, linkRef{w.p.PageNo(), anchor})
}

func (w *pdfWriter) link(anchor string) int {
	id, ok := w.links[anchor]
	if !ok {
		id = w.p.AddLink()
		w.links[anchor] = id
	}
	return id
}

// anchor makes the place y of this page the target of links to id. The first
// call for an id counts: a table continued elsewhere is found at its start.
func (w *pdfWriter) anchor(id string, y float64) {
	if id == "" || w.pages[id] != 0 {
		return
	}
	w.pages[id] = w.p.PageNo()
	w.p.SetLink(w.link(id), max(y-2, 0), w.p.PageNo())
}

// newPage starts a page, unless the present one is still empty.
func (w *pdfWriter) newPage() {
	w.broken = false
	if w.fresh {
		return
	}
	w.p.AddPage()
	w.y, w.fresh = bodyTop, true
}

// room is the height left on the page.
func (w *pdfWriter) room() float64 { return bodyBottom - w.y }

// ensure goes to a fresh page when less than h is left on this one.
func (w *pdfWriter) ensure(h float64) {
	if w.broken || w.room() < h-slack {
		w.newPage()
	}
}

// gap leaves white space, except at the top of a page.
func (w *pdfWriter) gap(h float64) {
	if !w.fresh {
		w.y += h
	}
}

// took moves on by h, which has been drawn.
func (w *pdfWriter) took(h float64) {
	w.y += h
	w.fresh = false
}

// fit returns s, or as much of it as fits into width with an ellipsis.
func fit(s string, style fontStyle, size, width float64) string {
	if textMM(s, style, size) <= width {
		return s
	}
	used := textMM("…", style, size)
	for i, r := range s {
		used += faces[style]().width(r) * size * pointMM
		if used > width {
			return s[:i] + "…"
		}
	}
	return s
}

// furniture draws head and foot of every page, after all the content, so that
// the number of pages is known.
func (w *pdfWriter) furniture() {
	n := w.p.PageCount()
	for i := 1; i <= n; i++ {
		w.p.SetPage(i)
		// what is set for colour and font is remembered from the last page and not
		// from this one
		w.fill(pale)
		w.inFont = fontUse{}
		w.header()
		w.footer(i, n)
		w.pageNumbers(i)
	}
}

func (w *pdfWriter) header() {
	left := w.clean.clean(joined(" · ", w.d.Product, w.d.Revision))
	right := w.clean.clean(w.d.Title)
	if left == "" {
		left, right = right, ""
	}
	right = fit(right, styleRegular, smallSize, textW*0.45)
	rw := textMM(right, styleRegular, smallSize)
	left = fit(left, styleBold, smallSize, textW-rw-6)
	w.write(marginL, headerY+3, left, styleBold, smallSize, black)
	w.write(pageW-marginR-rw, headerY+3, right, styleRegular, smallSize, grey)
	w.line(marginL, headerY+5, pageW-marginR, headerY+5, 0.2, rule)
}

func (w *pdfWriter) footer(page, of int) {
	w.line(marginL, footerY, pageW-marginR, footerY, 0.2, rule)
	count := fmt.Sprintf("page %d of %d", page, of)
	cw := textMM(count, styleBold, smallSize)
	w.write(pageW-marginR-cw, footerY+4, count, styleBold, smallSize, black)
	caution := fit(w.clean.clean(w.d.Caution), styleBold, smallSize, textW-cw-6)
	w.write(marginL, footerY+4, caution, styleBold, smallSize, black)
	second := footerY + 7.6
	if caution == "" {
		second = footerY + 4
	}
	print := ""
	if w.d.Fingerprint != "" {
		print = "fingerprint " + w.clean.clean(w.d.Fingerprint)
	}
	words := fit(joined("  ·  ", w.clean.clean(w.d.Author), w.d.Date.String(), print), styleRegular, smallSize-0.5, textW-cw-6)
	w.write(marginL, second, words, styleRegular, smallSize-0.5, grey)
}

// joined joins the parts that are not empty.
func joined(sep string, parts ...string) string {
	s := ""
	for _, p := range parts {
		if p == "" {
			continue
		}
		if s != "" {
			s += sep
		}
		s += p
	}
	return s
}
