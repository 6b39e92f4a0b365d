package main

import (
	"bytes"
	"errors"
	"html/template"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"

	"gallipot/dossier/assess"
	"gallipot/dossier/document"
	"gallipot/dossier/document/page"
	"gallipot/dossier/pack"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/templates"
)

// site answers a browser from the files of a workshop, which it reads anew for
// each page. It writes nothing.
type site struct {
	workshop string
	options  func() (assess.Options, error)
	pages    *template.Template
	routes   *http.ServeMux
	one      sync.Mutex // computes one page after the other: each uses all processors
}

// newSite returns the pages of a workshop. options are asked for anew with each.
func newSite(workshop string, options func() (assess.Options, error)) *site {
	s := &site{workshop: workshop, options: options, pages: templates.Web(), routes: http.NewServeMux()}
	for path, show := range workshopPages {
		s.routes.HandleFunc("GET "+path, s.answerWith(show))
	}
	for path, show := range productPages {
		s.routes.HandleFunc("GET "+productPath+path, s.answerWith(ofProduct(path, show)))
	}
	s.routes.HandleFunc("/", s.answerWith(func(v *visit) error {
		return &usageError{"there is no page " + v.r.URL.Path, "begin at the list of products"}
	}))
	return s
}

// ServeHTTP answers one request of a browser on this computer.
func (s *site) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; img-src data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store") // the files may have changed
	switch {
	case !ownName(r.Host): // a page elsewhere whose name was made to lead here
		http.Error(w, "this address is not that of this computer", http.StatusForbidden)
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		h.Set("Allow", "GET, HEAD")
		http.Error(w, "these pages can be read and nothing else", http.StatusMethodNotAllowed)
	default:
		s.routes.ServeHTTP(w, r)
	}
}

// ownName says whether a request was meant for this computer by name.
func ownName(host string) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = host
	}
	return name == "localhost" || name == "127.0.0.1"
}

// visit is one request, with what was read for it.
type visit struct {
	site     *site
	to       http.ResponseWriter
	r        *http.Request
	opt      assess.Options
	w        *workshop.Workshop
	findings []finding.Finding // of reading

	product *workshop.Product // of a product's page
	place   string            // its page
	more    menu              // what else belongs to the page: its files, or others of its kind
}

// asked returns what was typed into a form.
func (v *visit) asked(name string) string { return strings.TrimSpace(v.r.URL.Query().Get(name)) }

// errRefused says that the page was answered with what cannot be read.
var errRefused = errors.New("refused")

// answerWith reads the workshop and shows a page of it. What goes wrong is a page
// as well.
func (s *site) answerWith(show func(*visit) error) http.HandlerFunc {
	return func(to http.ResponseWriter, r *http.Request) {
		s.one.Lock()
		defer s.one.Unlock()
		v := &visit{site: s, to: to, r: r}
		var err error
		if v.opt, err = s.options(); err == nil {
			if v.w, v.findings = workshop.Load(s.workshop, v.opt.Law); v.w == nil {
				v.w = &workshop.Workshop{}
				v.trouble(http.StatusInternalServerError, &usageError{"the folder has no workshop.yaml any more", "put it back where it was"})
				return
			}
			err = show(v)
		}
		var usage *usageError
		var value *exact.ValueError
		switch {
		case err == nil, errors.Is(err, errRefused):
		case errors.As(err, &usage):
			v.trouble(http.StatusNotFound, usage)
		case errors.As(err, &value):
			v.trouble(http.StatusBadRequest, &usageError{value.What, value.Fix})
		default:
			v.trouble(http.StatusInternalServerError, &usageError{err.Error(), ""})
		}
	}
}

// readable refuses a page that rests on files which cannot be read: what is in
// them would count as nothing.
func (v *visit) readable() error {
	if !hasUnread(v.findings) {
		return nil
	}
	d := pack.OpenPoints(v.w, "files that cannot be read; correct these first", unreadOnly(v.findings), v.opt.Date)
	return errors.Join(v.documents(http.StatusUnprocessableEntity, d.Title, nil, d), errRefused)
}

// menu is a row of links.
type menu struct {
	Name  string
	Shown bool // the name stands before the links
	Links []link
}

// link leads to a page, unless it is the one shown.
type link struct {
	Href, Text string
	Here       bool
}

// form asks for something; it is sent as part of the address.
type form struct {
	Action, Button string
	Fields         []field
}

