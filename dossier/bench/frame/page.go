package frame

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"gallipot/dossier/edit/history"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// Page is what a template is shown with.
type Page struct {
	Title string
	// bandPlace is the place at the top that is marked: today, products, materials, papers,
	// batches …
	Place string
	Crumb *Link // one step up
	Facts template.HTML
	Acts  []Act
	Tabs  []pageTab
	// Template is the name of the template of the page, Data what it gets.
	Template string
	Data     any
	Wide     bool // uses the whole width
	Plain    bool // no band at the top, no foot: at the scale
	Refused  bool // it shows what was sent and could not be taken, said at its field
}

// Link leads to a page.
type Link struct{ Href, Text string }

// Act is a button in the head of a page that leads somewhere.
type Act struct {
	Link
	Main bool // the filled one, at most one on a page
}

// pageTab is a page about the same thing.
type pageTab struct {
	Link
	Here  bool
	Count int // 0: not shown
}

// Places are the pages at the top, in their order. A package adds its own place by the row.
var places = []bandPlace{{"today", "/today", "Today"}, {"products", "/products", "Products"},
	{"materials", "/materials", "Materials"}, {"papers", "/papers", "Papers"}, {"batches", "/batches",
		"Batches"},
	{"stock", "/stock", "Stock"}, {"dates", "/dates", "Dates"}}

// bandPlace is a row of the band at the top.
type bandPlace struct{ Key, Href, Text string }

// whole is what the template "frame" gets.
type whole struct {
	Page
	Maker    string
	Places   []bandPlace
	Day      string
	Chosen   bool
	Number   int
	ReadOnly bool
	Undo     *history.Step
	Redo     *history.Step
	Body     template.HTML
	Torn     int // files that cannot be read
	Stubs    int // materials without a composition
	Open     bool
	Shared   bool // another device asks
}

// Show sends a page.
func (v *Visit) Show(p Page) error {
	if p.Refused {
		return v.show(http.StatusUnprocessableEntity, p)
	}
	return v.show(http.StatusOK, p)
}

func (v *Visit) show(status int, p Page) error {
	w := whole{Page: p, Places: places, ReadOnly: v.Site.ReadOnly, Shared: v.Shared()}
	if v.Shot != nil {
		w.Open, w.Number, w.Chosen = true, v.Shot.Number, v.Shot.Options.DateChosen
		w.Day = Day(v.Shot.Options.Date)
		if v.Shot.Workshop != nil {
			w.Maker = v.Shot.Workshop.Maker.Name
		}
		stubs, torn := v.Stubs()
		w.Torn, w.Stubs = len(torn), len(stubs)
		done, undone := v.Store.Steps()
		if n := len(done); n > 0 {
			w.Undo = &done[n-1]
		}
		if len(undone) > 0 {
			w.Redo = &undone[0]
		}
	}
	var b bytes.Buffer
	if err := v.Site.pages.ExecuteTemplate(&b, p.Template, p.Data); err != nil {
		return fmt.Errorf("page %s: %w", p.Template, err)
	}
	w.Body = template.HTML(b.String()) // made and escaped by the template
	if v.Site.ReadOnly {
		w.Body = template.HTML(forReading(b.String()))
	}
	b.Reset()
	if err := v.Site.pages.ExecuteTemplate(&b, "frame", w); err != nil {
		return err
	}
	v.W.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.W.WriteHeader(status)
	_, _ = v.W.Write(b.Bytes()) // a browser that went away needs no answer
	return nil
}

// Foot returns the undo and redo of the foot, for an answer to the script.
func (v *Visit) Foot() (template.HTML, error) {
	done, undone := v.Store.Steps()
	var f struct{ Undo, Redo *history.Step }
	if n := len(done); n > 0 {
		f.Undo = &done[n-1]
	}
	if len(undone) > 0 {
		f.Redo = &undone[0]
	}
	return v.Part("steps", f)
}

// stubCode says of a finding that it is a sheet without a composition: named in a formula, and
// waiting for its papers. Such a file is not broken, and its form fills it.
func stubCode(f finding.Finding) bool {
	return f.Unread && f.Code == source.CodeEmptyValue && f.Form == "constituents" &&
		strings.HasPrefix(f.Pos.File, "ingredients/")
}

// Stubs are the materials whose sheets have no composition yet, as links to their forms, and
// torn the files that cannot be read for another reason.
func (v *Visit) Stubs() (stubs []Link, torn []string) {
	var waiting []string
	for _, f := range v.Shot.Findings {
		switch {
		case !f.Unread:
		case !stubCode(f):
			torn = words.AddOnce(torn, f.Pos.File)
		default:
			waiting = words.AddOnce(waiting, f.Pos.File)
		}
	}
	if v.Shot.Workshop == nil {
		return nil, append(torn, waiting...)
	}
	w := v.Workshop()
	for _, file := range waiting {
		id := slices.IndexFunc(w.SheetIDs(), func(id string) bool {
			src := w.SheetSource(id)
			return src != nil && src.Name == file
		})
		switch {
		case slices.Contains(torn, file):
		case id < 0:
			torn = append(torn, file)
		default:
			id := w.SheetIDs()[id]
			stubs = append(stubs, Link{"/material/" + url.PathEscape(id), w.Sheets[id].Name})
		}
	}
	return stubs, torn
}

// NotComputed says why a product has no figures: a material without a composition, or a file
// that cannot be read.
func (v *Visit) NotComputed(p *workshop.Product) error {
	stubs, _ := v.Stubs()
	var names []string
	for _, id := range Uses(p) {
		for _, s := range stubs {
			if s.Href == "/material/"+url.PathEscape(id) {
				names = append(names, s.Text)
			}
		}
	}
	if len(names) > 0 {
		return &Trouble{http.StatusUnprocessableEntity, p.Name + " cannot be computed yet: what is in " +
			words.JoinNames(names) + " is not known.",
			"Drop the supplier’s paper on Papers, or fill in what is in it: the line at the top leads there."}
	}
	return Wrong("This product cannot be computed: a file that it rests on cannot be read.",
		"Mend the file first; the line at the top leads there.")
}
