package bench

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

// Another device gets the batch pages alone, under the code on the screen; it and the
// workbench cannot weigh one batch at once.
func TestShare(t *testing.T) {
	x := begin(t, true)
	var told bytes.Buffer
	x.bench.opt.ShareScale, x.bench.opt.Tell = "127.0.0.1:0", &told
	end, err := x.bench.share(context.Background(), x.site)
	require.NoError(t, err)
	t.Cleanup(end)
	m := regexp.MustCompile(`(http://127\.0\.0\.1:\d+), code (\S+)`).FindStringSubmatch(told.String())
	require.NotNil(t, m, told.String())
	require.Contains(t, told.String(), "nothing on the way is encrypted")
	screen := x.get("/scale").Body.String()
	x.holds(screen, m[2])
	x.holds(screen, "nothing on the way is encrypted")
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	tablet := &http.Client{Jar: jar}
	page := func(r *http.Response, err error) (int, string) {
		t.Helper()
		require.NoError(t, err)
		data, err := io.ReadAll(r.Body)
		require.NoError(t, err)
		require.NoError(t, r.Body.Close())
		return r.StatusCode, string(data)
	}
	code, body := page(tablet.Get(m[1] + "/"))
	require.Equal(t, http.StatusOK, code)
	require.Contains(t, body, "The code that the screen of the workbench shows")
	code, _ = page(tablet.Get(m[1] + "/batches"))
	require.Equal(t, http.StatusForbidden, code)
	code, body = page(tablet.PostForm(m[1]+"/enter", url.Values{"code": {m[2]}}))
	require.Equal(t, http.StatusOK, code)
	require.Contains(t, body, "SS26-001")
	require.NotContains(t, body, m[2])
	for _, place := range []string{"/product/heath-wash", "/today", "/papers", "/text/workshop.yaml",
		"/paper/evidence/xanthan-sds.txt", "/find?q=x", "/torn", "/stock"} {
		code, _ = page(tablet.Get(m[1] + place))
		require.Equal(t, http.StatusNotFound, code, place)
	}
	code, _ = page(tablet.PostForm(m[1]+"/undo", nil))
	require.Equal(t, http.StatusNotFound, code)
	code, body = page(tablet.Get(m[1] + "/batch/SS26-001"))
	require.Equal(t, http.StatusOK, code)
	require.NotContains(t, body, `action="/undo"`)
	require.NotContains(t, body, `href="/products"`)
	where := x.post("/scale", "what", "heath-wash/scrub", "size", "3 kg").Header().Get("Location")
	code, _ = page(tablet.PostForm(m[1]+where,
		url.Values{"base": {x.base("batches/HW26-004.yaml")}, "index": {"0"}, "lot": {"W-1"}, "grams": {"1391.2"}}))
	require.Equal(t, http.StatusOK, code)
	require.Contains(t, x.read("batches/HW26-004.yaml"), "weighed_g: 1391.2")
	x.holds(x.get(where).Body.String(), "weighed elsewhere")
}
