package dossier

import "strconv"

// cover draws the first page.
func (w *pdfWriter) cover() {
	w.newPage()
	d := w.d
	w.y = 40
	kicker := d.Cover.Kicker
	if kicker == "" {
		kicker = d.Author
	}
	w.coverTitle(kicker, styleRegular, 11, 5.2, grey)
	w.took(2.5)
	w.coverTitle(d.Title, styleBold, 25, 11, black)
	if d.Subtitle != "" {
		w.took(2)
		w.coverTitle(d.Subtitle, styleRegular, 15, 7, accent)
	}
	w.took(5)
	w.line(marginL, w.y, pageW-marginR, w.y, 0.8, accent)
	w.took(6)
	if len(d.Cover.Facts) > 0 {
		w.facts(d.Cover.Facts)
	}
	w.took(6)
	var list []piece
	for _, b := range d.Cover.Blocks {
		list = append(list, w.blockPieces(b)...)
	}
	w.flow(list)
	w.fresh = false
}

func (w *pdfWriter) coverTitle(s string, style fontStyle, size, lh float64, ink colour) {
	lines := w.set(w.plain(s, style), textW, size, lh, ink)
	w.row([]*stack{{x: marginL, w: textW, lines: lines}}, rowStyle{})
}

// facts draws labels with their values below each other.
func (w *pdfWriter) facts(list []Fact) {
	const label = 46.0
	for _, f := range list {
		w.row([]*stack{
			{x: marginL, w: label - 3, lines: w.set(w.plain(f.Label, styleRegular), label-3, bodySize, 5.1, grey)},
			{x: marginL + label, w: textW - label, lines: w.set(w.cellRuns(f.Value, nil), textW-label, bodySize, 5.1, black)},
		}, rowStyle{pad: 0.35})
	}
	t := &Table{}
	for _, f := range list {
		t.Add(f.Value)
	}
	if marks := w.legend(t); len(marks) > 0 {
		w.row([]*stack{{x: marginL, w: textW, lines: marks}}, rowStyle{pad: 1})
	}
}

// titleBlock heads a document without a cover: a letter, a weighing sheet.
func (w *pdfWriter) titleBlock() {
	if len(w.d.Letterhead) > 0 {
		for _, l := range w.d.Letterhead {
			if l == "" {
				w.took(4.5)
				continue
			}
			w.coverTitle(l, styleRegular, bodySize, 5.1, black)
		}
		w.took(4.5)
		return
	}
	w.coverTitle(w.d.Title, styleBold, 17, 7.6, black)
	if w.d.Subtitle != "" {
		w.coverTitle(w.d.Subtitle, styleRegular, 11.5, 5.6, accent)
	}
	w.took(1.5)
	w.line(marginL, w.y, pageW-marginR, w.y, 0.8, accent)
	w.took(5)
}

// contentsDepth is how many levels of headings the contents list.
const contentsDepth = 2

// contentsEntry is a line of the contents whose page number is set when all pages
// are there.
type contentsEntry struct {
	page      int // that the line stands on
	leadsTo   string
	x, bottom float64 // where the title ends, and its line
	style     fontStyle
}

// contentsLine is the height of a line of the contents.
const contentsLine = 5.2

// contents draws the list of sections; their page numbers follow in the end.
func (w *pdfWriter) contents() {
	w.newPage()
	if w.d.Cover == nil {
		w.titleBlock()
	}
	w.write(marginL, baseline(w.y, 7, 15), "Contents", styleBold, 15, black)
	w.took(7)
	w.line(marginL, w.y+0.8, pageW-marginR, w.y+0.8, 0.35, accent)
	w.took(4.5)
	indent := w.numberWidth()
	w.d.walk(func(s *Section, depth int) {
		if depth <= contentsDepth {
			w.contentsTitle(s, depth, indent)
		}
	})
}

// numberWidth returns the room for the longest section number of the contents.
func (w *pdfWriter) numberWidth() float64 {
	wd := 0.0
	w.d.walk(func(s *Section, depth int) {
		if depth <= contentsDepth && s.Number != "" {
			wd = max(wd, textMM(w.clean.clean(s.Number), styleBold, bodySize)+numberGap)
		}
	})
	return min(wd, 40)
}

func (w *pdfWriter) contentsTitle(s *Section, depth int, indent float64) {
	const lh = contentsLine
	style, before := styleBold, 1.6
	if depth > 1 {
		style, before = styleRegular, 0
	}
	const number = 12.0
	lines := w.set(w.plain(s.Title, style), textW-indent-number, bodySize, lh, black)
	w.ensure(before + lh*float64(len(lines)))
	w.gap(before)
	y := w.y
	w.write(marginL, baseline(y, lh, bodySize), w.clean.clean(s.Number), style, bodySize, accent)
	w.row([]*stack{{x: marginL + indent, w: textW - indent - number, lines: lines}}, rowStyle{})
	end := marginL + indent + lineWidth(lines[len(lines)-1].runs, runeMM(bodySize))
	w.entries = append(w.entries, contentsEntry{w.p.PageNo(), s.ID, end, w.y, style})
	if s.ID != "" {
		w.linkArea(marginL, y, textW, w.y-y, s.ID)
	}
}

// pageNumbers sets the page numbers of the contents on one of its pages.
func (w *pdfWriter) pageNumbers(page int) {
	for _, e := range w.entries {
		if e.page != page {
			continue
		}
		number := ""
		if n := w.pages[e.leadsTo]; n > 0 {
			number = strconv.Itoa(n)
		}
		wd := textMM(number, e.style, bodySize)
		base := baseline(e.bottom-contentsLine, contentsLine, bodySize)
		w.dots(e.x+2, pageW-marginR-wd-2, base)
		w.write(pageW-marginR-wd, base, number, e.style, bodySize, black)
	}
}

// dots leads the eye from a title to its page.
func (w *pdfWriter) dots(from, to, y float64) {
	if to-from < 6 {
		return
	}
	w.p.SetDashPattern([]float64{0.3, 1.6}, 0)
	w.line(from, y, to, y, 0.3, rule)
	w.p.SetDashPattern(nil, 0)
}
