package pdf

import (
	"strconv"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// gutter is the white space between two columns of a page.
const gutter = 4.0

// endless is a page that no block fills, for measuring.
const endless = 1e5

// beside sets two columns that begin at the same height. They stand on one page:
// what is too long for that is a mistake of the builder.
func (w *Writer) beside(b *document.Beside) piece {
	share := b.Share
	if share == 0 {
		share = 0.5
	}
	left := (w.width - gutter) * share
	x, width := w.left, w.width
	height := max(w.heightOf(b.Left, x, left), w.heightOf(b.Right, x+left+gutter, width-gutter-left))
	first, second := w.columnPieces(b.Left, x, left), w.columnPieces(b.Right, x+left+gutter, width-gutter-left)
	return piece{need: height, draw: func() {
		top, fresh := w.y, w.fresh
		w.column(first, x, left)
		end, drawn := w.y, w.fresh
		w.y, w.fresh = top, fresh
		w.column(second, x+left+gutter, width-gutter-left)
		w.y, w.fresh = max(w.y, end), w.fresh && drawn
	}}
}

// columnPieces lists the pieces of blocks as they are set between x and x+width.
func (w *Writer) columnPieces(blocks []document.Block, x, width float64) (out []piece) {
	w.within(x, width, func() {
		for _, b := range blocks {
			out = append(out, w.blockPieces(b)...)
		}
	})
	return out
}

func (w *Writer) column(pieces []piece, x, width float64) {
	w.within(x, width, func() {
		for _, p := range pieces {
			if p.draw != nil {
				p.draw()
			}
		}
	})
}

// within does something with other edges of the text.
func (w *Writer) within(x, width float64, do func()) {
	left, wide := w.left, w.width
	w.left, w.width = x, width
	do()
	w.left, w.width = left, wide
}

// heightOf measures blocks by drawing them on a page of no end.
func (w *Writer) heightOf(blocks []document.Block, x, width float64) float64 {
	a := w.aside
	if a == nil {
		a = NewWriter(w.d)
		a.bottom = endless
		a.P.AddPage()
		w.aside = a
	}
	a.y, a.fresh = 0, false
	a.column(a.columnPieces(blocks, x, width), x, width)
	return a.y
}

// strip draws a table of contents in columns; the page numbers follow in the end.
func (w *Writer) strip(s *document.ContentsStrip) piece {
	const pad, number = 1.5, 5.0
	per := w.width / float64(max(len(s.Columns), 1))
	line := w.sc.table[0].line + 0.3
	most := 0
	for _, c := range s.Columns {
		most = max(most, len(c.Items))
	}
	height := float64(most+1)*line + 2*pad
	return piece{need: height + w.sc.gapBlock, draw: func() {
		top, size := w.y, w.sc.table[2].size
		w.Line(w.left, top, w.left+w.width, top, w.sc.rule, Black)
		for i, c := range s.Columns {
			x := w.left + float64(i)*per
			if i > 0 {
				w.Line(x, top, x, top+height, w.sc.underHead, Rule)
				x += pad
			}
			right := w.left + float64(i+1)*per - pad
			y := top + pad
			w.Write(x, baseline(y, line, size), fit(w.Clean.Clean(c.Head), layout.StyleBold, size, right-x),
				layout.StyleBold, size, accent)
			for _, it := range c.Items {
				y += line
				label := fit(w.Clean.Clean(it.Label), layout.StyleRegular, size, right-x-number)
				w.Write(x, baseline(y, line, size), label, layout.StyleRegular, size, Black)
				w.linkArea(x, y, right-x, line, it.Anchor)
				w.stripEntries = append(w.stripEntries, stripEntry{w.P.PageNo(), it.Anchor, right,
					baseline(y, line, size), size})
			}
		}
		w.Line(w.left, top+height, w.left+w.width, top+height, w.sc.rule, Black)
		w.took(height)
		w.gap(w.sc.gapBlock)
	}}
}

// stripNumbers sets the page numbers of the contents strips on one page.
func (w *Writer) stripNumbers(page int) {
	for _, e := range w.stripEntries {
		n := w.Pages[e.leadsTo]
		if e.page != page || n == 0 {
			continue
		}
		number := strconv.Itoa(n)
		w.Write(e.right-layout.TextMM(number, layout.StyleRegular, e.size), e.base, number, layout.StyleRegular,
			e.size, Black)
	}
}
