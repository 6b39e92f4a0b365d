package bench

import (
	"bytes"
	"fmt"
	"image/png"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/dossier/dossiertest"
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
	require.Equal(t, "/product/heath-wash/label",
		x.post("/product/heath-wash/claims", "base", x.base(file), "list:/claims",
			"smells of gorse").Header().Get("Location"))
	require.Contains(t, x.read(file), "smells of gorse")
	x.post("/undo")
	require.Equal(t, before, x.read(file))
}

// The panel beside the formula has the lowest margins of its variant by margin over target,
// worked out again from the two figures of each line, and counts what has no value of all
// the variant's substances, as the pack does.
func TestLowestMargins(t *testing.T) {
	x := begin(t, true)
	rowRE := regexp.MustCompile(`<tr><th scope="row">[^<]*</th><td class="r">([^<]*)</td><td class="small">.*?(?:below|target) ([0-9]+)`)
	mixed := 0
	for _, id := range []string{"heath-wash", "body-cream", "lip-balm", "salt-scrub"} {
		a := dossiertest.Demo(t, id)
		page := x.get("/product/" + a.Product.ID + "/formula").Body.String()
		_, panel, found := strings.Cut(page, `id="panel-margins"`)
		if !found {
			continue
		}
		panel, _, _ = strings.Cut(panel, "</section>")
		assert.Contains(t, panel, "by margin ÷ target")
		open, of := 0, a.Results[0].Margins
		for _, m := range of {
			if m.Reason == "no point of departure is known" {
				open++
			}
		}
		if open > 0 {
			assert.Contains(t, panel, fmt.Sprintf("%d of %d substances without a value", open, len(of)), a.Product.ID)
		}
		last, before := 0.0, ""
		rows := rowRE.FindAllStringSubmatch(panel, -1)
		assert.LessOrEqual(t, len(rows), 5)
		for _, row := range rows {
			mos, err := strconv.ParseFloat(regexp.MustCompile(`[^0-9.]`).ReplaceAllString(row[1], ""), 64)
			require.NoError(t, err, row[1])
			target, err := strconv.ParseFloat(row[2], 64)
			require.NoError(t, err)
			assert.LessOrEqual(t, last, mos/target, a.Product.ID)
			if before != "" && before != row[2] {
				mixed++
			}
			last, before = mos/target, row[2]
		}
	}
	assert.Positive(t, mixed, "two targets in one list")
}

// A picture that takes too long to draw, as on a busy computer, takes neither the label's
// words nor its PDF away.
func TestLabelNotDrawnInTime(t *testing.T) {
	x := begin(t, true)
	usual := papers.Limits
	t.Cleanup(func() { papers.Limits = usual })
	papers.Limits.Seconds, papers.Limits.PerPage = 1e-6, 0
	w := x.get("/product/heath-wash/label?variant=scrub")
	require.Equal(t, http.StatusOK, w.Code)
	page := w.Body.String()
	require.Contains(t, page, "could not be drawn in time")
	require.Contains(t, page, `href="/product/heath-wash/label.pdf?`)
	require.Contains(t, page, "Ingredients:")
	require.Equal(t, http.StatusServiceUnavailable, x.get("/product/heath-wash/label/1?variant=scrub").Code)
	require.Equal(t, http.StatusOK, x.get("/product/heath-wash/label.pdf?variant=scrub").Code)
	papers.Limits = usual
	require.NotContains(t, x.get("/product/heath-wash/label?variant=scrub").Body.String(), "could not be drawn")
}
