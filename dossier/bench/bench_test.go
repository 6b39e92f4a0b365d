package bench

import (
	"fmt"
	"html"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/bench/gate"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/transcribe/paper"
	"gallipot/ingredients/exact"
	"gallipot/templates"
	"gallipot/testdata/testrun"
)

func TestMain(m *testing.M) { testrun.Main(m) }

// trial is a workbench without a port, on a copy of the demo workshop.
type trial struct {
	t       testing.TB
	dir     string
	site    *frame.Site
	handler http.Handler
	token   string
	cookies map[string]string
	bench   *bench
}

// papers reads the papers of all tests: it takes as long to start as a test takes.
var papers = paper.NewReader()

func begin(t testing.TB, open bool) *trial {
	x := &trial{t: t, dir: t.TempDir(), cookies: map[string]string{}}
	require.NoError(t, os.CopyFS(x.dir, os.DirFS("../../testdata/demo")))
	now := func() time.Time { return time.Date(2026, 11, 29, 14, 2, 0, 0, time.UTC) }
	b := &bench{opt: Options{Base: t.TempDir(), Now: now, Law: table.Builtin(),
		Demo: os.DirFS("../../testdata/demo"), Begin: templates.Begin(),
		Today: func() (exact.Date, bool) { return 20261129, true }}, port: 4690, files: papers}
	b.gate = gate.New(b.port, now)
	x.token = b.gate.Token()
	x.site = &frame.Site{Now: now, Base: b.opt.Base, Open: b.open}
	if open {
		require.NoError(t, b.open(x.site, x.dir))
	}
	x.bench = b
	t.Cleanup(func() {
		b.files = paper.NewReader() // that of the tests stays open
		b.end()
	})
	h, err := b.handler(x.site)
	require.NoError(t, err)
	x.handler = h
	return x
}

func (x *trial) do(method, path string, body io.Reader, kind string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://127.0.0.1:4690"+path, body)
	r.Host = "127.0.0.1:4690"
	r.AddCookie(&http.Cookie{Name: "gallipot-4690", Value: x.token})
	for k, c := range x.cookies {
		r.AddCookie(&http.Cookie{Name: k, Value: c})
	}
	if kind != "" {
		r.Header.Set("Content-Type", kind)
	}
	w := httptest.NewRecorder()
	x.handler.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		x.cookies[c.Name] = c.Value
	}
	return w
}

func (x *trial) get(path string) *httptest.ResponseRecorder { return x.do("GET", path, nil, "") }

func (x *trial) post(path string, fields ...string) *httptest.ResponseRecorder {
	form := url.Values{}
	for i := 0; i+1 < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	return x.do("POST", path, strings.NewReader(form.Encode()), "application/x-www-form-urlencoded")
}

// scripted posts a form as our own script does.
func (x *trial) scripted(path string, form url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", "http://127.0.0.1:4690"+path, strings.NewReader(form.Encode()))
	r.Host = "127.0.0.1:4690"
	r.Header.Set("Accept", "application/json")
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.AddCookie(&http.Cookie{Name: "gallipot-4690", Value: x.token})
	w := httptest.NewRecorder()
	x.handler.ServeHTTP(w, r)
	return w
}

// holds says whether a page holds a text; the page is too long for the report of a failure.
func (x *trial) holds(page, want string) {
	x.t.Helper()
	require.True(x.t, strings.Contains(page, want), "%q is not on the page", want)
}

func (x *trial) lacks(page, text string) {
	x.t.Helper()
	require.False(x.t, strings.Contains(page, text), "%q is on the page", text)
}

func (x *trial) read(name string) string {
	data, err := os.ReadFile(filepath.Join(x.dir, name))
	require.NoError(x.t, err)
	return string(data)
}

func (x *trial) base(name string) string { return history.Hash([]byte(x.read(name))) }

// tree is every file of the workshop with its bytes.
func (x *trial) tree() map[string]string {
	files := map[string]string{}
	require.NoError(x.t, filepath.WalkDir(x.dir, func(p string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			data, err := os.ReadFile(p)
			files[p] = string(data)
			return err
		}
		return err
	}))
	return files
}

var pages = []string{"/today", "/points", "/products", "/materials", "/papers", "/stock", "/dates",
	"/batches", "/find?q=linal", "/products/new", "/materials/new", "/scale", "/torn",
	"/product/heath-wash", "/product/heath-wash/formula?variant=duo&market=GB&batch=3kg",
	"/product/heath-wash/label?variant=scrub", "/product/heath-wash/facts",
	"/product/heath-wash/pack", "/product/body-cream/formula", "/product/lip-balm",
	"/product/salt-scrub/formula", "/material/fo-gorse", "/material/fo-gorse/allergens",
	"/material/water", "/batch/HW26-003", "/batch/SS26-001", "/scale/SS26-001", "/text/products/heath-wash.yaml",
	"/text/workshop.yaml",
	"/workshop", "/formulas", "/product/heath-wash/making", "/product/heath-wash/papers",
	"/product/heath-wash/complaints", "/product/body-cream/tests", "/product/lip-balm/complaints",
	"/product/heath-wash/figures?variant=duo", "/product/heath-wash/tests", "/product/salt-scrub/notification",
	"/letters", "/trace", "/trace?of=RM-0102", "/law",
	"/law?of=Linalool", "/limits", "/material/fo-gorse/toxicology", "/tests", "/dates/list", "/stock/list",
	"/stock/list?order=1", "/product/heath-wash/cost", "/product/body-cream/cost", "/product/heath-wash/trial"}

