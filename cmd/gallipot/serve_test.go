package main

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/store"
	"gallipot/testdata"
)

// demoSite writes the demo into a folder and returns its pages on a fixed day.
func demoSite(t *testing.T) (dir string, s *site) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "demo")
	tree, err := fs.Sub(testdata.Demo, "demo")
	require.NoError(t, err)
	require.NoError(t, store.WriteTree(dir, tree))
	return dir, newSite(dir, func() (assess.Options, error) {
		return assess.Options{Date: 20261125, Law: table.Builtin()}, nil
	})
}

// got asks for a page as a browser on this computer does.
func got(s *site, address string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodGet, address, nil)
	r.Host = "127.0.0.1:4680"
	to := httptest.NewRecorder()
	s.ServeHTTP(to, r)
	return to
}

// links lists where a page leads to, its forms filled in with each thing there
// is to choose, and fails where it is no page or needs anything from elsewhere.
func links(t *testing.T, address, page string) (to []string) {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(page))
	dec.Entity = xml.HTMLEntity
	ids := map[string]bool{}
	action, name := "", ""
	var inPage []string
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err, address)
		e, ok := tok.(xml.StartElement)
		if !ok {
			continue
		}
		attr := map[string]string{}
		for _, a := range e.Attr {
			attr[a.Name.Local] = a.Value
		}
		require.NotContains(t, []string{"script", "iframe", "object", "embed", "link", "img"}, e.Name.Local, address)
		require.Empty(t, attr["src"], address)
		if id := attr["id"]; id != "" {
			require.False(t, ids[id], "%s: id %q is there twice", address, id)
			ids[id] = true
		}
		switch e.Name.Local {
		case "a":
			href := attr["href"]
			if anchor, ok := strings.CutPrefix(href, "#"); ok {
				inPage = append(inPage, anchor)
				continue
			}
			require.True(t, strings.HasPrefix(href, "/") && !strings.HasPrefix(href, "//"), "%s leads to %s", address, href)
			to = append(to, href)
		case "form":
			action = attr["action"]
		case "select":
			name = attr["name"]
		case "option":
			if attr["value"] != "" {
				to = append(to, action+"?"+url.Values{name: {attr["value"]}}.Encode())
			}
		}
	}
	for _, anchor := range inPage {
		require.True(t, ids[anchor], "%s: link to %q leads nowhere", address, anchor)
	}
	return to
}

// TestEveryPageCanBeReached follows every link and every choice from the first
// page on: each gives a whole page or a file, and every kind of page is among them.
// Nothing in the folder changes.
func TestEveryPageCanBeReached(t *testing.T) {
	dir, s := demoSite(t)
	before := filesBelow(t, dir)
	seen := map[string]bool{}
	patterns := map[string]int{}
	queue := []string{"/", "/trace?of=RM-0042", "/law?of=citral", "/products/heath-wash/weigh?variant=duo&batch=2kg&loss=3"}
	for len(queue) > 0 {
		address := queue[0]
		queue = queue[1:]
		if seen[address] {
			continue
		}
		seen[address] = true
		if strings.Contains(address, "/pack.") && !strings.Contains(address, "lip-balm") {
			continue // one pack is enough
		}
		_, pattern := s.routes.Handler(httptest.NewRequest(http.MethodGet, address, nil))
		if patterns[pattern]++; patterns[pattern] > 2 && !strings.Contains(address, "lip-balm") && !testdata.Long() {
			continue // those of one product, and two of each kind; all at full length
		}
		answer := got(s, address)
		require.Equal(t, http.StatusOK, answer.Code, "%s: %s", address, answer.Body.String())
		body := answer.Body.Bytes()
		switch kind, _, _ := strings.Cut(answer.Header().Get("Content-Type"), ";"); kind {
		case "text/html":
			assert.Contains(t, string(body), "a qualified safety assessor decides", address)
			assert.Contains(t, string(body), "Law of 2026-11-25.", address)
			queue = append(queue, links(t, address, string(body))...)
		case "application/pdf":
			assert.True(t, bytes.HasPrefix(body, []byte("%PDF-")), address)
		case "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet":
			assert.True(t, bytes.HasPrefix(body, []byte("PK")), address)
		case "text/csv", "text/calendar", "application/json":
			assert.NotEmpty(t, body, address)
		default:
			t.Errorf("%s is of kind %q", address, kind)
		}
	}
	for path := range workshopPages {
		assert.Positive(t, patterns["GET "+path], "nothing leads to %s", path)
	}
	for path := range productPages {
		assert.Positive(t, patterns["GET "+productPath+path], "nothing leads to %s", path)
	}
	assert.Equal(t, before, filesBelow(t, dir))
}

