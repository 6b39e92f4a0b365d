// Package product holds the pages of a product beside its formula: what is open, each point
// with the field that settles it, what the product is, its label, and the pack.
package product

import (
	"embed"
	"net/url"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/workshop"
)

//go:embed *.html
var templates embed.FS

// Pages returns the table of these pages; files draws labels and reads the answers of
// assessors.
func Pages(files *paper.Reader) frame.Set {
	d := drawn{files}
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /product/{id}", Do: points},
		{Pattern: "POST /product/{id}", Do: savePoint},
		{Pattern: "POST /product/{id}/live", Do: livePoint},
		{Pattern: "POST /product/{id}/decide", Do: saveDecision},
		{Pattern: "POST /answer/{id}", Do: d.takeAnswer},
		{Pattern: "GET /answer/{id}/{key}", Do: d.showAnswer},
		{Pattern: "POST /answer/{id}/{key}", Do: d.recordAnswer},
		{Pattern: "GET /product/{id}/label", Do: d.showLabel},
		{Pattern: "GET /product/{id}/label.pdf", Do: labelFile},
		{Pattern: "GET /product/{id}/label/{page}", Do: d.labelPicture},
		{Pattern: "POST /product/{id}/claims", Do: saveClaims},
		{Pattern: "POST /product/{id}/claims/live", Do: liveClaims},
		{Pattern: "GET /product/{id}/facts", Do: facts},
		{Pattern: "POST /product/{id}/facts", Do: saveFacts},
		{Pattern: "GET /product/{id}/pack", Do: pack},
		{Pattern: "POST /product/{id}/pack", Do: makePack},
		{Pattern: "GET /product/{id}/pack.pdf", Do: packFile},
		{Pattern: "GET /product/{id}/pack.xlsx", Do: packBook},
		{Pattern: "GET /products/new", Do: newPage},
		{Pattern: "POST /products/new", Do: makeNew},
	}}
}

// of returns the product that a request is about, computed; the assessment is nil where a
// file it rests on cannot be read.
func of(v *frame.Visit) (*workshop.Product, *assess.Assessment, frame.Form, error) {
	p := v.Workshop().Product(v.R.PathValue("id"))
	if p == nil {
		return nil, nil, frame.Form{}, frame.NoPage("product " + v.R.PathValue("id"))
	}
	form := frame.Form{File: p.Source.Name, Order: order, Back: "/product/" + url.PathEscape(p.ID)}
	if len(v.Workshop().Computable([]*workshop.Product{p})) == 0 {
		return p, nil, form, nil
	}
	return p, v.Shot.Assess(p), form, nil
}

// computed is of for pages that need figures.
func computed(v *frame.Visit) (*workshop.Product, *assess.Assessment, frame.Form, error) {
	p, a, form, err := of(v)
	if err == nil && a == nil {
		err = frame.Wrong("This product cannot be computed: a file that it rests on cannot be read.", "Mend the file first; the line at the top leads there.")
	}
	return p, a, form, err
}

// order is the preferred order of the keys of a product file.
func order(p edit.Path) []string {
	switch strings.Join(p, "/") {
	case "":
		return []string{"id", "name", "revision", "product_type", "markets", "intended_for", "body_area", "professional", "net_content", "packaging",
			"durability", "made_in", "label", "first_placed_in", "function", "claims", "directions", "storage", "warnings", "formula", "variants", "tail_order",
			"process", "specification", "stability", "microbiology", "low_risk", "exposure", "documents", "notifications", "assessments", "complaints", "sold"}
	case "net_content":
		return []string{"g", "ml"}
	case "label":
		return []string{"shape", "width_mm", "height_mm"}
	case "specification":
		return []string{"ph", "appearance", "odour", "viscosity"}
	}
	return nil
}
