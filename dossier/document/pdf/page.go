package pdf

import (
	"bytes"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// The page in millimetres. The left margin leaves room for the holes of a file.
const (
	PageW      = 210.0
	PageH      = 297.0
	marginL    = 20.0
	marginR    = 14.0
	TextW      = PageW - marginL - marginR
	bodyTop    = 19.0
	bodyBottom = 281.0
	headerY    = 8.0
	footerY    = 284.0
)

// Writer lays a document out on pages. It knows where it stands on the page;
// y is the top of what comes next.
type Writer struct {
	P      *fpdf.Fpdf
	d      *document.Document
	sc     *scale
	left   float64 // of what is being set: the page, or a half of it
	width  float64
	bottom float64 // of the page
	aside  *Writer // measures what stands side by side; nil until it is needed
	Clean  *layout.Cleaner
	Loaded [layout.StyleMedium + 1]bool
	InFont FontUse // what the page is set in at present
	y      float64
	fresh  bool // nothing is drawn on this page yet
	broken bool // a page break is asked for before the next thing drawn
	// photographs counts the pictures in the file.
	photographs int

	links        map[string]int // anchor to link of the PDF writer
	Pages        map[string]int // anchor to page, filled while drawing
	entries      []contentsEntry
	stripEntries []stripEntry
	sectionOn    map[int]string // by page: the first section of the upper levels on it
	section      string
	tableNo      map[*document.Table]int
	chartNo      map[document.Block]int
	outline      []outlineItem
	linkRefs     []linkRef
	Placed       func(x, y, size float64, style layout.FontStyle, s string) // what tests watch; nil else
	RowSet       func(lines int, text string)                               // likewise, for each row of a table
	// likewise, for text with a word that had to be broken
	Cut func(text string)
}

// FontUse is a face at a size in points.
type FontUse struct {
	style layout.FontStyle
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

func NewWriter(d *document.Document) *Writer {
	w := &Writer{
		d: d, sc: &ordinary, left: marginL, width: TextW, bottom: bodyBottom, Clean: layout.NewCleaner(),
		sectionOn: map[int]string{}, links: map[string]int{}, Pages: map[string]int{},
		tableNo: d.TableNumbers(), chartNo: d.ChartNumbers(),
	}
	if d.Dense {
		w.sc = &reference
	}
	if d.Dense && d.AtHand {
		w.sc = &working
	}
	w.P = NewPages()
	w.font(layout.StyleRegular, w.sc.body)
	return w
}

// NewPages returns a page writer that leaves margins, page breaks, dates and
// compression to us.
func NewPages() *fpdf.Fpdf {
	p := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm",
		Size: fpdf.SizeType{Wd: PageW, Ht: PageH}})
	p.SetCatalogSort(true)
	p.SetCreationDate(noClock) // the finishing step writes the real dates
	p.SetModificationDate(noClock)
	p.SetCompression(false)
	p.SetMargins(0, 0, 0)
	p.SetCellMargin(0)
	p.SetAutoPageBreak(false, 0)
	return p
}

var FamilyOf = [...][2]string{{"go", ""}, {"go", "B"}, {"go", "I"}, {"gomono", ""}, {"gomedium", ""}}

// font sets the style for what is drawn next, and loads it on first use, since a
// style that is loaded and not used still takes room in the file.
func (w *Writer) font(style layout.FontStyle, size float64) {
	use := FontUse{style, size}
	if w.InFont == use {
		return
	}
	w.InFont = use
	name := FamilyOf[style]
	if !w.Loaded[style] {
		// a copy: the writer overwrites some bytes of a font of one width while it
		// cuts it down, and the next document would not be the same
		w.P.AddUTF8FontFromBytes(name[0], name[1], bytes.Clone(layout.Faces[style]().Data))
		w.Loaded[style] = true
	}
	w.P.SetFont(name[0], name[1], size)
}

func (w *Writer) ink(c Colour) { w.P.SetTextColor(c[0], c[1], c[2]) }

func (w *Writer) fill(c Colour) { w.P.SetFillColor(c[0], c[1], c[2]) }

// Line draws a straight line of the given width in mm.
func (w *Writer) Line(x1, y1, x2, y2, width float64, c Colour) {
	w.P.SetDrawColor(c[0], c[1], c[2])
	w.P.SetLineWidth(width)
	w.P.Line(x1, y1, x2, y2)
}

// box fills a rectangle.
func (w *Writer) box(x, y, wd, ht float64, c Colour) {
	w.fill(c)
	w.P.Rect(x, y, wd, ht, "F")
}

