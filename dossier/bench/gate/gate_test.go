package gate

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func pages() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, err := io.Copy(io.Discard, r.Body); err != nil {
			http.Error(w, "too much", http.StatusRequestEntityTooLarge)
			return
		}
		fmt.Fprint(w, "page")
	})
}

func TestHandler(t *testing.T) {
	g := New(4690, time.Now)
	g.UploadPath = func(p string) bool { return p == "/papers/drop" }
	h := g.Handler(pages())
	ask := func(method, path, host string, edit func(*http.Request)) int {
		r := httptest.NewRequest(method, "http://127.0.0.1:4690"+path, nil)
		r.Host = host
		if edit != nil {
			edit(r)
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		require.Contains(t, w.Header().Get("Content-Security-Policy"), "default-src 'none'; script-src 'self';")
		require.NotContains(t, w.Header().Get("Content-Security-Policy"), "unsafe")
		require.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"))
		require.Empty(t, w.Header().Get("Access-Control-Allow-Origin"))
		return w.Code
	}
	const host = "127.0.0.1:4690"
	cookie := func(r *http.Request) { r.AddCookie(&http.Cookie{Name: "gallipot-4690", Value: g.Token()}) }
	with := func(k, v string) func(*http.Request) {
		return func(r *http.Request) { cookie(r); r.Header.Set(k, v) }
	}
	for name, c := range map[string]struct {
		method, path, host string
		edit               func(*http.Request)
		want               int
	}{
		"with the token": {"GET", "/", host, cookie, 200},
		"localhost":      {"GET", "/", "LocalHost:4690", cookie, 200},
		"token of a second start": {"POST", "/code", host,
			func(r *http.Request) { r.Header.Set(TokenHeader, g.Token()) }, 200},
		"no token":          {"GET", "/", host, nil, 403},
		"no token, no page": {"GET", "/style.css", host, nil, 403},
		"no token, change":  {"POST", "/", host, nil, 403},
		"wrong token": {"GET", "/", host,
			func(r *http.Request) { r.AddCookie(&http.Cookie{Name: "gallipot-4690", Value: "x"}) }, 403},
		"cookie of another port": {"GET", "/", host,
			func(r *http.Request) { r.AddCookie(&http.Cookie{Name: "gallipot-1", Value: g.Token()}) }, 403},
		"rebinding":                   {"GET", "/", "evil.example:4690", cookie, 403},
		"rebinding, change":           {"POST", "/", "evil.example:4690", with("Origin", "http://evil.example:4690"), 403},
		"other port":                  {"GET", "/", "127.0.0.1:80", cookie, 403},
		"no port":                     {"GET", "/", "127.0.0.1", cookie, 403},
		"name that begins right":      {"GET", "/", "127.0.0.1:4690.evil.example", cookie, 403},
		"no host":                     {"GET", "/", "", cookie, 403},
		"odd host":                    {"GET", "/", "[::1", cookie, 403},
		"other site":                  {"POST", "/", host, with("Sec-Fetch-Site", "cross-site"), 403},
		"other port of this computer": {"POST", "/", host, with("Sec-Fetch-Site", "same-site"), 403},
		"other origin":                {"POST", "/", host, with("Origin", "http://evil.example"), 403},
		"origin null":                 {"POST", "/", host, with("Origin", "null"), 403},
		"origin of another port":      {"POST", "/", host, with("Origin", "http://127.0.0.1:4691"), 403},
		"origin with other scheme":    {"POST", "/", host, with("Origin", "https://127.0.0.1:4690"), 403},
		"odd origin":                  {"POST", "/", host, with("Origin", "http://[::1"), 403},
		"own origin":                  {"POST", "/", host, with("Origin", "http://127.0.0.1:4690"), 200},
		"method that is not offered":  {"PUT", "/", host, cookie, 405},
		"delete":                      {"DELETE", "/", host, cookie, 405},
		"too large for a form": {"POST", "/x", host,
			func(r *http.Request) { cookie(r); r.ContentLength = maxForm + 1 }, 413},
		"papers may be larger": {"POST", "/papers/drop", host,
			func(r *http.Request) { cookie(r); r.ContentLength = maxForm + 1 }, 200},
		"papers too large": {"POST", "/papers/drop", host,
			func(r *http.Request) { cookie(r); r.ContentLength = maxUpload + 1 }, 413},
		"larger than it says": {"POST", "/x", host,
			func(r *http.Request) { cookie(r); r.ContentLength = -1; r.Body = io.NopCloser(endless(maxForm + 9)) }, 413},
		"entering with the token":     {"GET", "/enter?token=" + g.Token(), host, nil, 303},
		"entering with a code":        {"GET", "/enter?code=" + g.Code(), host, nil, 303},
		"entering with nothing":       {"GET", "/enter?token=&code=", host, nil, 403},
		"entering under another name": {"GET", "/enter?token=" + g.Token(), "evil.example:4690", nil, 403},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, c.want, ask(c.method, c.path, c.host, c.edit)) })
	}
	t.Run("a code is good once", func(t *testing.T) {
		c := g.Code()
		require.Equal(t, 303, ask("GET", "/enter?code="+c, host, nil))
		require.Equal(t, 403, ask("GET", "/enter?code="+c, host, nil))
	})
	t.Run("a code is good for two minutes", func(t *testing.T) {
		day := time.Now()
		old := New(4690, func() time.Time { return day })
		c := old.Code()
		day = day.Add(codeLife + time.Second)
		require.False(t, old.spend(c))
	})
	t.Run("entering leads to the first page alone", func(t *testing.T) {
		w := httptest.NewRecorder()
		r := httptest.NewRequest("GET", "http://127.0.0.1:4690/enter?next=http://evil.example&token="+g.Token(), nil)
		h.ServeHTTP(w, r)
		require.Equal(t, "/", w.Header().Get("Location"))
		require.Contains(t, w.Header().Get("Set-Cookie"), "HttpOnly; SameSite=Lax")
	})
}

