package gate

import (
	"crypto/rand"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"

	"gallipot/ingredients/exact"
)

// door lets in who types the code that the screen of the workbench shows.
type door struct {
	code  string
	wrong int // codes that were wrong since this one was made
}

// signs of a code: none that looks like another.
const signs = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"

// How many wrong codes are taken before another one is made: of 31^8 codes, so many guesses
// each find none.
const mostWrong = 10

func newCode() string {
	var b strings.Builder
	for b.Len() < 9 {
		if b.Len() == 4 {
			b.WriteByte('-')
		}
		one := make([]byte, 1)
		_, _ = rand.Read(one) // never fails
		if i := int(one[0]) % 32; i < len(signs) {
			b.WriteByte(signs[i])
		}
	}
	return b.String()
}

// NewShared returns the gate of an address in the local network. It leads to the pages that
// only names and to no other, has a token of its own, and lets in who types the code.
func NewShared(host string, port int, now func() time.Time, only func(path string) bool) *Gate {
	g := New(port, now)
	g.hosts = []string{net.JoinHostPort(host, strconv.Itoa(port))}
	g.cookie = "gallipot-shared-" + strconv.Itoa(port)
	g.only, g.door = only, &door{code: newCode()}
	return g
}

// DoorCode is the code that the screen shows; another one after several wrong ones.
func (g *Gate) DoorCode() string {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.door.code
}

// shared answers at an address in the local network.
func (g *Gate) shared(w http.ResponseWriter, r *http.Request, pages http.Handler) {
	switch {
	case r.URL.Path == EnterPath && r.Method == http.MethodPost:
		r.Body = http.MaxBytesReader(w, r.Body, 4<<10)
		if !g.knock(r.PostFormValue("code")) {
			g.Ask(w, true)
			return
		}
		http.SetCookie(w, &http.Cookie{Name: g.cookie, Value: g.token, Path: "/", HttpOnly: true,
			SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, "/", http.StatusSeeOther)
	case !g.has(r) && r.Method == http.MethodGet && (r.URL.Path == EnterPath || r.URL.Path == "/"):
		g.Ask(w, false)
	case !g.has(r):
		g.Refused(w, r, http.StatusForbidden, "code")
	case r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodPost:
		w.Header().Set("Allow", "GET, HEAD, POST")
		g.Refused(w, r, http.StatusMethodNotAllowed, "method")
	case !g.only(r.URL.Path):
		g.Refused(w, r, http.StatusNotFound, "place")
	default:
		g.limited(w, r, pages)
	}
}

// knock says whether a code is the one on the screen, in any letter case.
func (g *Gate) knock(code string) bool {
	code = strings.ToUpper(strings.ReplaceAll(strings.ReplaceAll(strings.TrimSpace(code), " ", ""), "-", ""))
	g.mu.Lock()
	defer g.mu.Unlock()
	if same(code, strings.ReplaceAll(g.door.code, "-", "")) {
		g.door.wrong = 0
		return true
	}
	if g.door.wrong++; g.door.wrong >= mostWrong {
		g.door = &door{code: newCode()}
	}
	return false
}

// ListenAt opens a port at an address of this computer in the local network.
//
// Errors: a *exact.ValueError for what is no such address; those of the port.
func ListenAt(address string, port int) (l net.Listener, host string, at int, err error) {
	host = address
	if h, p, err := net.SplitHostPort(address); err == nil {
		if host = h; p != "" {
			if port, err = strconv.Atoi(p); err != nil {
				return nil, "", 0, notLocal(address)
			}
		}
	}
	ip := net.ParseIP(host)
	if ip == nil || ip.IsUnspecified() || !(ip.IsPrivate() || ip.IsLoopback() || ip.IsLinkLocalUnicast()) {
		return nil, "", 0, notLocal(address)
	}
	tcp, err := net.ListenTCP("tcp", &net.TCPAddr{IP: ip, Port: port})
	if err != nil {
		return nil, "", 0, &exact.ValueError{What: "nothing can listen at " + address,
			Fix: "name the address that this computer has in your network, and a port that is free: 192.168.1.20:4691"}
	}
	return tcp, host, tcp.Addr().(*net.TCPAddr).Port, nil
}

func notLocal(address string) error {
	return &exact.ValueError{What: address + " is no address of a local network",
		Fix: "name the one that this computer has there, such as 192.168.1.20"}
}
