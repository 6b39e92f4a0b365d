// Package product holds the pages of a product beside its formula: what is open, each point
// with the field that settles it, what the product is, its label, and the pack.
package product

import (
	"embed"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/transcribe/paper"
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
		{Pattern: "GET /product/{id}/part-b.docx", Do: partB},
		{Pattern: "GET /product/{id}/profiles.pdf", Do: profiles},
		{Pattern: "GET /products/new", Do: newPage},
		{Pattern: "POST /products/new", Do: makeNew},
	}}
}
