package paper

import (
	"bytes"
	"image/png"
	"time"

	"github.com/klippa-app/go-pdfium/requests"
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
	inst, err := e.instance()
	if err != nil {
		return nil, err
	}
	limit := time.Duration((r.Limits.Seconds + r.Limits.PerPage) * float64(time.Second))
	killed := time.AfterFunc(limit, func() { _ = inst.Kill() })
	defer func() {
		if p := recover(); p != nil {
			picture, err = nil, trouble("broken", "")
		}
		if !killed.Stop() {
			picture, err = nil, trouble("time", limit.Seconds())
			return
		}
		_ = inst.Close()
	}()
	doc, err := inst.OpenDocument(&requests.OpenDocument{File: &data})
	if err != nil {
		return nil, openTrouble(err)
	}
	n, err := inst.FPDF_GetPageCount(&requests.FPDF_GetPageCount{Document: doc.Document})
	if err != nil || page < 1 || page > min(n.PageCount, r.Limits.Pages) {
		return nil, trouble("broken", "it has no such page")
	}
	at := requests.Page{ByIndex: &requests.PageByIndex{Document: doc.Document, Index: page - 1}}
	side := int(largestSide)
	if size, err := inst.GetPageSize(&requests.GetPageSize{Page: at}); err == nil {
		side = min(side, int(max(size.Width, size.Height)*float64(dpi)/72))
	}
	drawn, err := inst.RenderPageInPixels(&requests.RenderPageInPixels{Page: at, Width: side, Height: side})
	if err != nil {
		return nil, trouble("broken", "")
	}
	defer drawn.Cleanup()
	var b bytes.Buffer
	if err := png.Encode(&b, drawn.Result.RenderedImage); err != nil {
		return nil, trouble("broken", "")
	}
	return b.Bytes(), nil
}