// tickBox draws a box to tick, its left upper corner at x, y.
func (w *Writer) tickBox(x, y, size float64, ticked bool) {
	w.P.SetDrawColor(Black[0], Black[1], Black[2])
	w.P.SetLineWidth(0.25)
	w.P.Rect(x, y, size, size, "D")
	if ticked {
		w.Line(x+0.2*size, y+0.55*size, x+0.42*size, y+0.8*size, 0.45, Black)
		w.Line(x+0.42*size, y+0.8*size, x+0.85*size, y+0.18*size, 0.45, Black)
	}
}

// capShare is half the height of a capital as a share of the size of type: text
// is set so that its capitals stand in the middle of their line.
const capShare = 0.36

// baseline returns where the text of a line with its top at y stands.
func baseline(y, lh, size float64) float64 { return y + lh/2 + capShare*size*layout.PointMM }

// Write draws s with its baseline at y.
func (w *Writer) Write(x, y float64, s string, style layout.FontStyle, size float64, c Colour) {
	if s == "" {
		return
	}
	if w.Placed != nil {
		w.Placed(x, y, size, style, s)
	}
	w.font(style, size)
	w.ink(c)
	w.P.Text(x, y, s)
}

// writeRuns draws one line of runs, its top at y, and returns its width.
func (w *Writer) writeRuns(x, y, lh, size float64, runs []layout.Run, c Colour) float64 {
	at := x
	for _, r := range runs {
		sz, base, ink := size, baseline(y, lh, size), c
		if r.Small {
			sz, base = size*layout.SmallScale, base-0.26*size*layout.PointMM
		}
		if r.Grey {
			ink = Grey
		}
		if r.Accent {
			ink = accent
		}
		wd := layout.TextMM(r.Text, r.Style, sz)
		if r.Link != "" {
			ink = accent
			w.linkArea(at, y, wd, lh, r.Link)
		}
		w.Write(at, base, r.Text, r.Style, sz, ink)
		at += wd
	}
	return at - x
}

// linkArea makes a rectangle lead to an anchor.
func (w *Writer) linkArea(x, y, wd, ht float64, anchor string) {
	w.P.Link(x, y, wd, ht, w.link(anchor))
	w.linkRefs = append(w.linkRefs, linkRef{w.P.PageNo(), anchor})
}

func (w *Writer) link(anchor string) int {
	id, ok := w.links[anchor]
	if !ok {
		id = w.P.AddLink()
		w.links[anchor] = id
	}
	return id
}

// anchor makes the place y of this page the target of links to id. The first
// call for an id counts: a table continued elsewhere is found at its start.
func (w *Writer) anchor(id string, y float64) {
	if id == "" || w.Pages[id] != 0 {
		return
	}
	w.Pages[id] = w.P.PageNo()
	w.P.SetLink(w.link(id), max(y-2, 0), w.P.PageNo())
}

// newPage starts a page, unless the present one is still empty.
func (w *Writer) newPage() {
	w.broken = false
	if w.fresh {
		return
	}
	w.P.AddPage()
	w.y, w.fresh = bodyTop, true
	w.sectionOn[w.P.PageNo()] = w.section
}

// room is the height left on the page.
func (w *Writer) room() float64 { return w.bottom - w.y }

// ensure goes to a fresh page when less than h is left on this one.
func (w *Writer) ensure(h float64) {
	if w.broken || w.room() < h-layout.Slack {
		w.newPage()
	}
}

// gap leaves white space, except at the top of a page.
func (w *Writer) gap(h float64) {
	if !w.fresh {
		w.y += h
	}
}

// took moves on by h, which has been drawn.
func (w *Writer) took(h float64) {
	w.y += h
	w.fresh = false
}

// fit returns s, or as much of it as fits into width with an ellipsis.
func fit(s string, style layout.FontStyle, size, width float64) string {
	if layout.TextMM(s, style, size) <= width {
		return s
	}
	used := layout.TextMM("…", style, size)
	for i, r := range s {
		used += layout.Faces[style]().Width(r) * size * layout.PointMM
		if used > width {
			return s[:i] + "…"
		}
	}
	return s
}

// contentsEntry is a line of the contents whose page number is set when all pages
// are there.
type contentsEntry struct {
	page      int // that the line stands on
	leadsTo   string
	x, bottom float64 // where the title ends, and its line
	style     layout.FontStyle
}

// stripEntry is a line of a contents strip whose page number is set when all pages
// are there.
type stripEntry struct {
	page        int
	leadsTo     string
	right, base float64
	size        float64
}
