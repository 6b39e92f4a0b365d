package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/document"
)

// TestFitted: by hand; 4 to 3 on 80 mm is 60 mm high.
func TestFitted(t *testing.T) {
	for name, c := range map[string]struct {
		width, height int
		column, most  float64
		wide, high    float64
	}{
		"by width":       {4, 3, 80, 75, 80, 60},
		"by height":      {3, 4, 80, 60, 45, 60},
		"no most height": {3, 4, 60, 0, 60, 80},
	} {
		t.Run(name, func(t *testing.T) {
			wide, high := fitted(&document.Picture{Width: c.width, Height: c.height, MostMM: c.most}, c.column)
			assert.InDelta(t, c.wide, wide, 1e-9)
			assert.InDelta(t, c.high, high, 1e-9)
		})
	}
}

// TestPicturesOfOneWidth: two photographs of one width stand in the file in the order in
// which they are drawn, every time.
func TestPicturesOfOneWidth(t *testing.T) {
	jpegOf := func(shade uint8) []byte {
		img := image.NewGray(image.Rect(0, 0, 40, 30))
		for i := range img.Pix {
			img.Pix[i] = shade
		}
		var data bytes.Buffer
		require.NoError(t, jpeg.Encode(&data, img, nil))
		return data.Bytes()
	}
	d := &document.Document{Title: "T", NoContents: true}
	section := d.AddSection("pictures", "Pictures")
	for shade := range uint8(4) {
		section.Add(&document.Picture{ID: fmt.Sprint("p", shade), Title: "P", JPEG: jpegOf(shade * 60), Width: 40,
			Height: 30, MostMM: 20})
	}
	first, _, err := Render(d, nil)
	require.NoError(t, err)
	assert.Equal(t, 4, bytes.Count(first, []byte("/Width 40\n")), "whole dots, and each picture once")
	for range 8 {
		again, _, err := Render(d, nil)
		require.NoError(t, err)
		require.True(t, bytes.Equal(first, again))
	}
}
