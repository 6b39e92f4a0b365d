// Package records holds the pages of what is written down about a product beside its formula:
// how it is made and packed, storage tests with their readings, microbiology, its papers,
// notices to the authorities, undesirable effects and complaints.
//
// Each of them is a list of the product's file, shown as a table of records.csv: a value is
// changed at its place, an entry added at the end. What an entry lacks is asked about by the
// findings and never guessed here.
package records

import (
	"bytes"
	"embed"
	"maps"
	"net/url"
	"slices"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document"
	"gallipot/dossier/document/page"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/edit"
	"gallipot/dossier/stability"
	"gallipot/dossier/workshop"
)

//go:embed *.html
var templates embed.FS

// lists are the tables of these pages; see frame.Listed.
//
//go:embed records.csv
var lists string

// Pages returns the table of these pages.
func Pages() frame.Set {
	set := frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /product/{id}/tests.pdf", Do: testsFile},
		{Pattern: "POST /product/{id}/complaints/none", Do: noComplaint},
		{Pattern: "POST /records/{id}/add", Do: add},
		{Pattern: "POST /records/{id}/report", Do: report},
	}}
	for _, p := range pages {
		set.Routes = append(set.Routes, frame.Route{Pattern: "GET /product/{id}/" + p.key, Do: p.show},
			frame.Route{Pattern: "POST /product/{id}/" + p.key, Do: p.save})
	}
	return set
}

// recordPage is a page with lists of the product's file.
type recordPage struct {
	key, template string
	lists         []string // names in records.csv
}

var pages = []recordPage{
	{"making", "records", []string{"process", "packaging", "wares", "fats"}},
	{"tests", "producttests", nil},
	{"papers", "records", []string{"documents", "pictures", "notifications"}},
	{"complaints", "records", []string{"complaints", "sold"}},
}

// places of the lists in the file, where they are not called as in the table.
var places = map[string]edit.Path{"storage": {"stability"}, "micro": {"microbiology"},
	"wares": {"costs", "packaging"}, "fats": {"formula", "saponify", "values"}}

// placeOf is the place of a list in the file.
func placeOf(name string) edit.Path {
	if at := places[name]; at != nil {
		return at
	}
	return edit.Path{name}
}

// pageOf is the page that shows a list of the file.
func pageOf(at edit.Path) *recordPage {
	for i, p := range pages {
		names := p.lists
		if p.key == "tests" {
			names = []string{"storage", "micro"}
		}
		if slices.ContainsFunc(names, func(name string) bool {
			place := placeOf(name)
			return len(at) >= len(place) && slices.Equal(at[:len(place)], place)
		}) {
			return &pages[i]
		}
	}
	return nil
}

// of returns the product that a request is about, and its form.
func of(v *frame.Visit, tab string) (*workshop.Product, *assess.Assessment, frame.Form, error) {
	p := v.Workshop().Product(v.R.PathValue("id"))
	if p == nil {
		return nil, nil, frame.Form{}, frame.NoPage("product " + v.R.PathValue("id"))
	}
	form := frame.Form{File: p.Source.Name, Back: "/product/" + url.PathEscape(p.ID) + "/" + tab}
	if len(v.Workshop().Computable([]*workshop.Product{p})) == 0 {
		return p, nil, form, nil
	}
	return p, v.Shot.Assess(p), form, nil
}

// choices are the lists of words that depend on the product and its workshop.
func choices(w *workshop.Workshop, p *workshop.Product) map[string][]frame.Choice {
	m := map[string][]frame.Choice{}
	for _, x := range p.Variants {
		if x.ID != "" {
			m["variants"] = append(m["variants"], frame.Choice{Value: x.ID, Text: frame.VariantShort(p, x)})
		}
	}
	for _, ph := range p.Formula.Phases {
		text := ph.ID
		if ph.Name != "" {
			text += " " + ph.Name
		}
		m["phases"] = append(m["phases"], frame.Choice{Value: ph.ID, Text: text})
	}
	for k, text := range workshop.ProductDocumentKinds {
		m["kinds"] = append(m["kinds"], frame.Choice{Value: k, Text: text})
	}
	for _, id := range slices.Sorted(maps.Keys(w.Sheets)) {
		m["materials"] = append(m["materials"], frame.Choice{Value: id, Text: w.Sheets[id].Name})
	}
	slices.SortFunc(m["kinds"], func(a, b frame.Choice) int { return strings.Compare(a.Text, b.Text) })
	return m
}

