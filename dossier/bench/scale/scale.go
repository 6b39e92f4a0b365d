// Package scale holds the pages for making a batch: planning it, weighing one line at a
// time in large figures, and the record of a batch with what is still to be filled in.
//
// A mass is judged by the server with exact numbers; what the page shows while typing is a
// help for the eye. A line is saved when it is left, so that a batch that is interrupted
// goes on where it stood. One browser weighs a batch; another one may look on or take over.
package scale

import (
	"crypto/rand"
	"embed"
	"encoding/hex"
	"net/http"
	"net/url"
	"sync"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/workshop"
)

//go:embed *.html
var templates embed.FS

//go:embed batch.csv
var batchTable string

// desk knows who weighs which batch.
type desk struct {
	mu    sync.Mutex
	seats map[string]string // batch code to browser
}

// Pages returns the table of these pages.
func Pages() frame.Set {
	d := &desk{seats: map[string]string{}}
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /scale", Do: plan},
		{Pattern: "POST /scale", Do: start},
		{Pattern: "GET /scale/{code}", Do: d.show},
		{Pattern: "POST /scale/{code}", Do: d.weigh},
		{Pattern: "POST /scale/{code}/take", Do: d.takeOver},
		{Pattern: "GET /batch/{code}", Do: record},
		{Pattern: "POST /batch/{code}", Do: saveRecord},
	}}
}

// seat returns what tells one browser from another, and gives it one where it has none.
func seat(v *frame.Visit) string {
	const name = "gallipot-seat"
	if c, err := v.R.Cookie(name); err == nil && len(c.Value) == 32 {
		return c.Value
	}
	b := make([]byte, 16)
	_, _ = rand.Read(b) // never fails
	s := hex.EncodeToString(b)
	http.SetCookie(v.W, &http.Cookie{Name: name, Value: s, Path: "/scale", HttpOnly: true,
		SameSite: http.SameSiteStrictMode})
	return s
}

// mine says whether this browser weighs the batch; with take it takes a free seat.
func (d *desk) mine(v *frame.Visit, code string, take bool) bool {
	who := seat(v)
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.seats[code] == "" && take {
		d.seats[code] = who
	}
	return d.seats[code] == "" || d.seats[code] == who
}

func (d *desk) takeOver(v *frame.Visit) error {
	code := v.R.PathValue("code")
	if v.Workshop().Batch(code) == nil {
		return frame.NoPage("batch " + code)
	}
	who := seat(v)
	d.mu.Lock()
	d.seats[code] = who
	d.mu.Unlock()
	return v.Go("/scale/" + url.PathEscape(code))
}

type choice struct{ Value, Text string }

// plan asks what to make, and how much.
func plan(v *frame.Visit) error {
	return showPlan(v, "", nil)
}

func showPlan(v *frame.Visit, wrong string, points []frame.Told) error {
	var list []choice
	for _, p := range v.Workshop().Computable(v.Workshop().Products) {
		for _, x := range p.Variants {
			text := p.Name
			if x.ID != "" {
				text += ": " + frame.VariantShort(p, x)
			}
			list = append(list, choice{p.ID + "/" + x.ID, text})
		}
	}
	what := v.Field("what")
	if what == "" {
		what = v.Field("product") + "/"
	}
	size := v.Field("size")
	if size == "" {
		size = "1 kg"
	}
	return v.Show(frame.Page{Title: "Weigh a batch", Place: "batches", Crumb: &frame.Link{Href: "/batches",
		Text: "Batches"}, Template: "scaleplan",
		Data: map[string]any{"Choices": list, "What": what, "Size": size, "Error": wrong, "Points": points,
			"Day": v.Shot.Options.Date.String(), "Share": shareOf(v)}})
}

// share is what the screen says of the address for another device.
type share struct{ Address, Code string }

func shareOf(v *frame.Visit) *share {
	if v.Site.Share == nil || v.Shared() {
		return nil
	}
	return &share{v.Site.Share.Address, v.Site.Share.Code()}
}

// of returns the batch that a request is about.
func of(v *frame.Visit) (*workshop.Batch, frame.Form, error) {
	b := v.Workshop().Batch(v.R.PathValue("code"))
	if b == nil {
		return nil, frame.Form{}, frame.NoPage("batch " + v.R.PathValue("code"))
	}
	return b, frame.Form{File: b.Source.Name, Back: "/batch/" + url.PathEscape(b.Code)}, nil
}
