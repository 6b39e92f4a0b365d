package paper

import (
	"bytes"
	"image/png"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPicture(t *testing.T) {
	r := NewReader()
	t.Cleanup(r.Close)
	data, err := os.ReadFile("../../../testdata/demo/inbox/kelp-extract-composition.pdf")
	require.NoError(t, err)
	t.Run("a page in its own shape", func(t *testing.T) {
		f, err := r.Read("x.pdf", data)
		require.NoError(t, err)
		got, err := r.Picture(data, 1, 72)
		require.NoError(t, err)
		img, err := png.Decode(bytes.NewReader(got))
		require.NoError(t, err)
		require.InDelta(t, f.Pages[0].Width, img.Bounds().Dx(), 1)
		require.InDelta(t, f.Pages[0].Height, img.Bounds().Dy(), 1)
	})
	for name, c := range map[string]struct {
		data []byte
		page int
	}{"no such page": {data, 99}, "page 0": {data, 0}, "no PDF": {[]byte("%PDF-1.4 and nothing"), 1}} {
		t.Run(name, func(t *testing.T) {
			_, err := r.Picture(c.data, c.page, 72)
			var trouble *Trouble
			require.ErrorAs(t, err, &trouble)
		})
	}
}
