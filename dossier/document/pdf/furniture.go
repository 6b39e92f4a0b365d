package pdf

import (
	"fmt"

	"gallipot/dossier/document/layout"
	"gallipot/dossier/words"
)

// furniture draws head and foot of every page, after all the content, so that
// the number of pages is known.
func (w *Writer) furniture() {
	n := w.P.PageCount()
	for i := 1; i <= n; i++ {
		w.P.SetPage(i)
		// what is set for colour and font is remembered from the last page and not
		// from this one
		w.fill(pale)
		w.InFont = FontUse{}
		w.header()
		w.footer(i, n)
		w.pageNumbers(i)
		w.stripNumbers(i)
	}
}

func (w *Writer) header() {
	left := w.Clean.Clean(words.Joined(" · ", w.d.Product, w.d.Revision))
	right := w.Clean.Clean(w.d.Title)
	if w.sc.dense {
		left, right = words.Joined(" · ", left, right), w.Clean.Clean(w.sectionOn[w.P.PageNo()])
	}
	if left == "" {
		left, right = right, ""
	}
	right = fit(right, layout.StyleRegular, w.sc.small, TextW*0.45)
	rw := layout.TextMM(right, layout.StyleRegular, w.sc.small)
	left = fit(left, layout.StyleBold, w.sc.small, TextW-rw-6)
	w.Write(marginL, headerY+3, left, layout.StyleBold, w.sc.small, Black)
	w.Write(PageW-marginR-rw, headerY+3, right, layout.StyleRegular, w.sc.small, Grey)
	w.Line(marginL, headerY+5, PageW-marginR, headerY+5, 0.2, Rule)
}

func (w *Writer) footer(page, of int) {
	w.Line(marginL, footerY, PageW-marginR, footerY, 0.2, Rule)
	if w.sc.dense {
		w.footLine(page, of)
		return
	}
	count := fmt.Sprintf("page %d of %d", page, of)
	cw := layout.TextMM(count, layout.StyleBold, w.sc.small)
	w.Write(PageW-marginR-cw, footerY+4, count, layout.StyleBold, w.sc.small, Black)
	caution := fit(w.Clean.Clean(w.d.Caution), layout.StyleBold, w.sc.small, TextW-cw-6)
	w.Write(marginL, footerY+4, caution, layout.StyleBold, w.sc.small, Black)
	second := footerY + 7.6
	if caution == "" {
		second = footerY + 4
	}
	print := ""
	if w.d.Fingerprint != "" {
		print = "fingerprint " + w.Clean.Clean(w.d.Fingerprint)
	}
	words := fit(words.Joined("  ·  ", w.Clean.Clean(w.d.Author), w.d.Date.String(), print), layout.StyleRegular,
		w.sc.small-0.5, TextW-cw-6)
	w.Write(marginL, second, words, layout.StyleRegular, w.sc.small-0.5, Grey)
}

// footLine is the foot of a reference document: one line.
func (w *Writer) footLine(page, of int) {
	base := footerY + 4
	count := fmt.Sprintf("%d of %d", page, of)
	cw := layout.TextMM(count, layout.StyleBold, w.sc.small)
	w.Write(w.left+w.width-cw, base, count, layout.StyleBold, w.sc.small, Black)
	caution := fit(words.UpperFirst(w.Clean.Clean(w.d.Caution)), layout.StyleBold, w.sc.small, w.width/2)
	w.Write(w.left, base, caution, layout.StyleBold, w.sc.small, Black)
	print := ""
	if w.d.Fingerprint != "" {
		print = "fingerprint " + w.Clean.Clean(w.d.Fingerprint)
	}
	from := w.left + layout.TextMM(caution, layout.StyleBold, w.sc.small) + 8
	middle := fit(words.Joined(" · ", w.Clean.Clean(w.d.Author), w.d.Date.String(), print), layout.StyleRegular,
		w.sc.small, w.left+w.width-cw-8-from)
	mw := layout.TextMM(middle, layout.StyleRegular, w.sc.small)
	w.Write(w.left+w.width-cw-8-mw, base, middle, layout.StyleRegular, w.sc.small, Grey)
}
