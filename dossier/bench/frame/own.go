package frame

import (
	"bytes"
	"cmp"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"

	"gallipot/dossier/edit/history"
)

// HTML is text that is escaped already.
type HTML = template.HTML

//go:embed *.html
var ownPages embed.FS

//go:embed bench.css bench.js
var look embed.FS

// own are the routes that every page needs.
func own() Set {
	return Set{Templates: ownPages, Routes: []Route{
		{Pattern: "POST /undo", Do: func(v *Visit) error { return v.walk(v.Store.Undo) }, Torn: true},
		{Pattern: "POST /redo", Do: func(v *Visit) error { return v.walk(v.Store.Redo) }, Torn: true},
		{Pattern: "GET /number", Do: (*Visit).number, Torn: true},
	}}
}

// number tells the script how often the workshop has changed.
func (v *Visit) number() error { return v.JSON(Answer{Say: strconv.Itoa(v.Shot.Number)}) }

// walk takes a step back or makes it again, and shows the page it was made on.
func (v *Visit) walk(step func() (history.Step, error)) error {
	s, err := step()
	var c *history.Conflict
	switch {
	case errors.As(err, &c):
		return v.Go(v.Site.remember(c, s.Label, s.Place))
	case errors.Is(err, history.ErrNoStep):
		return v.Go("/today")
	case err != nil:
		return err
	}
	v.Live.Touch()
	if s.Place == "" {
		s.Place = "/today"
	}
	return v.Go(s.Place)
}

// assets are the style, the script and the letters. A browser asks each time whether they
// are still the same: a newer program must not be shown in the style of an older one.
func assets() map[string]http.HandlerFunc {
	send := func(mime string, data []byte) http.HandlerFunc {
		tag := fmt.Sprintf("%q", history.Hash(data))
		return func(w http.ResponseWriter, r *http.Request) {
			w.Header().Set("Content-Type", mime)
			w.Header().Set("Cache-Control", "private, no-cache")
			w.Header().Set("ETag", tag)
			http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
		}
	}
	file := func(name string) []byte {
		data, err := look.ReadFile(name)
		if err != nil {
			panic(err) // it is part of the program
		}
		return data
	}
	return map[string]http.HandlerFunc{
		"/look/bench.css":      send("text/css; charset=utf-8", file("bench.css")),
		"/look/bench.js":       send("text/javascript; charset=utf-8", file("bench.js")),
		"/look/Go-Regular.ttf": send("font/ttf", goregular.TTF),
		"/look/Go-Medium.ttf":  send("font/ttf", gomedium.TTF),
		"/look/Go-Bold.ttf":    send("font/ttf", gobold.TTF),
		"/look/Go-Mono.ttf":    send("font/ttf", gomono.TTF),
	}
}

// Pending is a save that met another version of its file.
type Pending struct {
	ID       int
	Conflict *history.Conflict
	What     history.Label
	Back     string
}

// Most conflicts that wait for an answer.
const mostPending = 20

// remember keeps a conflict until it is answered and returns the page that shows it.
func (s *Site) remember(c *history.Conflict, what history.Label, back string) string {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.next++
	s.conflicts = append(s.conflicts, &Pending{s.next, c, what, back})
	if len(s.conflicts) > mostPending {
		s.conflicts = s.conflicts[1:]
	}
	return "/conflict/" + strconv.Itoa(s.next)
}

// Pending returns a conflict that waits for an answer; nil where there is none.
func (s *Site) Pending(id string) *Pending {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, p := range s.conflicts {
		if strconv.Itoa(p.ID) == id {
			return p
		}
	}
	return nil
}

// Settle forgets a conflict that was answered.
func (s *Site) Settle(p *Pending) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.conflicts = slices.DeleteFunc(s.conflicts, func(q *Pending) bool { return q == p })
}

// sortPaths sorts field names by their paths, indices as numbers.
func sortPaths(names []string) {
	slices.SortFunc(names, func(a, b string) int {
		return slices.CompareFunc(strings.Split(a, "/"), strings.Split(b, "/"), func(x, y string) int {
			i, err1 := strconv.Atoi(x)
			j, err2 := strconv.Atoi(y)
			if err1 == nil && err2 == nil {
				return cmp.Compare(i, j)
			}
			return cmp.Compare(x, y)
		})
	})
}
