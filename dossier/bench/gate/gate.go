package gate

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Limits of what a browser may send, in bytes.
const (
	maxForm   = 2 << 20  // a form of a page
	maxUpload = 64 << 20 // papers dropped in, together
	maxHeader = 64 << 10
)

// How long a code for the browser's first request is good.
const codeLife = 2 * time.Minute

// Gate lets in who has the token of this start.
type Gate struct {
	hosts  []string // names with port that lead here
	cookie string
	token  string
	now    func() time.Time
	cross  *http.CrossOriginProtection

	// Refused shows a page in place of the one that is refused; why is a short code:
	// host, origin, token, size, method, reading; code and place at a shared address.
	Refused func(w http.ResponseWriter, r *http.Request, status int, why string)
	// ReadOnly lets every browser of this computer in to read, and refuses every other method.
	// A page elsewhere still reads nothing: it has another name, and its browser keeps the
	// answer from it.
	ReadOnly bool
	// UploadPath says which paths may be sent up to maxUpload.
	UploadPath func(path string) bool

	// Ask shows the page of a shared address that asks for the code; again: it was wrong.
	Ask func(w http.ResponseWriter, again bool)

	only func(path string) bool // of a shared address: the paths that it leads to
	door *door                  // of a shared address

	mu    sync.Mutex
	codes map[string]time.Time
}

// New returns the gate of a server at a loopback address and port.
func New(port int, now func() time.Time) *Gate {
	g := &Gate{token: secret(), now: now, cross: http.NewCrossOriginProtection(), codes: map[string]time.Time{},
		UploadPath: func(string) bool { return false }}
	for _, name := range []string{"127.0.0.1", "localhost"} {
		g.hosts = append(g.hosts, net.JoinHostPort(name, strconv.Itoa(port)))
	}
	g.cookie = "gallipot-" + strconv.Itoa(port) // cookies know no ports
	g.Refused = func(w http.ResponseWriter, _ *http.Request, status int,
		why string) {
		http.Error(w, why, status)
	}
	g.Ask = func(w http.ResponseWriter, again bool) {
		_, _ = w.Write([]byte(map[bool]string{true: "again", false: "code"}[again]))
	}
	return g
}

// secret returns 32 random bytes as text.
func secret() string {
	b := make([]byte, 32)
	_, _ = rand.Read(b) // never fails
	return base64.RawURLEncoding.EncodeToString(b)
}

// Token returns the token of this start: whoever has it is let in until the program ends.
// It may be shown to the person who started the program and kept where only that person
// can read.
func (g *Gate) Token() string { return g.token }

// Code returns a code that lets one browser in, once, within two minutes: it may stand
// in the command line of a browser, which other users of the computer can see.
func (g *Gate) Code() string {
	g.mu.Lock()
	defer g.mu.Unlock()
	for c, until := range g.codes {
		if g.now().After(until) {
			delete(g.codes, c)
		}
	}
	c := secret()
	g.codes[c] = g.now().Add(codeLife)
	return c
}

// EnterPath is where a browser shows its token or code.
const EnterPath = "/enter"

// Handler puts the gate before the pages.
func (g *Gate) Handler(pages http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		headers(w.Header())
		switch {
		case !g.ours(r.Host):
			g.Refused(w, r, http.StatusForbidden, "host")
		case g.cross.Check(r) != nil || !g.ownOrigin(r):
			g.Refused(w, r, http.StatusForbidden, "origin")
		case g.door != nil:
			g.shared(w, r, pages)
		case g.ReadOnly && r.Method != http.MethodGet && r.Method != http.MethodHead:
			w.Header().Set("Allow", "GET, HEAD")
			g.Refused(w, r, http.StatusMethodNotAllowed, "reading")
		case g.ReadOnly:
			g.limited(w, r, pages)
		case r.URL.Path == EnterPath && r.Method == http.MethodGet:
			g.enter(w, r)
		case !g.has(r):
			g.Refused(w, r, http.StatusForbidden, "token")
		case r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodPost:
			w.Header().Set("Allow", "GET, HEAD, POST")
			g.Refused(w, r, http.StatusMethodNotAllowed, "method")
		default:
			g.limited(w, r, pages)
		}
	})
}

func (g *Gate) limited(w http.ResponseWriter, r *http.Request, pages http.Handler) {
	most := int64(maxForm)
	if g.UploadPath(r.URL.Path) {
		most = maxUpload
	}
	if r.ContentLength > most {
		w.Header().Set("Connection", "close")
		g.Refused(w, r, http.StatusRequestEntityTooLarge, "size")
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, most)
	pages.ServeHTTP(w, r)
}

// ours says whether a request was meant for this program: name and port.
func (g *Gate) ours(host string) bool {
	for _, h := range g.hosts {
		if strings.EqualFold(host, h) {
			return true
		}
	}
	return false
}

// ownOrigin refuses an origin of another name or port, also where the browser sends no
// word about the site it comes from.
func (g *Gate) ownOrigin(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if origin == "" || r.Method == http.MethodGet || r.Method == http.MethodHead {
		return true
	}
	host, ok := strings.CutPrefix(origin, "http://")
	return ok && g.ours(host)
}

// has says whether the request carries the token.
func (g *Gate) has(r *http.Request) bool {
	for _, c := range r.CookiesNamed(g.cookie) {
		if same(c.Value, g.token) {
			return true
		}
	}
	return same(r.Header.Get(TokenHeader), g.token)
}

// TokenHeader carries the token of a second start of the program, which is no browser.
const TokenHeader = "X-Gallipot-Token"

func same(a, b string) bool {
	return len(a) == len(b) && subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1
}

// enter gives a browser its cookie and sends it to the first page. It follows no address
// that it is given.
func (g *Gate) enter(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	if !same(q.Get("token"), g.token) && !g.spend(q.Get("code")) {
		g.Refused(w, r, http.StatusForbidden, "token")
		return
	}
	// Lax, since a Strict cookie is not sent after the way here from a file or a mail
	http.SetCookie(w, &http.Cookie{Name: g.cookie, Value: g.token, Path: "/", HttpOnly: true,
		SameSite: http.SameSiteLaxMode})
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

func (g *Gate) spend(code string) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	for c, until := range g.codes {
		if same(c, code) {
			delete(g.codes, c)
			return !g.now().After(until)
		}
	}
	return false
}

// headers sets what every answer carries.
func headers(h http.Header) {
	h.Set("Content-Security-Policy",
		"default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; "+
			"img-src 'self' data:; font-src 'self'; frame-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=(), payment=()")
	h.Set("Cache-Control", "no-store")
}

// FileHeaders sets what the answer with a file carries: a PDF may stand in a frame of our
// own pages, everything else is saved. Nothing of the maker's is ever shown as a page.
func FileHeaders(h http.Header, name, mime string) {
	how := "attachment"
	switch mime {
	case "application/pdf", "image/png", "image/jpeg", "image/svg+xml":
		how = "inline"
		h.Set("X-Frame-Options", "SAMEORIGIN")
		h.Set("Content-Security-Policy",
			"default-src 'none'; style-src 'unsafe-inline'; sandbox; frame-ancestors 'self'")
	default:
		h.Set("Content-Security-Policy", "default-src 'none'; sandbox; frame-ancestors 'none'")
	}
	h.Set("Content-Type", mime)
	h.Set("Content-Disposition", how+`; filename="`+plain(name)+`"`)
}

// plain keeps of a file name what is the same for every browser.
func plain(name string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' || strings.ContainsRune(`"\/%`, r) {
			return '-'
		}
		return r
	}, name)
}
