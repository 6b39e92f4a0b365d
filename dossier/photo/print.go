package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"strings"
)

// The picture that is printed: its longer side in dots, at most, and how well its
// colours are kept, of 100. 1,200 dots on 85 mm are 359 to the inch.
const (
	mostSide = 1200
	quality  = 85
)

// Printed is a photograph made ready for a page: upright, on white, not larger than
// paper can show.
type Printed struct {
	JPEG          []byte
	Width, Height int // dots
}

// Print makes a photograph ready. It is false for what is no whole JPEG or PNG, or too
// large. The same bytes give the same picture on every machine: it is computed in whole
// numbers.
func Print(data []byte) (p Printed, ok bool) {
	head, known := headOf(bytes.NewReader(data))
	if !known || len(data) > mostBytes || int64(head.Width)*int64(head.Height) > mostDots {
		return p, false
	}
	for _, f := range formats {
		if !strings.HasPrefix(string(data[:min(len(data), 8)]), f.begins) {
			continue
		}
		stored, err := f.decode(bytes.NewReader(data))
		if err != nil {
			return p, false
		}
		img := shrunk(onWhite(stored), turned(orientation(data)))
		var out bytes.Buffer
		if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: quality}); err != nil {
			return p, false
		}
		return Printed{out.Bytes(), img.Rect.Dx(), img.Rect.Dy()}, true
	}
	return p, false
}

// onWhite lays a picture on white, its corner at 0, 0.
func onWhite(stored image.Image) *image.RGBA {
	b := stored.Bounds()
	img := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(img, img.Rect, image.White, image.Point{}, draw.Src)
	draw.Draw(img, img.Rect, stored, b.Min, draw.Over)
	return img
}

// turn says how a stored picture is seen: with its sides exchanged or not, and from
// which end its columns and rows are then taken.
type turn struct{ swapped, fromRight, fromBottom bool }

// turned is the turn of an orientation.
//
// Source: Exif 2.3 (CIPA DC-008-2012), 4.6.4 A, tag 274: which side of what is seen
// row 0 and column 0 are.
func turned(orientation int) turn {
	turns := [...]turn{2: {false, true, false}, 3: {false, true, true}, 4: {false, false, true},
		5: {true, false, false}, 6: {true, false, true}, 7: {true, true, true}, 8: {true, true, false}}
	if orientation < 0 || orientation >= len(turns) {
		return turn{}
	}
	return turns[orientation]
}

// of returns where in the stored picture a dot of what is seen lies; w and h are the
// stored size.
func (t turn) of(x, y, w, h int) (int, int) {
	if t.swapped {
		x, y = y, x
	}
	if t.fromRight {
		x = w - 1 - x
	}
	if t.fromBottom {
		y = h - 1 - y
	}
	return x, y
}

// shrunk makes a picture upright and not larger than what is printed: each dot is the
// mean of those it stands for.
func shrunk(stored *image.RGBA, t turn) *image.RGBA {
	sw, sh := stored.Rect.Dx(), stored.Rect.Dy()
	w, h := sw, sh
	if t.swapped {
		w, h = sh, sw
	}
	pw, ph := w, h
	if side := max(w, h); side > mostSide {
		pw, ph = max(1, w*mostSide/side), max(1, h*mostSide/side)
	}
	out := image.NewRGBA(image.Rect(0, 0, pw, ph))
	for y := range ph {
		for x := range pw {
			var sum [3]int
			n := 0
			for sy := y * h / ph; sy < (y+1)*h/ph; sy++ {
				for sx := x * w / pw; sx < (x+1)*w/pw; sx++ {
					cx, cy := t.of(sx, sy, sw, sh)
					dot := stored.Pix[stored.PixOffset(cx, cy):]
					sum[0], sum[1], sum[2], n = sum[0]+int(dot[0]), sum[1]+int(dot[1]), sum[2]+int(dot[2]), n+1
				}
			}
			out.SetRGBA(x, y, color.RGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), 255})
		}
	}
	return out
}

// orientation returns how a camera was held, 1 to 8, as a JPEG states it in its Exif
// part; 0 where it does not.
func orientation(data []byte) int {
	if len(data) < 2 || data[0] != 0xff || data[1] != 0xd8 {
		return 0
	}
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		kind, long := data[at+1], int(binary.BigEndian.Uint16(data[at+2:]))
		end := at + 2 + long
		if kind == 0xda || long < 2 || end > len(data) {
			return 0
		}
		if tiff, found := bytes.CutPrefix(data[at+4:end], []byte("Exif\x00\x00")); kind == 0xe1 && found {
			return orientationIn(tiff)
		}
		at = end
	}
	return 0
}

// orientationIn looks tag 274 up in the first directory.
func orientationIn(tiff []byte) int {
	const head, entry, tag, short = 8, 12, 274, 3
	if len(tiff) < head {
		return 0
	}
	var order binary.ByteOrder = binary.BigEndian
	if tiff[0] == 'I' {
		order = binary.LittleEndian
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 0
	}
	list := tiff[at+2:]
	for range order.Uint16(tiff[at:]) {
		if len(list) < entry {
			return 0
		}
		if order.Uint16(list) == tag && order.Uint16(list[2:]) == short {
			return int(order.Uint16(list[8:]))
		}
		list = list[entry:]
	}
	return 0
}