// field is one thing that a form asks for; with options one of them is chosen.
type field struct {
	Name, Label, Value string
	Size               int
	Options            []option
}

type option struct{ Value, Text string }

// frame is what the template "page" shows.
type frame struct {
	Title, Maker string
	Style        template.CSS
	Menus        []menu
	Form         *form
	Body         template.HTML
	Day          string
}

// show sends a page.
func (v *visit) show(status int, title string, ask *form, body []byte) error {
	f := frame{Title: title, Maker: v.w.Maker.Name, Form: ask, Menus: []menu{v.menu(), v.productMenu(), v.more},
		Style: template.CSS(page.HTMLStyle() + templates.WebStyle()), Body: template.HTML(body)} // both are ours, and escaped by their printer
	if !v.opt.Date.IsZero() {
		f.Day = v.opt.Date.String()
	}
	var b bytes.Buffer
	if err := v.site.pages.ExecuteTemplate(&b, "page", f); err != nil {
		return err
	}
	v.to.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.to.WriteHeader(status)
	_, _ = v.to.Write(b.Bytes()) // a browser that went away needs no answer
	return nil
}

// documents sends a page of documents, one below the other.
func (v *visit) documents(status int, title string, ask *form, docs ...*document.Document) error {
	var b bytes.Buffer
	for _, d := range docs {
		if err := page.WriteBody(&b, d); err != nil {
			return err
		}
	}
	return v.show(status, title, ask, b.Bytes())
}

// page sends one document as a page.
func (v *visit) page(d *document.Document, ask *form) error {
	return v.documents(http.StatusOK, d.Title, ask, d)
}

// trouble sends a page that says what is wrong, in the words of the command line.
func (v *visit) trouble(status int, err *usageError) {
	d := &document.Document{Title: "Not found", Language: "en-GB", NoContents: true}
	if status != http.StatusNotFound {
		d.Title = "This cannot be shown"
	}
	d.AddSection("trouble", shown(err.what)).Add(document.Para(shown(err.fix)))
	if err := v.documents(status, d.Title, nil, d); err != nil {
		http.Error(v.to, shown(err.Error()), http.StatusInternalServerError)
	}
}

// file sends a file to be saved or shown by the browser.
func (v *visit) file(name, mime string, data []byte) error {
	how := "attachment"
	if mime == "application/pdf" {
		how = "inline"
	}
	v.to.Header().Set("Content-Type", mime)
	v.to.Header().Set("Content-Disposition", how+`; filename="`+name+`"`)
	_, _ = v.to.Write(data)
	return nil
}

// offer adds links to files beside the page, for what was asked for.
func (v *visit) offer(base string, files ...string) {
	v.more.Name, v.more.Shown = "Files", true
	for _, f := range files {
		l := link{Href: base + f, Text: strings.TrimPrefix(f, "/")}
		if v.r.URL.RawQuery != "" {
			l.Href += "?" + v.r.URL.RawQuery
		}
		v.more.Links = append(v.more.Links, l)
	}
}

// menu leads to the pages of the workshop.
func (v *visit) menu() menu {
	m := menu{Name: "Workshop"}
	for _, l := range []link{{Href: "/", Text: "Products"}, {Href: "/check", Text: "Open points"}, {Href: "/stability", Text: "Stability"}, {Href: "/batches", Text: "Batches"},
		{Href: "/trace", Text: "Trace a lot"}, {Href: "/letters", Text: "Letters"}, {Href: "/law", Text: "Law"}} {
		l.Here = v.r.URL.Path == l.Href && v.r.URL.RawQuery == ""
		m.Links = append(m.Links, l)
	}
	return m
}

// productMenu leads to the pages of a product; it is empty on others.
func (v *visit) productMenu() menu {
	if v.product == nil {
		return menu{}
	}
	m := menu{Name: v.product.Name, Shown: true}
	for _, t := range productTabs {
		l := link{Href: pathOf(v.product, t.path), Text: t.text}
		l.Here = v.place == t.path && v.r.URL.RawQuery == ""
		m.Links = append(m.Links, l)
	}
	return m
}

// chooseFrom lists things to choose from, all of them first.
func chooseFrom(all string, names []string) []option {
	list := []option{{"", all}}
	for _, n := range slices.Compact(slices.Clone(names)) {
		list = append(list, option{n, n})
	}
	return list
}
