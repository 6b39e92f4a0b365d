package paper

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// glyph is one letter with its place, the page turned upright and y counted from
// the top.
type glyph struct {
	r              rune
	at             int     // its place in the file's own order
	x, y           float64 // origin
	x0, x1, height float64
	line           float64 // baseline of the letter that it is raised beside; 0: its own
}

// pdfPage is what reading one page needs.
type pdfPage struct {
	*sandbox
	page, text    handle
	width, height float64
	left, bottom  float64 // where the shown part of the page begins
	turn          int     // quarter turns to the right

	baselines map[span]baseline // of letters with the same lower and upper edge
}

// span is the lower and the upper edge of a letter's loose box, in the page's own
// co-ordinates: its baseline with the depth and the height of its font.
type span struct{ bottom, top float32 }

// baseline is what letters of one span have in common. A letter's box comes at a third
// of the price of its origin and its angle, which are asked for once a span.
type baseline struct {
	y      float64 // of the origin, in the page's own co-ordinates
	atLeft bool    // the origin is the left edge of the box
	level  bool
}

// read reads a PDF inside its own sandbox, which is thrown away afterwards.
func (e *engine) read(f *File, data []byte, lim Limits) (err error) {
	box, leave, err := e.sandbox()
	if err != nil {
		return err
	}
	defer leave()
	limit := time.Duration(lim.Seconds * float64(time.Second))
	killed := time.AfterFunc(limit, box.stop)
	start := time.Now()
	defer func() {
		stopped := !killed.Stop() || time.Since(start) > limit
		if p := recover(); p != nil {
			err = trouble("broken", "")
		}
		if stopped {
			err = trouble("time", fmt.Sprintf("%.1f", limit.Seconds()))
		}
	}()
	doc, err := box.open(data)
	if err != nil {
		return err
	}
	n := box.number("FPDF_GetPageCount", doc)
	if n <= 0 {
		return trouble("broken", "it has no pages")
	}
	count := min(n, lim.Pages)
	limit += time.Duration(lim.PerPage * float64(count) * float64(time.Second))
	killed.Reset(limit - time.Since(start))
	if count < n {
		f.caution("pages-left", 0, "", fmt.Sprint(count))
	}
	for i := range count {
		f.Pages = append(f.Pages, readPage(f, box, doc, i, lim))
	}
	return nil
}

// readPage reads one page; what fails on it is told and ends only its own
// reading.
func readPage(f *File, box *sandbox, doc handle, i int, lim Limits) Page {
	page := Page{Number: i + 1}
	at, ok := box.call("FPDF_LoadPage", doc, uint64(i))
	if !ok || at == 0 {
		f.caution("page-broken", i+1, "", "")
		return page
	}
	defer box.call("FPDF_ClosePage", at)
	p := pdfPage{sandbox: box, page: at, baselines: map[span]baseline{}}
	p.width, p.height = box.float("FPDF_GetPageWidthF", at), box.float("FPDF_GetPageHeightF", at)
	p.turn = box.number("FPDFPage_GetRotation", at) & 3
	if r, ok := box.rect("FPDF_GetPageBoundingBox", at); ok {
		p.left, p.bottom = float64(r[0]), float64(r[3])
	}
	page.Width, page.Height = p.width, p.height
	objects := p.objects()
	page.Rules = wholeLines(objects.rules)
	glyphs, unmapped, off := p.glyphs(f, i+1, lim, objects)
	if off > 0 {
		f.caution("off-page", i+1, "", fmt.Sprint(off))
	}
	page.Trust = trustOf(len(glyphs), unmapped, objects, p.width*p.height)
	if page.Trust != Picture {
		page.Lines = linesOf(glyphs)
	}
	return page
}

// trustOf weighs what stands on a page: letters against a picture as large as the
// page, letters that nobody sees, letters without a map.
func trustOf(letters, unmapped int, o pageObjects, area float64) Trust {
	picture := o.picture > 0.5*area
	switch {
	case letters == 0 && o.picture > 0:
		return Picture
	case letters > 0 && o.layer(area):
		return Invisible
	case unmapped > 0 && unmapped*20 >= letters:
		return Unmapped
	case picture && letters < 60:
		return FewLetters
	}
	return ""
}

// upright turns a point of the page's own co-ordinates so that the page stands
// upright and y runs down from its top.
func (p *pdfPage) upright(x, y float64) (float64, float64) {
	x, y = x-p.left, y-p.bottom
	switch p.turn {
	case 1:
		return y, x
	case 2:
		return p.width - x, y
	case 3:
		return p.width - y, p.height - x
	}
	return x, p.height - y
}

// glyphs reads the letters of a page. Blanks are left out: gaps tell them.
func (p *pdfPage) glyphs(f *File, number int, lim Limits, o pageObjects) (out []glyph, unmapped, off int) {
	var ok bool
	if p.text, ok = p.call("FPDFText_LoadPage", p.page); !ok || p.text == 0 {
		f.caution("page-broken", number, "", "")
		return nil, 0, 0
	}
	defer p.call("FPDFText_ClosePage", p.text)
	count := p.number("FPDFText_CountChars", p.text)
	if count > lim.Letters {
		f.caution("letters-left", number, "", fmt.Sprint(lim.Letters))
		count = lim.Letters
	}
	runes, whole := p.sandbox.text(p.text, count)
	for i := range count {
		r := rune(0)
		if whole {
			r = runes[i]
		} else {
			r = rune(p.number("FPDFText_GetUnicode", p.text, uint64(i)))
		}
		g, ok := p.glyph(i, r)
		if !ok {
			continue
		}
		if g.x1 < -2 || g.x0 > p.width+2 || g.y < -2 || g.y > p.height+2+g.height {
			off++
			continue
		}
		out = append(out, g)
	}
	if (o.invisible > 0 || len(o.pale) > 0) && !o.layer(p.width*p.height) {
		var unseen []rune
		if out, unseen = p.seen(out, o.pale); len(unseen) > 0 {
			f.caution("hidden-text", number, "", string(unseen))
		}
	}
	return out, p.unmapped(out), off
}

