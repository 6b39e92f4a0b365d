package bench

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

// hostileValues are what comes in the place of a name, a number or a text.
var hostileValues = []string{"", "%", "\x00", "../../etc/passwd", "<script>alert(1)</script>",
	`"><img src=x onerror=alert(1)>`,
	"{{.}}", "\x1b[31m", "\u202egnp", "1e999999999", "-1", "NaN", "999999999999999999999999kg", "0x18", "2026-02-30",
	"=HYPERLINK(\"x\")", "javascript:alert(1)", "a\r\nSet-Cookie: x=y", "'; DROP TABLE x;--", strings.Repeat("9", 5000),
	strings.Repeat("a/", 500), "\xff\xfe", "٣", "null", "[]"}

// hostilePages are what takes such values beside the names in the paths of the routes: %s
// stands for one.
var hostilePages = []string{"/%s", "/product/heath-wash/%s", "/product/heath-wash/formula?variant=%s",
	"/product/heath-wash/formula?variant=duo&market=%s", "/product/heath-wash/formula?variant=duo&market=GB&batch=%s",
	"/material/fo-gorse/%s", "/law?of=%s", "/find?q=%s", "/trace?of=%s", "/stock/list?order=%s"}

// inPath finds the names that a route takes out of a path.
var inPath = regexp.MustCompile(`\{(\w+)(\.\.\.)?\}`)

// hostileRoutes returns, of every route that takes a name out of its path, the method and the
// path with %s in the place of one name and something that is there in the others.
func hostileRoutes(b *bench) (pages [][2]string) {
	for _, set := range b.sets() {
		for _, r := range set.Routes {
			method, path, _ := strings.Cut(r.Pattern, " ")
			names := inPath.FindAllString(path, -1)
			for i := range names {
				at := path
				for j, name := range names {
					good := map[string]string{"{id}": "heath-wash", "{code}": "HW26-003", "{n}": "1"}[name]
					if strings.HasPrefix(path, "/material/") {
						good = "fo-gorse"
					}
					if j == i {
						good = "%s"
					}
					at = strings.Replace(at, name, good, 1)
				}
				pages = append(pages, [2]string{method, at})
			}
		}
	}
	return pages
}

// Requests that no page of ours makes: each is answered, in time, by no fault of the
// program; what they bring is written nowhere as it came, and no file is touched.
func TestHostileRequests(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	asked := 0
	ask := func(method, path string, fields ...string) {
		began := time.Now()
		var w *httptest.ResponseRecorder
		if method == "GET" {
			w = x.get(path)
		} else {
			w = x.post(path, fields...)
		}
		what := method + " " + path[:min(len(path), 120)]
		require.Less(t, w.Code, 500, what)
		require.Less(t, time.Since(began), time.Minute, what) // else it hangs
		body := w.Body.String()
		for _, bad := range []string{"<script>alert", "<img src=x", "\x1b", "\u202e", `href="javascript:`,
			"goroutine ", "root:"} {
			require.False(t, strings.Contains(body, bad), "%s: %q is on the page", what, bad)
		}
		for _, c := range w.Result().Cookies() {
			require.NotEqual(t, "x", c.Name, what)
		}
		asked++
	}
	every := testdata.Cases(3, 1) // of the pairs in the short run, every third
	for i, page := range hostilePages {
		for k, value := range hostileValues {
			if (i+k)%every == 0 {
				ask("GET", fmt.Sprintf(page, url.QueryEscape(value)))
			}
		}
	}
	routes := hostileRoutes(x.bench)
	require.GreaterOrEqual(t, len(routes), 60)
	every = testdata.Cases(12, 1)
	for i, r := range routes {
		for k, value := range hostileValues {
			if (i+k)%every == 0 {
				ask(r[0], fmt.Sprintf(r[1], url.PathEscape(value)), "base", value, "list", value, "do", value)
			}
		}
	}
	every = testdata.Cases(3, 1)
	for k, value := range hostileValues { // without the base that a form brings nothing is changed
		if k%every == 0 {
			ask("POST", "/product/heath-wash/formula", "base", value, "set:/formula/phases/2/lines/1/amount", "1")
			ask("POST", "/text/products/heath-wash.yaml", "base", value, "text", value)
			ask("POST", "/material/fo-gorse", "base", value, "set:/name", value)
		}
	}
	for _, method := range []string{"PUT", "DELETE", "PATCH", "TRACE", "OPTIONS", "BREW"} {
		w := x.do(method, "/products", nil, "")
		require.GreaterOrEqual(t, w.Code, 400, method)
		require.Less(t, w.Code, 500, method)
	}
	require.Equal(t, http.StatusOK, x.get("/today").Code)
	require.GreaterOrEqual(t, asked, testdata.Cases(150, 500))
	require.Equal(t, before, x.tree())
}
