package product

import (
	"net/url"
	"strings"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/workshop"
)

// drawn are the pages that draw labels, or read what an assessor sends.
type drawn struct{ files *paper.Reader }

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
		err = v.NotComputed(p)
	}
	return p, a, form, err
}

// order is the preferred order of the keys of a product file.
func order(p edit.Path) []string {
	switch strings.Join(p, "/") {
	case "":
		return []string{"id", "name", "revision", "product_type", "markets", "intended_for", "body_area",
			"professional", "net_content", "packaging",
			"durability", "made_in", "label", "first_placed_in", "function", "claims", "directions",
			"storage", "warnings", "formula", "variants", "tail_order",
			"process", "specification", "stability", "microbiology", "low_risk", "exposure", "documents",
			"notifications", "assessments", "complaints", "sold"}
	case "net_content":
		return []string{"g", "ml"}
	case "label":
		return []string{"shape", "width_mm", "height_mm"}
	case "specification":
		return []string{"ph", "appearance", "odour", "viscosity"}
	}
	return nil
}
