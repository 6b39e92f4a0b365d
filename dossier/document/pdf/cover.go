package pdf

import (
	"strconv"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// cover draws the first page, with its blocks at the end.
func (w *Writer) cover(blocks []piece) {
	w.newPage()
	d := w.d
	w.y = 40
	kicker := d.Cover.Kicker
	if kicker == "" {
		kicker = d.Author
	}
	w.coverTitle(kicker, layout.StyleRegular, 11, 5.2, Grey)
	w.took(2.5)
	w.coverTitle(d.Title, layout.StyleBold, 25, 11, Black)
	if d.Subtitle != "" {
		w.took(2)
		w.coverTitle(d.Subtitle, layout.StyleRegular, 15, 7, accent)
	}
	w.took(5)
	w.Line(w.left, w.y, w.left+w.width, w.y, 0.8, accent)
	w.took(6)
	if len(d.Cover.Facts) > 0 {
		w.facts(d.Cover.Facts)
	}
	w.took(6)
	w.flow(blocks)
	w.fresh = false
}

func (w *Writer) coverTitle(s string, style layout.FontStyle, size, lh float64, ink Colour) {
	lines := w.set(w.plain(s, style), w.width, size, lh, ink)
	w.row([]*stack{{x: w.left, w: w.width, lines: lines}}, rowStyle{})
}

// facts draws labels with their values below each other.
func (w *Writer) facts(list []document.Fact) {
	const label = 46.0
	for _, f := range list {
		w.row([]*stack{
			{x: w.left, w: label - 3, lines: w.set(w.plain(f.Label, layout.StyleRegular), label-3, w.sc.body,
				5.1, Grey)},
			{x: w.left + label, w: w.width - label, lines: w.set(w.cellRuns(f.Value, nil), w.width-label, w.sc.body,
				5.1, Black)},
		}, rowStyle{pad: 0.35})
	}
	t := &document.Table{}
	for _, f := range list {
		t.Add(f.Value)
	}
	if marks := w.legend(t); len(marks) > 0 {
		w.row([]*stack{{x: w.left, w: w.width, lines: marks}}, rowStyle{pad: 1})
	}
}

// titleBlock heads a document without a cover: a letter, a weighing sheet.
func (w *Writer) titleBlock() {
	if len(w.d.Letterhead) > 0 {
		for _, l := range w.d.Letterhead {
			if l == "" {
				w.took(4.5)
				continue
			}
			w.coverTitle(l, layout.StyleRegular, w.sc.body, 5.1, Black)
		}
		w.took(4.5)
		return
	}
	if w.sc.dense {
		w.coverTitle(w.d.Subtitle, layout.StyleBold, 20, 8, Black)
		w.coverTitle(words.Joined(" · ", w.d.Title, w.d.Revision, w.d.Date.String()), layout.StyleRegular, 9.8,
			4.6, accent)
		w.took(2)
		return
	}
	w.coverTitle(w.d.Title, layout.StyleBold, 17, 7.6, Black)
	if w.d.Subtitle != "" {
		w.coverTitle(w.d.Subtitle, layout.StyleRegular, 11.5, 5.6, accent)
	}
	w.took(1.5)
	w.Line(w.left, w.y, w.left+w.width, w.y, 0.8, accent)
	w.took(5)
}

// ContentsDepth is how many levels of headings the contents list.
const ContentsDepth = 2

// contentsLine is the height of a line of the contents.
const contentsLine = 5.2

// contents draws the list of sections; their page numbers follow in the end.
func (w *Writer) contents() {
	w.newPage()
	if w.d.Cover == nil {
		w.titleBlock()
	}
	w.Write(w.left, baseline(w.y, 7, 15), "Contents", layout.StyleBold, 15, Black)
	w.took(7)
	w.Line(w.left, w.y+0.8, w.left+w.width, w.y+0.8, 0.35, accent)
	w.took(4.5)
	indent := w.numberWidth()
	w.d.Walk(func(s *document.Section, depth int) {
		if depth <= ContentsDepth {
			w.contentsTitle(s, depth, indent)
		}
	})
}

// numberWidth returns the room for the longest section number of the contents.
func (w *Writer) numberWidth() float64 {
	wd := 0.0
	w.d.Walk(func(s *document.Section, depth int) {
		if depth <= ContentsDepth && s.Number != "" {
			wd = max(wd, layout.TextMM(w.Clean.Clean(s.Number), layout.StyleBold, w.sc.body)+numberGap)
		}
	})
	return min(wd, 40)
}

func (w *Writer) contentsTitle(s *document.Section, depth int, indent float64) {
	const lh = contentsLine
	style, before := layout.StyleBold, 1.6
	if depth > 1 {
		style, before = layout.StyleRegular, 0
	}
	const number = 12.0
	lines := w.set(w.plain(s.Title, style), w.width-indent-number, w.sc.body, lh, Black)
	w.ensure(before + lh*float64(len(lines)))
	w.gap(before)
	y := w.y
	w.Write(w.left, baseline(y, lh, w.sc.body), w.Clean.Clean(s.Number), style, w.sc.body, accent)
	w.row([]*stack{{x: w.left + indent, w: w.width - indent - number, lines: lines}}, rowStyle{})
	end := w.left + indent + layout.LineWidth(lines[len(lines)-1].runs, layout.RuneMM(w.sc.body))
	w.entries = append(w.entries, contentsEntry{w.P.PageNo(), s.ID, end, w.y, style})
	if s.ID != "" {
		w.linkArea(w.left, y, w.width, w.y-y, s.ID)
	}
}

// pageNumbers sets the page numbers of the contents on one of its pages.
func (w *Writer) pageNumbers(page int) {
	for _, e := range w.entries {
		if e.page != page {
			continue
		}
		number := ""
		if n := w.Pages[e.leadsTo]; n > 0 {
			number = strconv.Itoa(n)
		}
		wd := layout.TextMM(number, e.style, w.sc.body)
		base := baseline(e.bottom-contentsLine, contentsLine, w.sc.body)
		w.dots(e.x+2, w.left+w.width-wd-2, base)
		w.Write(w.left+w.width-wd, base, number, e.style, w.sc.body, Black)
	}
}

// dots leads the eye from a title to its page.
func (w *Writer) dots(from, to, y float64) {
	if to-from < 6 {
		return
	}
	w.P.SetDashPattern([]float64{0.3, 1.6}, 0)
	w.Line(from, y, to, y, 0.3, Rule)
	w.P.SetDashPattern(nil, 0)
}
