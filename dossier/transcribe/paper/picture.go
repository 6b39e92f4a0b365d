package paper

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"time"
)

// Largest side of a picture in pixels: a page of a poster's size is drawn coarser.
const largestSide = 3000

// Picture draws a page of a PDF, counted from 1, as it is printed, as a PNG of the dots for
// an inch that are asked for, or fewer where the page is very large.
//
// Errors: a [*Trouble].
func (r *Reader) Picture(data []byte, page int, dpi int) (picture []byte, err error) {
	if len(data) > r.Limits.Bytes {
		return nil, trouble("too-large", r.Limits.Bytes)
	}
	e, err := r.pdf()
	if err != nil {
		return nil, err
	}
	box, leave, err := e.sandbox()
	if err != nil {
		return nil, err
	}
	defer leave()
	limit := time.Duration((r.Limits.Seconds + r.Limits.PerPage) * float64(time.Second))
	killed := time.AfterFunc(limit, box.stop)
	defer func() {
		if p := recover(); p != nil {
			picture, err = nil, trouble("broken", "")
		}
		if !killed.Stop() {
			picture, err = nil, trouble("time", limit.Seconds())
		}
	}()
	doc, err := box.open(data)
	if err != nil {
		return nil, err
	}
	if n := box.number("FPDF_GetPageCount", doc); page < 1 || page > min(n, r.Limits.Pages) {
		return nil, trouble("broken", "it has no such page")
	}
	at, ok := box.call("FPDF_LoadPage", doc, uint64(page-1))
	width, height := box.float("FPDF_GetPageWidthF", at), box.float("FPDF_GetPageHeightF", at)
	if !ok || at == 0 || width <= 0 || height <= 0 {
		return nil, trouble("broken", "")
	}
	scale := min(float64(dpi)/72, largestSide/max(width, height))
	w, h := max(1, int(math.Round(width*scale))), max(1, int(math.Round(height*scale)))
	dots, ok := box.drawn(at, w, h)
	if !ok {
		return nil, trouble("broken", "")
	}
	drawn := &image.NRGBA{Pix: dots, Stride: 4 * w, Rect: image.Rect(0, 0, w, h)}
	var b bytes.Buffer
	if err := png.Encode(&b, drawn); err != nil {
		return nil, trouble("broken", "")
	}
	return b.Bytes(), nil
}