// Every page is there, is read without script, and no GET changes a file.
func TestPages(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	for _, path := range pages {
		t.Run(path, func(t *testing.T) {
			w := x.get(path)
			require.Equal(t, http.StatusOK, w.Code)
			body := w.Body.String()
			require.Equal(t, 1, strings.Count(body, "<h1"), "one heading of the first rank")
			x.lacks(body, "ZgotmplZ")
			x.lacks(body, "<no value>")
			x.lacks(body, " style=")
			require.NotRegexp(t, `<script[^>]*>[^<]`, body)
			require.NotRegexp(t, ` on[a-z]+="`, body)
			for _, form := range regexp.MustCompile(`(?s)<form.*?</form>`).FindAllString(body, -1) {
				if strings.Contains(form, `name="do"`) { // Enter presses the first button of a form
					first := regexp.MustCompile(`<button[^>]*>`).FindString(form)
					require.Contains(t, first, "data-default")
				}
			}
			ids := map[string]bool{}
			for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(body, -1) {
				require.False(t, ids[m[1]], "id %s stands twice", m[1])
				ids[m[1]] = true
			}
			for _, m := range regexp.MustCompile(` for="([^"]*)"`).FindAllStringSubmatch(body, -1) {
				require.True(t, ids[m[1]], "label for %s, which is not there", m[1])
			}
		})
	}
	require.Equal(t, before, x.tree())
}

// No page asks for a command line or for the keys of a file: those are words of other places.
func TestWordsOfPages(t *testing.T) {
	x := begin(t, true)
	marks := regexp.MustCompile(`<(script|style)[^>]*>.*?</(script|style)>|<[^>]*>`)
	typed := regexp.MustCompile(`\bgallipot [a-z]|(^|\s)--[a-z]|\b[a-z_]+: [{\[]|enter (it|them) under documents|into evidence/`)
	for _, path := range pages {
		if strings.HasPrefix(path, "/text/") { // a file as text
			continue
		}
		t.Run(path, func(t *testing.T) {
			text := html.UnescapeString(marks.ReplaceAllString(x.get(path).Body.String(), "\n"))
			for _, line := range strings.Split(text, "\n") {
				require.False(t, typed.MatchString(line), line)
			}
		})
	}
}

// Nothing but the browser that was let in reaches a page, a file or a change.
func TestNoToken(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	token := x.token
	x.token = "wrong"
	for _, path := range append(pages, "/look/bench.css", "/number", "/paper/evidence/xanthan-sds.txt",
		"/product/heath-wash/pack.pdf") {
		require.Equal(t, http.StatusForbidden, x.get(path).Code, path)
		require.Equal(t, http.StatusForbidden, x.post(path, "set:/name", "x").Code, path)
	}
	x.token = token
	r := httptest.NewRequest("POST", "http://127.0.0.1:4690/undo", nil)
	r.Host = "127.0.0.1:4690"
	r.AddCookie(&http.Cookie{Name: "gallipot-4690", Value: token})
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	w := httptest.NewRecorder()
	x.handler.ServeHTTP(w, r)
	require.Equal(t, http.StatusForbidden, w.Code)
	require.Equal(t, before, x.tree())
}

// A path that leads outside reaches nothing, in any parameter.
func TestTraversal(t *testing.T) {
	x := begin(t, true)
	secret := filepath.Join(filepath.Dir(x.dir), "secret.yaml")
	require.NoError(t, os.WriteFile(secret, []byte("name: hidden words\n"), 0o644))
	require.NoError(t, os.Symlink(secret, filepath.Join(x.dir, "evidence", "link.pdf")))
	before := x.tree()
	for _, bad := range []string{"../secret", "..%2fsecret.yaml", "%2e%2e/secret.yaml", `..\secret.yaml`,
		"/etc/passwd", "....//secret", "products/../../secret.yaml", "evidence/link.pdf", ".git/config",
		"workshop.yaml:x", "con", "%00"} {
		for _, path := range []string{"/records/", "/formulas/", "/text/", "/paper/", "/paper/evidence/",
			"/paper/pictures/", "/product/", "/material/", "/batch/", "/scale/", "/conflict/"} {
			w := x.get(path + url.PathEscape(bad))
			x.lacks(w.Body.String(), "hidden words")
			x.lacks(w.Body.String(), "root:")
			require.GreaterOrEqual(t, w.Code, 300, path+bad)
			require.NotEqual(t, 500, w.Code, path+bad)
			w = x.post(path+url.PathEscape(bad), "base", "", "text", "x", "take", "mine", "index", "0")
			require.GreaterOrEqual(t, w.Code, 300, path+bad)
			for _, below := range []string{"/add", "/report", "/drop"} { // of records and of formulas that wait
				w = x.post(path+url.PathEscape(bad)+below, "list", "storage", "base", "", "product", "0", "test", "x")
				require.GreaterOrEqual(t, w.Code, 300, path+bad+below)
				require.NotEqual(t, 500, w.Code, path+bad+below)
			}
		}
		x.post("/materials/new", "name", bad, "supplier", "s", "inci", "Aqua", "pct", "100")
		x.post("/products/new", "name", bad, "type", "shower-gel", "for", "adults", "first", "Purified water, ion exchanged")
	}
	for name := range before {
		require.Equal(t, before[name], x.tree()[name])
	}
	for name := range x.tree() {
		require.True(t, strings.HasPrefix(name, x.dir))
		if _, was := before[name]; !was { // what a name was made of
			require.Regexp(t, `^[a-z0-9-]+\.yaml$`, filepath.Base(name))
			require.NotEqual(t, "con.yaml", filepath.Base(name))
		}
	}
}

