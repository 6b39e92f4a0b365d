package bench

import (
	"bytes"
	"image/png"
	"net/http"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// The label stands on its page in true size: 1 inch is 25.4 mm, and the picture has 300 dots
// to it.
func TestLabel(t *testing.T) {
	x := begin(t, true)
	page := x.get("/product/heath-wash/label?variant=scrub").Body.String()
	m := regexp.MustCompile(`<svg class="proof" width="([0-9.]+)mm" height="([0-9.]+)mm".*?href="(/product/heath-wash/label/1[^"]*)"`).FindStringSubmatch(page)
	require.NotNil(t, m)
	w := x.get("/product/heath-wash/label/1?variant=scrub")
	require.Equal(t, "image/png", w.Header().Get("Content-Type"))
	img, err := png.Decode(bytes.NewReader(w.Body.Bytes()))
	require.NoError(t, err)
	width, err := strconv.ParseFloat(m[1], 64)
	require.NoError(t, err)
	require.InDelta(t, width/25.4*300, img.Bounds().Dx(), 2)
	for _, bad := range []string{"0", "9", "x", "-1"} {
		require.Equal(t, http.StatusNotFound, x.get("/product/heath-wash/label/"+bad).Code, bad)
	}
}

// Claims are linted while they are typed, and nothing is written before they are kept.
func TestClaims(t *testing.T) {
	x := begin(t, true)
	const file = "products/heath-wash.yaml"
	before := x.read(file)
	w := x.post("/product/heath-wash/claims/live", "base", x.base(file), "list:/claims", "heals eczema\nsmells of gorse")
	x.holds(w.Body.String(), "heals eczema")
	x.holds(w.Body.String(), "mark stop")
	require.Equal(t, before, x.read(file))
	require.Equal(t, "/product/heath-wash/label", x.post("/product/heath-wash/claims", "base", x.base(file), "list:/claims", "smells of gorse").Header().Get("Location"))
	require.Contains(t, x.read(file), "smells of gorse")
	x.post("/undo")
	require.Equal(t, before, x.read(file))
}
