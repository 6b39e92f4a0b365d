// Package printed shows the documents of package dossier inside the workbench, as they are
// printed, and hands them out as PDF: figures, storage tests, notification, letters, the
// law, where a lot went, what is due, lots and what a pack costs. Nothing is filled in on these pages.
package printed

import (
	"bytes"
	"embed"
	"net/url"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document"
	"gallipot/dossier/document/page"
	"gallipot/dossier/document/pdf"
	"gallipot/dossier/notice"
	"gallipot/dossier/sections"
	"gallipot/dossier/workshop"
)

//go:embed *.html
var templates embed.FS

// Pages returns the table of these pages.
func Pages() frame.Set {
	set := frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /letters", Do: showLetters},
		{Pattern: "GET /letters/{name}", Do: showLetters},
		{Pattern: "GET /trace", Do: trace},
		{Pattern: "GET /law", Do: lookUp},
		{Pattern: "GET /tests", Do: tests},
		{Pattern: "GET /readings.ics", Do: readings},
		{Pattern: "GET /dates/list", Do: due},
		{Pattern: "GET /stock/list", Do: inStock},
	}}
	for _, d := range ofProduct {
		set.Routes = append(set.Routes, frame.Route{Pattern: "GET /product/{id}/" + d.path, Do: d.show},
			frame.Route{Pattern: "GET /product/{id}/" + d.path + ".pdf", Do: d.file})
	}
	return set
}

// productDocument is one document of a product.
type productDocument struct {
	path string
	make func(*frame.Visit, *assess.Assessment) (*document.Document, error)
}

var ofProduct = []productDocument{
	{"figures", func(v *frame.Visit, a *assess.Assessment) (*document.Document, error) {
		id := v.Field("variant")
		if id != "" {
			a = a.Only([]string{id})
		}
		return sections.Figures(a, id, nil)
	}},
	{"cost", costs},
	{"notification", func(_ *frame.Visit, a *assess.Assessment) (*document.Document, error) {
		return notice.Sheet(a), nil
	}},
}

// of returns the product of a page, computed.
func of(v *frame.Visit) (*workshop.Product, *assess.Assessment, error) {
	p := v.Workshop().Product(v.R.PathValue("id"))
	if p == nil {
		return nil, nil, frame.NoPage("product " + v.R.PathValue("id"))
	}
	if len(v.Workshop().Computable([]*workshop.Product{p})) == 0 {
		return nil, nil, v.NotComputed(p)
	}
	for _, x := range p.Variants {
		if v.Field("variant") == "" || v.Field("variant") == x.ID {
			return p, v.Shot.Assess(p), nil
		}
	}
	return nil, nil, frame.NoPage("variant " + v.Field("variant"))
}

func (d productDocument) show(v *frame.Visit) error {
	p, a, err := of(v)
	if err != nil {
		return err
	}
	doc, err := d.make(v, a)
	if err != nil {
		return err
	}
	body, err := inside(v, doc)
	if err != nil {
		return err
	}
	return v.Show(frame.ProductPage(v, p, a, d.path, frame.Page{Template: "printed",
		Data: map[string]any{"Body": body, "PDF": "/product/" + url.PathEscape(p.ID) + "/" + d.path + ".pdf?" +
			v.R.URL.RawQuery}}))
}

func (d productDocument) file(v *frame.Visit) error {
	p, a, err := of(v)
	if err != nil {
		return err
	}
	doc, err := d.make(v, a)
	if err != nil {
		return err
	}
	return sendPDF(v, doc, p.ID+"-"+d.path+".pdf")
}

// inside prints a document for a place inside a page.
func inside(v *frame.Visit, doc *document.Document) (frame.HTML, error) {
	var b bytes.Buffer
	err := page.WriteBody(&b, doc)
	return v.Names().Inside(b.String()), err
}

func sendPDF(v *frame.Visit, doc *document.Document, name string) error {
	data, _, err := pdf.Render(doc, nil)
	if err != nil {
		return err
	}
	return v.File(name, "application/pdf", data)
}