// For reading alone no token is needed; name and port are, and nothing is sent.
func TestHandlerReadOnly(t *testing.T) {
	g := New(4690, time.Now)
	g.ReadOnly = true
	h := g.Handler(pages())
	for name, c := range map[string]struct {
		method, host, key, value string
		want                     int
	}{
		"without a token":          {"GET", "127.0.0.1:4690", "", "", 200},
		"head":                     {"HEAD", "localhost:4690", "", "", 200},
		"rebinding":                {"GET", "evil.example:4690", "", "", 403},
		"name that begins right":   {"GET", "127.0.0.1.evil.example:4690", "", "", 403},
		"another computer's name":  {"GET", "192.168.1.7:4690", "", "", 403},
		"no host":                  {"GET", "", "", "", 403},
		"change":                   {"POST", "127.0.0.1:4690", "", "", 405},
		"change with the token":    {"POST", "127.0.0.1:4690", TokenHeader, g.Token(), 405},
		"change from another site": {"POST", "127.0.0.1:4690", "Sec-Fetch-Site", "cross-site", 403},
		"put":                      {"PUT", "127.0.0.1:4690", "", "", 405},
		"delete":                   {"DELETE", "127.0.0.1:4690", "", "", 405},
		"options":                  {"OPTIONS", "127.0.0.1:4690", "", "", 405},
	} {
		t.Run(name, func(t *testing.T) {
			r := httptest.NewRequest(c.method, "http://127.0.0.1:4690/", nil)
			r.Host = c.host
			if c.key != "" {
				r.Header.Set(c.key, c.value)
			}
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			require.Equal(t, c.want, w.Code)
			require.Equal(t, "no-store", w.Header().Get("Cache-Control"))
			require.Equal(t, "same-origin", w.Header().Get("Cross-Origin-Resource-Policy"))
			require.Empty(t, w.Header().Get("Access-Control-Allow-Origin"))
		})
	}
}

func endless(n int) io.Reader { return strings.NewReader(strings.Repeat("x", n)) }