// TestPagesSayWhatTheVerbsSay compares pages and files with what the command line
// prints and writes.
func TestPagesSayWhatTheVerbsSay(t *testing.T) {
	dir, s := demoSite(t)
	verb := func(args ...string) string {
		var out, errout bytes.Buffer
		run(append(args, "--workshop", dir, "--date", "2026-11-25"), nil, &out, &errout, 20261125)
		return out.String()
	}
	assert.Equal(t, verb("figures", "heath-wash/duo", "--json"), got(s, "/products/heath-wash/figures.json?variant=duo").Body.String())
	assert.Equal(t, verb("label", "heath-wash", "--csv"), got(s, "/products/heath-wash/labels.csv").Body.String())
	assert.Equal(t, verb("trace", "HW26-003", "--csv"), got(s, "/trace.csv?of=HW26-003").Body.String())
	assert.Equal(t, verb("stability", "--ics"), got(s, "/stability.ics").Body.String())
	verb("pack", "lip-balm")
	for _, ending := range []string{"pdf", "xlsx"} {
		written, err := os.ReadFile(filepath.Join(dir, "out", "lip-balm-pack."+ending))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(written, got(s, "/products/lip-balm/pack."+ending).Body.Bytes()), ending)
	}

	first, check := got(s, "/").Body.String(), verb("check")
	assert.Contains(t, first, "Heath Wash")
	stops := 0
	for _, p := range []string{"body-cream", "heath-wash", "lip-balm", "salt-scrub"} {
		page := got(s, "/products/"+p).Body.String()
		stops += strings.Count(page, `<article class="stop">`)
	}
	// none of the stops concerns two products, so that each is on one page
	assert.Positive(t, stops)
	assert.Equal(t, strings.Count(check, ": stop["), stops)
	assert.Equal(t, stops, strings.Count(got(s, "/check").Body.String(), `<article class="stop">`))
	// the line with its carets, as typed: an ampersand and the like are escaped
	assert.Contains(t, got(s, "/products/body-cream").Body.String(), "<pre>        - {ingredient: keeper-pe, amount: 1.05}\n                       ^^^^^^^^^</pre>")
}

// TestPagesForThisComputerAlone: a page elsewhere can neither read nor change
// anything, also not under a name that was made to lead here.
func TestPagesForThisComputerAlone(t *testing.T) {
	_, s := demoSite(t)
	for host, want := range map[string]int{
		"127.0.0.1:4680": 200, "localhost:4680": 200, "localhost": 200,
		"evil.example": 403, "evil.example:4680": 403, "127.0.0.1.evil.example": 403, "192.168.1.7:4680": 403, "": 403,
	} {
		r := httptest.NewRequest(http.MethodGet, "/law", nil)
		r.Host = host
		to := httptest.NewRecorder()
		s.ServeHTTP(to, r)
		assert.Equal(t, want, to.Code, "%q", host)
		assert.Contains(t, to.Header().Get("Content-Security-Policy"), "default-src 'none'", host)
		assert.Equal(t, "no-store", to.Header().Get("Cache-Control"), host)
		assert.Empty(t, to.Header().Get("Access-Control-Allow-Origin"), host)
	}
	for _, method := range []string{http.MethodPost, http.MethodPut, http.MethodDelete, http.MethodOptions} {
		r := httptest.NewRequest(method, "/", nil)
		r.Host = "localhost:4680"
		to := httptest.NewRecorder()
		s.ServeHTTP(to, r)
		assert.Equal(t, http.StatusMethodNotAllowed, to.Code, method)
	}
}