// mostUnseen is how many letters that nobody sees are told.
const mostUnseen = 200

// seen takes out the letters that nobody sees: among others that are seen they are no part
// of the paper as it is printed. It gives those too, with a blank for each gap.
func (p *pdfPage) seen(letters []glyph, pale []handle) (kept []glyph, unseen []rune) {
	last := -1
	for _, g := range letters {
		obj, ok := p.call("FPDFText_GetTextObject", p.text, uint64(g.at))
		if !ok || obj == 0 || !slices.Contains(pale, obj) &&
			p.number("FPDFTextObj_GetTextRenderMode", obj) != renderInvisible {
			kept = append(kept, g)
			continue
		}
		if len(unseen) >= mostUnseen {
			continue
		}
		if last >= 0 && g.at != last+1 {
			unseen = append(unseen, ' ')
		}
		unseen, last = append(unseen, g.r), g.at
	}
	return kept, unseen
}

// everyLetter is up to how many letters of a page each is asked whether its font says
// which letter it is; of more, every fourth is asked first. A font without a map sets
// words, so that letters in a row are unmapped.
const everyLetter = 200

// unmapped counts the letters whose font does not say which letter they are.
func (p *pdfPage) unmapped(letters []glyph) int {
	n, step := 0, 1
	if len(letters) > everyLetter {
		step = 4
	}
	for i := 0; i < len(letters); i += step {
		if p.number("FPDFText_HasUnicodeMapError", p.text, uint64(letters[i].at)) != 1 {
			continue
		}
		if n++; step > 1 { // one was found: now each counts
			n, step, i = 0, 1, -1
		}
	}
	return n
}

// glyph reads one letter; ok is false for blanks, for what PDFium made up itself
// and for letters that do not lie level, such as a watermark.
func (p *pdfPage) glyph(i int, r rune) (g glyph, ok bool) {
	switch {
	case r == 2 || r == 0xfffe || r == 0xad || r == 0x2010 || r == 0x2011:
		r = '-' // a hyphen at a line's end
	case r <= 32 || r == 0xa0 || r == 0x2007 || r == 0x202f || r >= 0x2000 && r <= 0x200b || r == 0xfeff:
		return g, false
	}
	b, ok := p.rect("FPDFText_GetLooseCharBox", p.text, uint64(i))
	if !ok {
		return g, false
	}
	left, top, right, bottom := b[0], b[1], b[2], b[3]
	x, line, ok := p.origin(i, float64(left), span{bottom, top})
	if !ok {
		return g, false
	}
	g.r, g.at = r, i
	g.x, g.y = p.upright(x, line.y)
	ax, ay := p.upright(float64(left), float64(bottom))
	bx, by := p.upright(float64(right), float64(top))
	g.x0, g.x1 = min(ax, bx), max(ax, bx)
	g.height = max(ay, by) - min(ay, by)
	return g, g.height > 0 && g.x1 > g.x0 && line.level
}

// origin finds where a letter stands on its baseline. On a page that is not turned the
// letters of one span share it; where the left edge of the box is no origin, and on
// turned pages, each letter is asked for its own.
func (p *pdfPage) origin(i int, left float64, of span) (float64, baseline, bool) {
	if line, known := p.baselines[of]; known && line.atLeft && p.turn == 0 {
		return left, line, true
	}
	got, ok := p.call("FPDFText_GetCharOrigin", p.text, uint64(i), p.scratch, p.scratch+8)
	data, whole := p.mod.Memory().Read(uint32(p.scratch), 16)
	if !ok || got == 0 || !whole {
		return 0, baseline{}, false
	}
	x, y := math.Float64frombits(binary.LittleEndian.Uint64(data)),
		math.Float64frombits(binary.LittleEndian.Uint64(data[8:]))
	line := baseline{y: y, atLeft: abs(x-left) < 0.001,
		level: level(p.float("FPDFText_GetCharAngle", p.text, uint64(i)), p.turn)}
	p.baselines[of] = line
	return x, line, true
}

// level says whether a letter lies level on the page as shown.
func level(angle float64, turn int) bool {
	const full, slack = 6.283185307179586, 0.06
	a := angle + float64(turn)*full/4
	for a > full/2 {
		a -= full
	}
	b := angle - float64(turn)*full/4
	for b < -full/2 {
		b += full
	}
	near := func(x float64) bool { return x > -slack && x < slack }
	return near(a) || near(b)
}

// ligatures are letters printed as one sign.
var ligatures = strings.NewReplacer(
	"ﬀ", "ff", "ﬁ", "fi", "ﬂ", "fl", "ﬃ", "ffi", "ﬄ", "ffl", "ﬅ", "st", "ﬆ", "st")