func (rp recordPage) show(v *frame.Visit) error { return rp.showWith(v, nil, nil) }

// failed is an entry that could not be added, and why.
type failed struct {
	path string
	err  error
}

// set fills the table of a list.
func (e *failed) set(v *frame.Visit, l *frame.Listing) {
	if e != nil && e.path == l.Path {
		l.Typed(v, e.err)
	}
}

// showWith shows the page with an entry that could not be added, or with fields that could not be
// written, and why.
func (rp recordPage) showWith(v *frame.Visit, wrong *failed, unwritten error) error {
	p, a, form, err := of(v, rp.key)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	data := map[string]any{"ID": p.ID, "Base": f.Hash, "ReadOnly": v.Site.ReadOnly, "Page": rp.key,
		"Action": form.Back, "AddTo": "/records/" + url.PathEscape(p.ID) + "/add"}
	words := choices(v.Workshop(), p)
	var shown []*frame.Listing
	var empty []string // of what the file of every product describes
	for _, name := range rp.lists {
		if name == "fats" && p.Saponify == nil {
			continue
		}
		l, err := frame.Listed(f, lists, name, placeOf(name), words)
		if err != nil {
			return err
		}
		wrong.set(v, l)
		shown = append(shown, l)
		if len(l.Rows) == 0 && (name == "process" || name == "packaging") {
			empty = append(empty, l.Title)
		}
	}
	data["Lists"], data["Empty"] = shown, strings.Join(empty, ", ")
	if rp.key == "tests" {
		if err := tests(v, f, p, a, words, wrong, data); err != nil {
			return err
		}
		shown = append(shown, data["Storage"].(*frame.Listing), data["Micro"].(*frame.Listing))
	}
	if v.AgainListed(unwritten, shown...); unwritten != nil {
		data["Trouble"] = frame.TroubleOf(unwritten)
	}
	data["NoneSaid"] = rp.key == "complaints" && !f.Has(edit.Path{"complaints"})
	data["NoneKnown"] = rp.key == "complaints" && f.Has(edit.Path{"complaints"}) && len(p.Complaints) == 0
	if a != nil {
		data["Points"] = v.TellAll(pointsOf(v, a, form.Back))
	}
	return v.Show(frame.ProductPage(v, p, a, rp.key, frame.Page{Template: rp.template, Data: data,
		Refused: wrong != nil || unwritten != nil}))
}

// save writes a value at its place, or takes an entry out.
func (rp recordPage) save(v *frame.Visit) error {
	_, _, form, err := of(v, rp.key)
	if err != nil {
		return err
	}
	form.Label = labels
	form.Again = func(err error) error { return rp.showWith(v, nil, err) }
	return v.SaveForm(form, func(*frame.Opened) (frame.Answer, error) {
		a := frame.Answer{}
		_, computed, _, err := of(v, rp.key)
		if err != nil || computed == nil || rp.key != "tests" {
			return a, err
		}
		trend, err := drawn(v, stability.Shown(computed))
		a.Out = map[string]frame.HTML{"out-trend": trend}
		return a, err
	})
}

// drawn prints a document for a place inside the page.
func drawn(v *frame.Visit, doc *document.Document) (frame.HTML, error) {
	var b bytes.Buffer
	err := page.WriteBody(&b, doc)
	return v.Names().Inside(b.String()), err
}

func testsFile(v *frame.Visit) error {
	p, a, _, err := of(v, "tests")
	if err != nil {
		return err
	}
	if a == nil {
		return v.NotComputed(p)
	}
	data, _, err := pdf.Render(stability.Document([]*assess.Assessment{a}, v.Shot.Options.Date), nil)
	if err != nil {
		return err
	}
	return v.File(p.ID+"-tests.pdf", "application/pdf", data)
}