func TestFileHeaders(t *testing.T) {
	for mime, how := range map[string]string{"application/pdf": "inline", "text/html": "attachment",
		"text/plain": "attachment"} {
		h := http.Header{}
		headers(h)
		FileHeaders(h, "a\"\r\nb/ü.pdf", mime)
		require.Equal(t, how+`; filename="a---b--.pdf"`, h.Get("Content-Disposition"))
		require.Contains(t, h.Get("Content-Security-Policy"), "sandbox")
	}
}

// Clients that stop sending or reading hold up nobody. The times are so long that none is let go
// meanwhile.
func TestServeStalledClients(t *testing.T) {
	const long = time.Minute
	s := serve(t, times{Header: long, Read: long, Write: long, Idle: long})
	s.stall(t)
	var wg sync.WaitGroup
	answers := make(chan error, 200)
	for range 200 {
		wg.Go(func() {
			r, _ := http.NewRequest("GET", "http://"+s.host+"/", nil)
			r.AddCookie(&http.Cookie{Name: s.gate.cookie, Value: s.gate.Token()})
			resp, err := http.DefaultClient.Do(r)
			if err == nil {
				_, err = io.Copy(io.Discard, resp.Body)
				_ = resp.Body.Close()
			}
			answers <- err
		})
	}
	wg.Wait()
	for range 200 {
		require.NoError(t, <-answers)
	}
}

// Clients that stop are let go when their time is over, whatever they stopped at.
func TestServeLetsGo(t *testing.T) {
	const short = 500 * time.Millisecond
	s := serve(t, times{Header: short, Read: short, Write: short, Idle: short})
	clients := s.stall(t)
	for _, how := range []string{"never ends its head", "never ends its body"} {
		for _, c := range clients[how] {
			require.NoError(t, c.SetReadDeadline(time.Now().Add(time.Minute)))
			_, err := io.Copy(io.Discard, c)
			require.NotErrorIs(t, err, os.ErrDeadlineExceeded, how)
		}
	}
	select { // one is enough: a busy machine may let go of the others before their head is read
	case err := <-s.written:
		require.Error(t, err)
	case <-time.After(20 * time.Second):
		require.Fail(t, "one that never reads is written to for ever")
	}
	s.end()
	require.NoError(t, <-s.served)
}

// server is one that answers, until its end.
type server struct {
	gate    *Gate
	host    string
	written chan error // what came of writing to those that never read
	end     func()
	served  chan error
}

func serve(t *testing.T, allowed times) server {
	t.Helper()
	l, port, err := Listen(0)
	require.NoError(t, err)
	g := New(port, time.Now)
	big := strings.Repeat("x", 8<<20) // more than the system keeps for a client
	written := make(chan error, stalled)
	h := g.Handler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/big" {
			_, err := fmt.Fprint(w, big)
			written <- err
			return
		}
		_, _ = io.Copy(io.Discard, r.Body)
		fmt.Fprint(w, "page")
	}))
	stop, end := context.WithCancel(context.Background())
	t.Cleanup(end)
	s := server{gate: g, host: l.Addr().String(), written: written, end: end, served: make(chan error, 1)}
	go func() { s.served <- Serve(stop, l, h, allowed) }()
	return s
}

const stalled = 20

// stall connects twenty clients that stop in each of three ways.
func (s server) stall(t *testing.T) map[string][]net.Conn {
	t.Helper()
	clients := map[string][]net.Conn{}
	cookie := "\r\nCookie: " + s.gate.cookie + "=" + s.gate.Token() + "\r\n"
	for how, text := range map[string]string{
		"never reads":         "GET /big HTTP/1.1\r\nHost: " + s.host + cookie + "\r\n",
		"never ends its head": "GET / HTTP/1.1\r\nHost: ",
		"never ends its body": "POST / HTTP/1.1\r\nHost: " + s.host + cookie + "Content-Length: 100\r\n\r\nx",
	} {
		for range stalled {
			c, err := net.Dial("tcp", s.host)
			require.NoError(t, err)
			t.Cleanup(func() { _ = c.Close() })
			_, err = c.Write([]byte(text))
			require.NoError(t, err)
			clients[how] = append(clients[how], c)
		}
	}
	return clients
}
