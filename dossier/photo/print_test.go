package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// held puts an orientation into a JPEG, as a camera does.
func held(data []byte, order binary.AppendByteOrder, orientation uint16) []byte {
	tiff := []byte("MM\x00*")
	if order == binary.AppendByteOrder(binary.LittleEndian) {
		tiff = []byte("II*\x00")
	}
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	for _, e := range [][2]uint16{{256, 4000}, {274, orientation}} {
		tiff = order.AppendUint16(tiff, e[0])
		tiff = order.AppendUint16(tiff, 3)
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(order.AppendUint16(tiff, e[1]), 0)
	}
	part := append([]byte("Exif\x00\x00"), tiff...)
	part = append(part, "SECRET PLACE"...)
	out := append([]byte{}, data[:2]...)
	out = append(out, 0xff, 0xe1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(part)+2))
	return append(append(out, part...), data[2:]...)
}

// ends says where in a printed picture the red half is.
func redSide(t *testing.T, p Printed) string {
	t.Helper()
	img, err := jpeg.Decode(bytes.NewReader(p.JPEG))
	require.NoError(t, err)
	require.Equal(t, image.Rect(0, 0, p.Width, p.Height), img.Bounds())
	red := func(x, y int) bool { r, _, b, _ := img.At(x, y).RGBA(); return r > b }
	w, h := p.Width, p.Height
	switch {
	case red(w/2, h/8) && !red(w/2, h-1-h/8):
		return "top"
	case !red(w/2, h/8) && red(w/2, h-1-h/8):
		return "bottom"
	case red(w/8, h/2) && !red(w-1-w/8, h/2):
		return "left"
	case !red(w/8, h/2) && red(w-1-w/8, h/2):
		return "right"
	}
	return "nowhere"
}

// TestPrintUpright: the stored picture is red on top. Source: Exif 2.3 (CIPA
// DC-008-2012), tag 274: with 6, row 0 is the right-hand side of what is seen, with 8
// the left, with 3 the bottom; 5 and 7 are 6 and 8 mirrored.
func TestPrintUpright(t *testing.T) {
	stored := pictured(t, 80, 40, "jpeg")
	for orientation, want := range []string{"top", "top", "top", "bottom", "bottom", "left", "right", "right",
		"left", "top"} {
		for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
			p, ok := Print(held(stored, order, uint16(orientation)))
			require.True(t, ok)
			assert.Equal(t, want, redSide(t, p), "orientation %d", orientation)
			assert.Equal(t, want == "left" || want == "right", p.Height > p.Width, "orientation %d", orientation)
			assert.NotContains(t, string(p.JPEG), "SECRET", "what a camera writes beside the picture goes to nobody")
		}
	}
}

// TestTurned: where the first stored dot is seen, by the same table of Exif 2.3.
func TestTurned(t *testing.T) {
	const w, h = 3, 2 // stored
	for orientation, seen := range map[int]image.Point{1: {0, 0}, 2: {2, 0}, 3: {2, 1}, 4: {0, 1}, 5: {0, 0},
		6: {1, 0}, 7: {1, 2}, 8: {0, 2}} {
		x, y := turned(orientation).of(seen.X, seen.Y, w, h)
		assert.Equal(t, image.Point{}, image.Pt(x, y), "orientation %d", orientation)
	}
}

func TestPrint(t *testing.T) {
	t.Run("small ones keep their size", func(t *testing.T) {
		for _, kind := range []string{"jpeg", "png"} {
			p, ok := Print(pictured(t, 30, 20, kind))
			require.True(t, ok)
			assert.Equal(t, []int{30, 20}, []int{p.Width, p.Height})
			assert.Equal(t, "top", redSide(t, p))
		}
	})
	t.Run("large ones are made smaller in proportion", func(t *testing.T) {
		p, ok := Print(pictured(t, 2400, 1000, "jpeg"))
		require.True(t, ok)
		assert.Equal(t, []int{1200, 500}, []int{p.Width, p.Height})
		assert.Equal(t, "top", redSide(t, p))
	})
	t.Run("what is clear is white", func(t *testing.T) {
		var b bytes.Buffer
		require.NoError(t, png.Encode(&b, image.NewNRGBA(image.Rect(0, 0, 8, 8))))
		p, ok := Print(b.Bytes())
		require.True(t, ok)
		img, err := jpeg.Decode(bytes.NewReader(p.JPEG))
		require.NoError(t, err)
		assert.Equal(t, color.GrayModel.Convert(color.White), color.GrayModel.Convert(img.At(4, 4)))
	})
	t.Run("same bytes", func(t *testing.T) {
		data := pictured(t, 1300, 700, "png")
		a, _ := Print(data)
		b, _ := Print(data)
		assert.Equal(t, a, b)
	})
	whole := pictured(t, 300, 200, "png")
	for name, data := range map[string][]byte{
		"nothing": nil, "text": []byte("a letter"), "broken off": whole[:len(whole)/2],
		"head alone": headed(20, 20), "too many dots": headed(10_000, 5_001),
		"half a JPEG": pictured(t, 300, 200, "jpeg")[:700],
	} {
		t.Run(name, func(t *testing.T) {
			_, ok := Print(data)
			assert.False(t, ok)
		})
	}
}

func FuzzPrint(f *testing.F) {
	f.Add(pictured(f, 12, 8, "png"))
	f.Add(held(pictured(f, 12, 8, "jpeg"), binary.BigEndian, 6))
	f.Add(headed(40, 40))
	f.Fuzz(func(t *testing.T, data []byte) {
		if head, known := headOf(bytes.NewReader(data)); known && head.Width*head.Height > 1<<20 {
			return // takes long, and says no more
		}
		p, ok := Print(data)
		if !ok {
			return
		}
		head, err := jpeg.DecodeConfig(bytes.NewReader(p.JPEG))
		require.NoError(t, err)
		require.Equal(t, []int{p.Width, p.Height}, []int{head.Width, head.Height})
		require.LessOrEqual(t, max(p.Width, p.Height), mostSide)
	})
}
