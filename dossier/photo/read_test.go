package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/source"
)

// pictured writes a picture of the given size, red above and blue below.
func pictured(t testing.TB, w, h int, kind string) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			at := img.Pix[img.PixOffset(x, y):]
			at[2*(2*y/h)], at[3] = 255, 255
		}
	}
	var b bytes.Buffer
	if kind == "png" {
		require.NoError(t, png.Encode(&b, img))
	} else {
		require.NoError(t, jpeg.Encode(&b, img, &jpeg.Options{Quality: 100}))
	}
	return b.Bytes()
}

// headed is a PNG that says it has the given size and holds nothing.
func headed(w, h uint32) []byte {
	head := binary.BigEndian.AppendUint32([]byte("IHDR"), w)
	head = append(binary.BigEndian.AppendUint32(head, h), 8, 2, 0, 0, 0)
	b := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(head))
}

func readList(t *testing.T, text string) (list []Named, codes []string) {
	t.Helper()
	r := source.NewReader(source.NewSource("products/x.yaml", []byte(text)))
	m, ok := r.Root("product")
	require.True(t, ok)
	list = Read(m.At("pictures"))
	m.Done()
	for _, f := range r.Findings() {
		codes = append(codes, f.Code)
	}
	return list, codes
}

func TestRead(t *testing.T) {
	for name, c := range map[string]struct {
		text  string
		want  int
		codes []string
	}{
		"two":           {"pictures: [{file: pictures/a.jpg, caption: front}, {file: evidence/b.png, caption: back}]", 2, nil},
		"none":          {"pictures: []", 0, nil},
		"unknown key":   {"pictures: [{file: pictures/a.jpg, caption: front, size: 3}]", 1, []string{"unknown-key"}},
		"no caption":    {"pictures: [{file: pictures/a.jpg}]", 1, []string{"missing-key"}},
		"no file":       {"pictures: [{caption: front}]", 1, []string{"missing-key"}},
		"not a mapping": {"pictures: [pictures/a.jpg]", 0, []string{"wrong-type"}},
	} {
		t.Run(name, func(t *testing.T) {
			list, codes := readList(t, c.text)
			assert.Len(t, list, c.want)
			assert.ElementsMatch(t, c.codes, codes)
		})
	}
}

func TestFaults(t *testing.T) {
	jpg := pictured(t, 30, 20, "jpeg")
	fsys := fstest.MapFS{
		"pictures/a.jpg":     {Data: jpg},
		"evidence/sub/b.png": {Data: pictured(t, 30, 20, "png")},
		"evidence/ending.md": {Data: jpg}, // what a file is, its bytes say
		"out/a.jpg":          {Data: jpg},
		"a.jpg":              {Data: jpg},
		"pictures/text.jpg":  {Data: []byte("a letter, not a picture")},
		"pictures/short.jpg": {Data: []byte("\xff\xd8\xff")},
		"pictures/head.jpg":  {Data: []byte("\xff\xd8\xff\xe0 and then nothing")},
		"pictures/gif.gif":   {Data: []byte("GIF89a\x01\x00\x01\x00\x80\x00\x00\x00\x00\x00\xff\xff\xff,")},
		"pictures/most.png":  {Data: headed(10_000, 5_000)},
		"pictures/wide.png":  {Data: headed(10_000, 5_001)},
		"pictures/bomb.png":  {Data: headed(1<<31-1, 1<<31-1)},
		"pictures/heavy.jpg": {Data: append(bytes.Clone(jpg), make([]byte, mostBytes)...)},
		"pictures/empty.jpg": {},
	}
	for file, want := range map[string]string{
		"pictures/a.jpg": "-", "evidence/sub/b.png": "-", "evidence/ending.md": "-", "pictures/most.png": "-",
		"out/a.jpg": "place", "a.jpg": "place",
		"pictures/text.jpg": "", "pictures/short.jpg": "", "pictures/head.jpg": "", "pictures/gif.gif": "",
		"pictures/wide.png": "dots", "pictures/bomb.png": "dots|", "pictures/heavy.jpg": "bytes",
		"pictures/empty.jpg": "-", "pictures/gone.jpg": "-", // reported as papers that are missing
	} {
		t.Run(file, func(t *testing.T) {
			fs := Named{File: file}.Faults(fsys)
			if want == "-" {
				assert.Empty(t, fs)
				return
			}
			require.Len(t, fs, 1)
			assert.Equal(t, codeUnfit, fs[0].Code)
			if want == "dots|" { // a size that Go itself may refuse is no picture
				assert.Contains(t, []string{"dots", ""}, fs[0].Form)
				return
			}
			assert.Equal(t, want, fs[0].Form)
		})
	}
}
