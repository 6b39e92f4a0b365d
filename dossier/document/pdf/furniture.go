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
	}
}

func (w *Writer) header() {
	left := w.Clean.Clean(words.Joined(" · ", w.d.Product, w.d.Revision))
	right := w.Clean.Clean(w.d.Title)
	if left == "" {
		left, right = right, ""
	}
	right = fit(right, layout.StyleRegular, smallSize, TextW*0.45)
	rw := layout.TextMM(right, layout.StyleRegular, smallSize)
	left = fit(left, layout.StyleBold, smallSize, TextW-rw-6)
	w.Write(marginL, headerY+3, left, layout.StyleBold, smallSize, Black)
	w.Write(PageW-marginR-rw, headerY+3, right, layout.StyleRegular, smallSize, Grey)
	w.Line(marginL, headerY+5, PageW-marginR, headerY+5, 0.2, Rule)
}

func (w *Writer) footer(page, of int) {
	w.Line(marginL, footerY, PageW-marginR, footerY, 0.2, Rule)
	count := fmt.Sprintf("page %d of %d", page, of)
	cw := layout.TextMM(count, layout.StyleBold, smallSize)
	w.Write(PageW-marginR-cw, footerY+4, count, layout.StyleBold, smallSize, Black)
	caution := fit(w.Clean.Clean(w.d.Caution), layout.StyleBold, smallSize, TextW-cw-6)
	w.Write(marginL, footerY+4, caution, layout.StyleBold, smallSize, Black)
	second := footerY + 7.6
	if caution == "" {
		second = footerY + 4
	}
	print := ""
	if w.d.Fingerprint != "" {
		print = "fingerprint " + w.Clean.Clean(w.d.Fingerprint)
	}
	words := fit(words.Joined("  ·  ", w.Clean.Clean(w.d.Author), w.d.Date.String(), print), layout.StyleRegular, smallSize-0.5, TextW-cw-6)
	w.Write(marginL, second, words, layout.StyleRegular, smallSize-0.5, Grey)
}
