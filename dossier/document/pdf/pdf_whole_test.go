package pdf_test

import (
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
	"gallipot/dossier/document/page"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/document/sheet"
)

// placedText is one run of text as drawn, in mm.
type placedText struct {
	page          int
	x, y, w, size float64
	s             string
	top, bottom   float64
}

// watched lays a document out and returns all that was drawn.
func watched(t *testing.T, d *document.Document) (*pdf.Writer, []placedText) {
	t.Helper()
	require.NoError(t, d.Mistakes())
	w := pdf.NewWriter(d)
	var all []placedText
	w.Placed = func(x, y, size float64, style layout.FontStyle, s string) {
		p := placedText{page: w.P.PageNo(), x: x, y: y, w: layout.TextMM(strings.TrimRight(s, " \u00a0"), style, size), size: size, s: s}
		p.top, p.bottom = y-0.7*size*layout.PointMM, y+0.1*size*layout.PointMM
		all = append(all, p)
	}
	w.Document()
	require.NoError(t, w.P.Error())
	return w, all
}

// requireTidy fails when a text stands outside its page or upon another.
func requireTidy(t *testing.T, name string, all []placedText) {
	t.Helper()
	byPage := map[int][]placedText{}
	for _, p := range all {
		inside := p.x >= pdf.MarginL-0.01 && p.x+p.w <= pdf.PageW-pdf.MarginR+0.01 && p.top >= pdf.HeaderY && p.bottom <= pdf.FooterY+9
		require.True(t, inside, "%s page %d: %q stands outside, from %.1f to %.1f mm at %.1f mm", name, p.page, p.s, p.x, p.x+p.w, p.y)
		if p.bottom > pdf.BodyBottom+1 {
			require.Greater(t, p.top, pdf.FooterY, "%s page %d: %q stands between text and foot", name, p.page, p.s)
		}
		byPage[p.page] = append(byPage[p.page], p)
	}
	for page, list := range byPage {
		for i, a := range list {
			for _, b := range list[i+1:] {
				wide := min(a.x+a.w, b.x+b.w) - max(a.x, b.x)
				high := min(a.bottom, b.bottom) - max(a.top, b.top)
				require.False(t, wide > 0.05 && high > 0.3, "%s page %d: %q and %q overlap", name, page, a.s, b.s)
			}
		}
	}
}

// Documents put together by chance, the same ones every time, must be as tidy as
// those put together by hand.
func TestPDFTidyByChance(t *testing.T) {
	for seed := range uint64(12) {
		d := chanceDocument(rand.New(rand.NewPCG(seed, 7)))
		_, all := watched(t, d)
		requireTidy(t, fmt.Sprintf("seed %d", seed), all)
		require.NoError(t, plain.Write(io.Discard, d))
		require.NoError(t, sheet.Write(io.Discard, d))
		require.NoError(t, page.Write(io.Discard, d))
	}
}