// TestPagesThatAreNotThere answers in the words of the command line, and shows
// nothing that was typed as markup.
func TestPagesThatAreNotThere(t *testing.T) {
	_, s := demoSite(t)
	for address, words := range map[string]string{
		"/nope":                "there is no page /nope",
		"/products/heath-wish": "did you mean heath-wash?",
		"/products/heath-wash/figures?variant=heathr":      "did you mean heather?",
		"/products/heath-wash/nope":                        "there is no page",
		"/batches?code=HW26-004":                           "did you mean HW26-003?",
		"/trace?of=RM-0043":                                "did you mean",
		"/law?of=citrall":                                  "did you mean",
		"/letters/laboratori":                              "did you mean laboratory?",
		"/products/heath-wash/weigh.pdf":                   "needs the mass of the batch",
		"/products/heath-wash/weigh?batch=2zz&variant=duo": "2zz",
		"/products/%3Cscript%3Ealert(1)%3C%2Fscript%3E":    "&lt;script&gt;",
		"/law?of=%3Cscript%3E":                             "&lt;script&gt;",
		"/trace?of=%22%3E%3Cscript%3E":                     "&lt;script&gt;",
		"/products/..%2F..%2Fetc%2Fpasswd":                 "no product is called",
	} {
		answer := got(s, address)
		page := answer.Body.String()
		assert.Equal(t, http.StatusNotFound, answer.Code, address)
		assert.Contains(t, page, words, address)
		assert.NotContains(t, page, "<script", address)
		links(t, address, page)
	}
	several := got(s, "/products/heath-wash/weigh?batch=2kg") // of which of its variants?
	assert.Equal(t, http.StatusBadRequest, several.Code)
	assert.Contains(t, several.Body.String(), "heath-wash/duo")
}

// TestPagesOfBrokenFiles: pages that rest on a file which cannot be read say so
// in its place; open points show what can be computed.
func TestPagesOfBrokenFiles(t *testing.T) {
	dir, s := demoSite(t)
	sheet := filepath.Join(dir, "ingredients", "glycerin.yaml")
	kept, err := os.ReadFile(sheet)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(sheet, append([]byte("naem: <b>x</b>\n"), kept...), 0o644))

	for _, address := range []string{"/products/heath-wash/figures", "/products/heath-wash/pack.pdf", "/batches", "/trace", "/letters", "/stability"} {
		answer := got(s, address)
		assert.Equal(t, http.StatusUnprocessableEntity, answer.Code, address)
		assert.Contains(t, answer.Body.String(), "ingredients/glycerin.yaml:1:1", address)
		assert.Contains(t, answer.Body.String(), "naem: &lt;b&gt;x&lt;/b&gt;", address)
		assert.Equal(t, "text/html; charset=utf-8", answer.Header().Get("Content-Type"), address)
	}
	for _, address := range []string{"/", "/check", "/law"} {
		assert.Equal(t, http.StatusOK, got(s, address).Code, address)
	}
	assert.Contains(t, got(s, "/").Body.String(), "not computed until its files can be read")

	// mended in the editor, the next page is right again
	require.NoError(t, os.WriteFile(sheet, kept, 0o644))
	assert.Equal(t, http.StatusOK, got(s, "/products/heath-wash/figures").Code)

	require.NoError(t, os.Remove(filepath.Join(dir, "workshop.yaml")))
	gone := got(s, "/")
	assert.Equal(t, http.StatusInternalServerError, gone.Code)
	assert.Contains(t, gone.Body.String(), "no workshop.yaml")
}

// TestServeBeginsAndEnds runs the server on a port of the system's choice.
func TestServeBeginsAndEnds(t *testing.T) {
	_, s := demoSite(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	stop, end := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- answer(stop, l, s) }()
	answer, err := http.Get("http://" + l.Addr().String() + "/law?of=citral")
	require.NoError(t, err)
	page, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Contains(t, string(page), "Citral")
	end()
	select {
	case err := <-done:
		assert.NoError(t, err)
	case <-time.After(20 * time.Second):
		t.Fatal("it does not end")
	}
}

// TestServeRefusals: what cannot be begun is said as for the other verbs.
func TestServeRefusals(t *testing.T) {
	dir, _ := demoSite(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer l.Close()
	_, taken, err := net.SplitHostPort(l.Addr().String())
	require.NoError(t, err)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"serve", "--workshop", dir, "--port", taken}, "port " + taken + " cannot be used"},
		{[]string{"serve", "--workshop", dir, "--port", "70000"}, "--port 70000 is no port"},
		{[]string{"serve", "--workshop", dir, "--date", "2026-13-01"}, "--date"},
		{[]string{"serve", "--workshop", filepath.Join(dir, "nowhere")}, "gallipot begin"},
		{[]string{"serve", "heath-wash"}, "takes no name"},
	} {
		var out, errout bytes.Buffer
		assert.Equal(t, exitUnreadable, run(c.args, nil, &out, &errout, 20261125), "%v", c.args)
		assert.Contains(t, errout.String(), c.want)
		assert.Empty(t, out.String(), "%v", c.args)
	}
}