// The same points are counted on every page: those of check, with the batches.
func TestCounts(t *testing.T) {
	x := begin(t, true)
	w, _ := x.site.Workshop()
	shot := w.Now()
	as, ofBatches := shot.Check()
	for _, a := range as {
		n := 0
		all := a.Findings
		for _, f := range ofBatches {
			if b := shot.Workshop.Batch(strings.TrimSuffix(filepath.Base(f.Pos.File),
				".yaml")); b != nil && b.Product == a.Product.ID {
				all = append(all[:len(all):len(all)], f)
			}
		}
		for _, f := range all {
			if frame.KindOf(f) != "note" {
				n++
			}
		}
		x.holds(x.get("/product/"+a.Product.ID).Body.String(), fmt.Sprintf(`Open points <span id="open-count">%d<`, n))
		x.holds(x.get("/product/"+a.Product.ID+"/formula").Body.String(), fmt.Sprintf(`Open points <span id="open-count">%d<`, n))
	}
}

// For reading alone: every page that a page leads to is there without a token, holds nothing
// that could change anything, and no file is touched, in the workshop or beside it.
func TestReadOnly(t *testing.T) {
	x := begin(t, false)
	x.site.ReadOnly, x.bench.opt.ReadOnly = true, true
	require.NoError(t, x.bench.open(x.site, x.dir))
	var err error
	x.handler, err = x.bench.handler(x.site)
	require.NoError(t, err)
	x.token = ""
	before := x.tree()
	fields := regexp.MustCompile(`<(?:input|select|textarea)\b[^>]*>`)
	asks := regexp.MustCompile(`(?s)<form\b.*?</form>`)
	seen := map[string]bool{}
	kinds := map[string]int{}
	queue := append([]string{"/"}, pages...)
	for len(queue) > 0 {
		path, _, _ := strings.Cut(queue[0], "#")
		queue = queue[1:]
		if seen[path] || strings.Contains(path, "/pack.") && !strings.Contains(path, "lip-balm") {
			continue // one pack is enough
		}
		seen[path] = true
		w := x.get(path)
		if path == "/" {
			require.Equal(t, http.StatusSeeOther, w.Code)
			continue
		}
		require.Equal(t, http.StatusOK, w.Code, path)
		kind, _, _ := strings.Cut(w.Header().Get("Content-Type"), ";")
		kinds[kind]++
		if kind != "text/html" {
			continue
		}
		body := w.Body.String()
		require.NotContains(t, body, `method="post"`, path)
		rest := asks.ReplaceAllString(body, "")
		require.False(t, strings.Contains(rest, "<button"), "%s has a button", path)
		for _, f := range fields.FindAllString(rest, -1) {
			require.Regexp(t, ` (readonly|disabled)>$`, f, path)
		}
		for _, m := range regexp.MustCompile(` (?:href|src)="(/[^"]*)"`).FindAllStringSubmatch(body, -1) {
			queue = append(queue, html.UnescapeString(m[1]))
		}
	}
	require.Greater(t, kinds["text/html"], 60)
	require.Positive(t, kinds["application/pdf"])
	for path := range seen {
		require.Equal(t, http.StatusMethodNotAllowed, x.post(path, "set:/name", "x").Code, path)
	}
	require.Equal(t, http.StatusMethodNotAllowed, x.post("/undo").Code)
	require.Equal(t, before, x.tree())
	x.lacks(x.get("/today").Body.String(), "/scale")
}

// A browser that holds the style asks whether it is still the same.
func TestStyleIsAskedFor(t *testing.T) {
	x := begin(t, true)
	w := x.get("/look/bench.css")
	require.Equal(t, "private, no-cache", w.Header().Get("Cache-Control"))
	require.NotEmpty(t, w.Header().Get("ETag"))
	require.NotEmpty(t, w.Body.String())
}
