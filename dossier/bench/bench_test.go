package bench

import (
	"bytes"
	"io"
	"io/fs"
	"mime/multipart"
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
	"gallipot/ingredients/exact"
	"gallipot/templates"
)

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

func begin(t testing.TB, open bool) *trial {
	x := &trial{t: t, dir: t.TempDir(), cookies: map[string]string{}}
	require.NoError(t, os.CopyFS(x.dir, os.DirFS("../../testdata/demo")))
	now := func() time.Time { return time.Date(2026, 11, 29, 14, 2, 0, 0, time.UTC) }
	b := &bench{opt: Options{Base: t.TempDir(), Now: now, Law: table.Builtin(), Demo: os.DirFS("../../testdata/demo"), Begin: templates.Begin(),
		Today: func() (exact.Date, bool) { return 20261129, true }}, port: 4690}
	b.gate = gate.New(b.port, now)
	x.token = b.gate.Token()
	x.site = &frame.Site{Now: now, Base: b.opt.Base, Open: b.open}
	if open {
		require.NoError(t, b.open(x.site, x.dir))
	}
	x.bench = b
	t.Cleanup(b.end)
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

var pages = []string{"/today", "/points", "/products", "/materials", "/batches", "/find?q=linal", "/products/new", "/materials/new", "/scale", "/torn",
	"/product/heath-wash", "/product/heath-wash/formula?variant=duo&market=GB&batch=3kg", "/product/heath-wash/label?variant=scrub", "/product/heath-wash/facts",
	"/product/heath-wash/pack", "/product/body-cream/formula", "/product/lip-balm", "/product/salt-scrub/formula", "/material/fo-gorse", "/material/fo-gorse/allergens",
	"/material/water", "/batch/HW26-003", "/batch/SS26-001", "/scale/SS26-001", "/text/products/heath-wash.yaml", "/text/workshop.yaml",
	"/product/heath-wash/figures?variant=duo", "/product/heath-wash/tests", "/product/salt-scrub/notification", "/letters", "/trace", "/trace?of=RM-0102", "/law",
	"/law?of=Linalool", "/tests", "/product/heath-wash/trial"}

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

// Nothing but the browser that was let in reaches a page, a file or a change.
func TestNoToken(t *testing.T) {
	x := begin(t, true)
	before := x.tree()
	token := x.token
	x.token = "wrong"
	for _, path := range append(pages, "/look/bench.css", "/number", "/paper/evidence/xanthan-sds.txt", "/product/heath-wash/pack.pdf") {
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
	for _, bad := range []string{"../secret", "..%2fsecret.yaml", "%2e%2e/secret.yaml", `..\secret.yaml`, "/etc/passwd", "....//secret", "products/../../secret.yaml", "evidence/link.pdf", ".git/config", "workshop.yaml:x", "con", "%00"} {
		for _, path := range []string{"/text/", "/paper/", "/paper/evidence/", "/product/", "/material/", "/batch/", "/scale/", "/conflict/"} {
			w := x.get(path + url.PathEscape(bad))
			x.lacks(w.Body.String(), "hidden words")
			x.lacks(w.Body.String(), "root:")
			require.GreaterOrEqual(t, w.Code, 300, path+bad)
			require.NotEqual(t, 500, w.Code, path+bad)
			w = x.post(path+url.PathEscape(bad), "base", "", "text", "x", "take", "mine", "index", "0")
			require.GreaterOrEqual(t, w.Code, 300, path+bad)
		}
		x.post("/materials/new", "name", bad, "supplier", "s", "inci", "Aqua", "pct", "100")
		x.post("/products/new", "name", bad, "type", "shower-gel", "first", "Purified water, ion exchanged")
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

func TestSaving(t *testing.T) {
	const file = "products/heath-wash.yaml"
	const amount = "set:/formula/phases/2/lines/1/amount"
	t.Run("one value at its place, and back", func(t *testing.T) {
		x := begin(t, true)
		before := x.read(file)
		w := x.post("/product/heath-wash/formula", "base", x.base(file), amount, "1.05")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Equal(t, strings.Replace(before, "{ingredient: keeper-pe, amount: 0.9}", "{ingredient: keeper-pe, amount: 1.05}", 1), x.read(file))
		x.holds(x.get("/today").Body.String(), "Strandkeeper P, preservative blend 0.9 → 1.05")
		require.Equal(t, http.StatusSeeOther, x.post("/undo").Code)
		require.Equal(t, before, x.read(file))
		require.Equal(t, http.StatusSeeOther, x.post("/redo").Code)
		require.Contains(t, x.read(file), "keeper-pe, amount: 1.05")
	})
	t.Run("while typing nothing is written", func(t *testing.T) {
		x := begin(t, true)
		before := x.tree()
		w := x.post("/product/heath-wash/formula/live", "base", x.base(file), "variant", "scrub", "seq", "7", "focus", "2-1", amount, "1.3")
		require.Equal(t, http.StatusOK, w.Code)
		x.holds(w.Body.String(), `"seq":"7"`)
		x.holds(w.Body.String(), "Phenoxyethanol")
		x.holds(w.Body.String(), "Use 1.09")
		require.Equal(t, before, x.tree())
	})
	t.Run("what is no value is refused at its field", func(t *testing.T) {
		x := begin(t, true)
		before := x.tree()
		w := x.post("/product/heath-wash/formula/live", "base", x.base(file), amount, "3 drops")
		x.holds(w.Body.String(), `"error":"`)
		require.Equal(t, before, x.tree())
	})
	t.Run("what the program could not read afterwards is not written", func(t *testing.T) {
		x := begin(t, true)
		before := x.tree()
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/product/heath-wash/formula", "base", x.base(file), amount, "3 drops").Code)
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/material/water", "base", x.base("ingredients/water.yaml"), "do", "remove:/composition/constituents/0").Code)
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/product/heath-wash/facts", "base", x.base(file), "set:/revision", "two").Code)
		require.Equal(t, before, x.tree())
	})
	t.Run("changed meanwhile: both versions, nothing lost", func(t *testing.T) {
		x := begin(t, true)
		base := x.base(file)
		x.get("/product/heath-wash/formula") // the page that is open
		theirs := strings.Replace(x.read(file), "amount: 0.9}", "amount: 1.2}", 1)
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(theirs), 0o644))
		w := x.post("/product/heath-wash/formula", "base", base, amount, "0.95")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Equal(t, theirs, x.read(file))
		where := w.Header().Get("Location")
		require.Regexp(t, `^/conflict/\d+$`, where)
		page := x.get(where).Body.String()
		for _, want := range []string{"0.9", "0.95", "1.2", "both changed it", "Not written"} {
			x.holds(page, want)
		}
		w = x.post(where, "take", "chosen", "row:/formula/phases/2/lines/1/amount", "mine")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Contains(t, x.read(file), "keeper-pe, amount: 0.95}")
		require.Equal(t, http.StatusNotFound, x.get(where).Code)
		require.Equal(t, http.StatusSeeOther, x.post("/undo").Code)
		require.Equal(t, theirs, x.read(file))
	})
	t.Run("two windows", func(t *testing.T) {
		x := begin(t, true)
		base := x.base(file)
		require.Equal(t, http.StatusSeeOther, x.post("/product/heath-wash/formula", "base", base, amount, "0.95").Code)
		w := x.post("/product/heath-wash/formula", "base", base, amount, "0.85")
		require.Contains(t, w.Header().Get("Location"), "/conflict/")
		require.Contains(t, x.read(file), "keeper-pe, amount: 0.95}")
	})
	t.Run("structure", func(t *testing.T) {
		x := begin(t, true)
		before := x.read(file)
		for _, c := range [][]string{
			{"/product/heath-wash/formula", "do", "down:/formula/phases/2/lines/0"},
			{"/product/heath-wash/formula", "do", "remove:/formula/phases/2/lines/0"},
			{"/product/heath-wash/formula/add", "what", "line", "name", "Vegetable glycerin 99.5", "amount", "1", "phase", "0"},
			{"/product/heath-wash/formula/add", "what", "slot", "name", "pearl", "amount", "0.1", "phase", "1"},
			{"/product/heath-wash/formula/add", "what", "phase", "name", "End", "first", "Vegetable glycerin 99.5", "amount", "1"},
			{"/product/heath-wash/formula/add", "what", "variant", "name", "Sea Salt"},
			{"/product/heath-wash/formula/add", "what", "addition", "name", "Vegetable glycerin 99.5", "amount", "2", "at", "/variants/0"},
			{"/product/heath-wash/formula", "pick:/variants/1/fill/scent", "Gorse in Bloom fragrance"},
			{"/product/heath-wash/formula/add", "what", "part", "name", "Heather Moor fragrance", "amount", "20", "at", "/variants/2/fill/scent"},
			{"/product/heath-wash/facts", "list:/claims", "one\r\ntwo: three", "text:/directions", "", "set:/net_content/g", "150"},
		} {
			w := x.post(c[0], append(c[1:], "base", x.base(file))...)
			require.Equal(t, http.StatusSeeOther, w.Code, "%v\n%s", c)
			require.Equal(t, http.StatusOK, x.get("/product/heath-wash/formula").Code, "%v", c)
			x.lacks(x.get("/today").Body.String(), "unreadable")
		}
		for range 10 {
			x.post("/undo")
		}
		require.Equal(t, before, x.read(file))
	})
	t.Run("materials", func(t *testing.T) {
		x := begin(t, true)
		sheet := "ingredients/kelp-extract.yaml"
		before := x.read(sheet)
		w := x.post("/material/kelp-extract", "base", x.base(sheet), "text:/name", "Kelp: extract", "set:/composition/constituents/3/pct", "1-2", "set:/price/per_kg", "")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Contains(t, x.read(sheet), "name: 'Kelp: extract'\n")
		require.Contains(t, x.read(sheet), "ec: 204-589-7, pct: 1-2}")
		require.Contains(t, x.read(sheet), "# FAULT 12")
		require.Equal(t, http.StatusSeeOther, x.post("/undo").Code)
		require.Equal(t, before, x.read(sheet))
		paste := "Water (Aqua)\t7732-18-5\t60 – 65 %\nGlycerine  56-81-5  20-25%\nnothing here\n2-Phenoxyethanol 122-99-6 2,5 %"
		w = x.post("/material/kelp-extract/paste", "base", x.base(sheet), "table", paste)
		x.holds(w.Body.String(), "3 lines read")
		x.holds(w.Body.String(), "Not understood: nothing here")
		require.Equal(t, before, x.read(sheet))
		w = x.post("/material/kelp-extract/paste", "base", x.base(sheet), "table", paste, "take", "1")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Contains(t, x.read(sheet), "{inci: Phenoxyethanol, cas: 122-99-6, pct: 2.5}")
		gorse := "ingredients/fo-gorse.yaml"
		w = x.post("/material/fo-gorse/allergens", "base", x.base(gorse), "list", "2023-1545", "dated", "2026-01-22", "new:Citral", "0.02", "set:/allergens/declared/0/pct", "3.5")
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Contains(t, x.read(gorse), "{name: Coumarin, cas: 91-64-5, pct: 3.5}")
		require.Contains(t, x.read(gorse), "name: Citral")
		require.NotContains(t, x.read(gorse), "Farnesol") // left empty: taken out
	})
	t.Run("as text, with the line ends of the file", func(t *testing.T) {
		x := begin(t, true)
		crlf := strings.ReplaceAll(x.read(file), "\n", "\r\n")
		require.NoError(t, os.WriteFile(filepath.Join(x.dir, file), []byte(crlf), 0o644))
		x.get("/text/" + file)
		typed := strings.Replace(x.read(file), "amount: 0.9}", "amount: 0.9", 1)
		w := x.post("/text/"+file, "base", x.base(file), "text", typed)
		require.Equal(t, http.StatusSeeOther, w.Code)
		require.Equal(t, typed, x.read(file))
		page := x.get("/text/" + file).Body.String()
		x.holds(page, "Unreadable")
		x.holds(x.get("/today").Body.String(), "1 file unreadable")
	})
	t.Run("read only", func(t *testing.T) {
		x := begin(t, true)
		x.site.ReadOnly = true
		before := x.tree()
		require.Equal(t, http.StatusForbidden, x.post("/product/heath-wash/formula", "base", x.base(file), amount, "1").Code)
		require.Equal(t, http.StatusForbidden, x.post("/undo").Code)
		require.Equal(t, before, x.tree())
	})
}

func TestUpload(t *testing.T) {
	x := begin(t, true)
	sheet := "ingredients/water.yaml"
	send := func(name, kind, base string, data []byte) *httptest.ResponseRecorder {
		var b bytes.Buffer
		w := multipart.NewWriter(&b)
		_ = w.WriteField("base", base)
		_ = w.WriteField("kind", kind)
		_ = w.WriteField("dated", "2026-03-01")
		f, err := w.CreateFormFile("paper", name)
		require.NoError(t, err)
		_, _ = f.Write(data)
		require.NoError(t, w.Close())
		return x.do("POST", "/papers/water", &b, w.FormDataContentType())
	}
	pdf := []byte("%PDF-1.7\nnothing")
	w := send("../../Sheet of Water.PDF", "sds", x.base(sheet), pdf)
	require.Equal(t, http.StatusSeeOther, w.Code)
	require.Equal(t, string(pdf), x.read("evidence/water-sds.pdf"))
	require.Contains(t, x.read(sheet), "{kind: sds, file: evidence/water-sds.pdf, dated: 2026-03-01}")
	w = x.get("/paper/evidence/water-sds.pdf")
	require.Equal(t, "application/pdf", w.Header().Get("Content-Type"))
	require.Contains(t, w.Header().Get("Content-Security-Policy"), "sandbox")
	before := x.tree()
	for _, c := range []struct {
		name, kind string
		data       []byte
		want       int
	}{
		{"a.html", "sds", []byte("<html>"), http.StatusUnsupportedMediaType},
		{"a.pdf", "sds", []byte("<html><script>"), http.StatusUnsupportedMediaType},
		{"a.txt", "sds", []byte("<html><script>alert(1)"), http.StatusUnsupportedMediaType},
		{"a.exe", "sds", pdf, http.StatusUnsupportedMediaType},
		{"a.pdf", "unheard-of", pdf, http.StatusUnprocessableEntity},
		{"a.pdf", "sds", bytes.Repeat([]byte("x"), gate.MaxUpload+1), http.StatusRequestEntityTooLarge},
	} {
		require.Equal(t, c.want, send(c.name, c.kind, x.base(sheet), c.data).Code, c.name)
	}
	require.Equal(t, before, x.tree())
	x.post("/undo")
	require.NoFileExists(t, filepath.Join(x.dir, "evidence/water-sds.pdf"))
}

func TestFirst(t *testing.T) {
	t.Run("a new workshop", func(t *testing.T) {
		x := begin(t, false)
		x.holds(x.get("/").Body.String(), "Where shall we work?")
		require.Equal(t, "/", x.get("/today").Header().Get("Location"))
		dir := filepath.Join(x.dir, "mine")
		w := x.post("/first/new", "name", "Hedge & Pot: makers", "address", "Lane 1\r\nNowhere", "country", "GB", "gb", "1", "eu", "1", "division", "0.1", "folder", dir)
		require.Equal(t, http.StatusSeeOther, w.Code)
		text, err := os.ReadFile(filepath.Join(dir, "workshop.yaml"))
		require.NoError(t, err)
		require.Contains(t, string(text), "Hedge & Pot: makers")
		require.Contains(t, string(text), "address: [Lane 1, Nowhere]")
		require.Contains(t, string(text), "# How these files are written")
		page := x.get("/today")
		require.Equal(t, http.StatusOK, page.Code)
		x.lacks(page.Body.String(), "unreadable")
		// from here to a first formula, by pages alone
		require.Equal(t, "/material/spring-water", x.post("/materials/new", "name", "Spring water", "supplier", "The well", "kind", "inci", "inci", "Aqua", "pct", "100").Header().Get("Location"))
		require.Equal(t, "/product/plain-gel/formula", x.post("/products/new", "name", "Plain gel", "type", "shower-gel", "for", "adults", "net", "100", "unit", "ml", "first", "Spring water").Header().Get("Location"))
		require.Equal(t, http.StatusOK, x.get("/product/plain-gel/formula").Code)
		x.lacks(x.get("/today").Body.String(), "unreadable")
	})
	t.Run("the folder list names folders only, and is gone once a workshop is open", func(t *testing.T) {
		x := begin(t, false)
		page := x.get("/first/folders?at=" + url.QueryEscape(x.dir)).Body.String()
		x.holds(page, "ingredients")
		x.lacks(page, "workshop.yaml")
		x.lacks(page, "README")
		require.Equal(t, http.StatusSeeOther, x.post("/first/open", "dir", x.dir).Code)
		require.Equal(t, http.StatusNotFound, x.get("/first/folders?at=/").Code)
		require.Equal(t, http.StatusNotFound, x.post("/first/open", "dir", "/").Code)
		require.Equal(t, "/today", x.get("/").Header().Get("Location"))
	})
	t.Run("a folder without a workshop is not opened", func(t *testing.T) {
		x := begin(t, false)
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/first/open", "dir", filepath.Join(x.dir, "products")).Code)
		require.Equal(t, http.StatusUnprocessableEntity, x.post("/first/open", "dir", "../x").Code)
	})
}

func TestScale(t *testing.T) {
	x := begin(t, true)
	w := x.post("/scale", "what", "heath-wash/scrub", "size", "3 kg")
	require.Equal(t, "/scale/HW26-004", w.Header().Get("Location"))
	const file = "batches/HW26-004.yaml"
	line := func(i, lot, grams string, more ...string) *httptest.ResponseRecorder {
		return x.post("/scale/HW26-004", append([]string{"base", x.base(file), "index", i, "lot", lot, "grams", grams}, more...)...)
	}
	require.Equal(t, http.StatusSeeOther, line("0", "W-1", "1391,2").Code)
	require.Contains(t, x.read(file), "planned_g: 1391.4, weighed_g: 1391.2, lot: W-1, best_before: }")
	before := x.read(file)
	for what, w := range map[string]*httptest.ResponseRecorder{
		"off its plan":    line("8", "RM-0109", "30"),
		"is on record as": line("8", "RM-0121", "25.7"),
		"expired on":      line("1", "RM-9", "114.3", "until", "2026-01-01"),
		"is a figure in":  line("1", "RM-9", "a lot"),
		"Which lot it is": line("1", "", "114.3"),
		"is written like": line("1", "RM-9", "114.3", "until", "soon"),
	} {
		x.holds(w.Body.String(), what)
	}
	require.Equal(t, before, x.read(file))
	require.Equal(t, http.StatusSeeOther, line("8", "RM-0109", "30", "reason", "hand slipped").Code)
	require.Contains(t, x.read(file), "weighed_g: 30, lot: RM-0109, best_before: 2027-11-30, reason: hand slipped}")
	t.Run("another browser may look on, or take over", func(t *testing.T) {
		mine := x.cookies
		x.cookies = map[string]string{}
		x.holds(x.get("/scale/HW26-004").Body.String(), "weighed elsewhere")
		require.Equal(t, http.StatusSeeOther, line("1", "RM-0114", "114.3").Code)
		require.NotContains(t, x.read(file), "RM-0114")
		x.post("/scale/HW26-004/take")
		line("1", "RM-0114", "114.3")
		require.Contains(t, x.read(file), "RM-0114")
		x.cookies = mine
		x.holds(x.get("/scale/HW26-004").Body.String(), "weighed elsewhere")
	})
}

func TestTrial(t *testing.T) {
	x := begin(t, true)
	const file, page = "products/heath-wash.yaml", "/product/heath-wash/trial"
	before := x.tree()
	hash := func() string {
		return regexp.MustCompile(`name="base" value="([0-9a-f]+)"`).FindStringSubmatch(x.get(page).Body.String())[1]
	}
	x.holds(x.get(page).Body.String(), "Nothing yet")
	w := x.post(page, "base", hash(), "set:/formula/phases/2/lines/1/amount", "1.3", "text:/formula/phases/0/name", "Start")
	require.Equal(t, http.StatusSeeOther, w.Code)
	require.Equal(t, before, x.tree())
	body := x.get(page).Body.String()
	for _, want := range []string{"Keep as revision 3", "Strandkeeper P, preservative blend, written", "Phenoxyethanol, of 1 %", "2 stop"} {
		x.holds(body, want)
	}
	require.Equal(t, http.StatusSeeOther, x.post(page+"/back", "base", hash(), "path", "/formula/phases/0/name").Code)
	x.lacks(x.get(page).Body.String(), "Start")
	require.Equal(t, before, x.tree())
	require.Equal(t, http.StatusSeeOther, x.post(page+"/keep").Code)
	require.Contains(t, x.read(file), "revision: 3\n")
	require.Contains(t, x.read(file), "keeper-pe, amount: 1.3}")
	x.holds(x.get(page).Body.String(), "Nothing yet")
	x.post("/undo")
	require.Equal(t, before, x.tree())
	x.post(page, "base", hash(), "set:/formula/phases/2/lines/1/amount", "1.2")
	x.post(page + "/drop")
	x.holds(x.get(page).Body.String(), "Nothing yet")
	require.Equal(t, before, x.tree())
}
