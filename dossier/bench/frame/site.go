package frame

import (
	"html/template"
	"io"
	"io/fs"
	"net/http"
	"sync"
	"time"

	"gallipot/dossier/edit/history"
	"gallipot/dossier/watched"
)

// Site is one running workbench.
type Site struct {
	// Now tells the time; Opener opens the workshop of a folder for the site.
	Now func() time.Time
	// Base is the folder of the program for user data.
	Base string
	// Log is told of the program's own mistakes; nil: nobody.
	Log io.Writer
	// ReadOnly refuses every change.
	ReadOnly bool
	// Share is where another device finds the batch pages; nil: nowhere.
	Share *Share
	// Open opens the workshop in a folder; the first page calls it.
	Open func(s *Site, dir string) error

	pages *template.Template
	turn  chan struct{} // who computes while someone types

	mu        sync.Mutex
	live      *watched.Workshop
	store     *history.Store
	conflicts []*Pending
	next      int
}

// Set is a package's table of pages.
type Set struct {
	Routes    []Route
	Templates fs.FS // *.html
}

// Route is a row of the table: one address and what it does.
type Route struct {
	// Pattern is that of [http.ServeMux], such as "GET /product/{id}".
	Pattern string
	Do      func(*Visit) error
	// Early says that the page works before a workshop is open, and only then.
	Early bool
	// Torn says that the page works while some file cannot be read.
	Torn bool
}

// Use gives the site its workshop.
func (s *Site) Use(w *watched.Workshop, store *history.Store) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.live, s.store = w, store
}

// Workshop returns the open workshop and its store; nil before there is one.
func (s *Site) Workshop() (*watched.Workshop, *history.Store) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.live, s.store
}

// Handler returns the pages of the sets for a site.
//
// Errors: those of a template that cannot be read.
func (s *Site) Handler(sets ...Set) (http.Handler, error) {
	s.pages = template.New("").Funcs(funcs())
	s.turn = make(chan struct{}, 1)
	mux := http.NewServeMux()
	for _, set := range append([]Set{own()}, sets...) {
		if set.Templates != nil {
			if _, err := s.pages.ParseFS(set.Templates, "*.html"); err != nil {
				return nil, err
			}
		}
		for _, r := range set.Routes {
			mux.HandleFunc(r.Pattern, s.serve(r))
		}
	}
	for path, asset := range assets() {
		mux.HandleFunc("GET "+path, asset)
	}
	mux.HandleFunc("/", s.serve(Route{Do: func(v *Visit) error { return NoPage(v.R.URL.Path) }, Torn: true}))
	return mux, nil
}
