package pdf

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"

	"codeberg.org/go-pdf/fpdf"

	"gallipot/dossier/document"
	"gallipot/dossier/document/layout"
)

// picture sets a photograph below its caption, as wide as the text and not higher than
// it asks for, its sides in proportion.
func (w *Writer) picture(b *document.Picture) piece {
	lines := w.caption(w.chartNo[b], "Figure", b.Title, "")
	wide, high := 0.0, 0.0
	var below []textLine
	if b.JPEG == nil {
		below = w.set(w.plain(b.Missing, layout.StyleItalic), w.width, w.sc.small, w.sc.smallLine, Grey)
		high = float64(len(below)) * w.sc.smallLine
	} else {
		wide, high = fitted(b, w.width)
	}
	return piece{need: float64(len(lines))*w.sc.captionLine + w.sc.captionGap + high, draw: func() {
		w.anchor(b.ID, w.y)
		w.row([]*stack{{x: w.left, w: w.width, lines: lines}}, rowStyle{})
		w.took(w.sc.captionGap)
		if b.JPEG == nil {
			w.row([]*stack{{x: w.left, w: w.width, lines: below}}, rowStyle{})
		} else {
			w.photograph(b, wide, high)
			w.took(high)
		}
		w.gap(w.sc.gapBlock)
	}}
}

// fitted returns width and height of a picture in mm within a column.
func fitted(b *document.Picture, column float64) (wide, high float64) {
	wide, high = column, column*float64(b.Height)/float64(b.Width)
	if b.MostMM > 0 && high > b.MostMM {
		wide, high = wide*b.MostMM/high, b.MostMM
	}
	return wide, high
}

// photograph draws the dots; one that stands on two pages is in the file once.
func (w *Writer) photograph(b *document.Picture, wide, high float64) {
	sum := sha256.Sum256(b.JPEG)
	name, opt := hex.EncodeToString(sum[:]), fpdf.ImageOptions{ImageType: "JPG"}
	if info := w.P.GetImageInfo(name); info == nil {
		info = w.P.RegisterImageOptionsReader(name, opt, bytes.NewReader(b.JPEG))
		if err := widen(info, float64(w.photographs)/1024); err != nil {
			w.P.SetError(err)
		}
		w.photographs++
	}
	w.P.ImageOptions(name, w.left, w.y, wide, high, false, opt, 0, "")
}

// widen adds less than a dot to the width of a picture. The library writes pictures in
// the order of their widths, and those of one width in no order at all: so each has its
// own, and the same pack has the same bytes. What is written is the width in whole dots.
func widen(info *fpdf.ImageInfoType, by float64) error {
	if info == nil || by <= 0 || by >= 1 {
		return nil
	}
	data, err := info.GobEncode()
	if err != nil {
		return err
	}
	var content, mask, palette []byte
	var object, bits int
	var width, height, scale, dpi float64
	var space, filter, parameters string
	var transparent []int
	fields := []any{&content, &mask, &object, &width, &height, &space, &palette, &bits, &filter, &parameters,
		&transparent, &scale, &dpi}
	read := gob.NewDecoder(bytes.NewReader(data))
	for _, x := range fields {
		if err := read.Decode(x); err != nil {
			return err
		}
	}
	width += by
	var changed bytes.Buffer
	write := gob.NewEncoder(&changed)
	for _, x := range fields {
		if err := write.Encode(x); err != nil {
			return err
		}
	}
	return info.GobDecode(changed.Bytes())
}
