package bench

import (
	"embed"
	"net/http"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/bench/gate"
	"gallipot/dossier/bench/grid"
	"gallipot/dossier/bench/incoming"
	"gallipot/dossier/bench/material"
	"gallipot/dossier/bench/ownlimits"
	"gallipot/dossier/bench/printed"
	"gallipot/dossier/bench/product"
	"gallipot/dossier/bench/recipes"
	"gallipot/dossier/bench/records"
	"gallipot/dossier/bench/scale"
	"gallipot/dossier/bench/today"
	"gallipot/dossier/bench/year"
)

//go:embed *.html
var files embed.FS

// sets are the pages of the workbench, by package.
func (b *bench) sets() []frame.Set {
	return []frame.Set{
		{Templates: files, Routes: []frame.Route{
			{Pattern: "GET /{$}", Do: b.start, Early: true},
			{Pattern: "GET /first/new", Do: b.newPage, Early: true},
			{Pattern: "POST /first/new", Do: b.makeNew, Early: true},
			{Pattern: "POST /first/demo", Do: b.makeDemo, Early: true},
			{Pattern: "POST /first/papers", Do: b.bring, Early: true},
			{Pattern: "GET /first/folders", Do: b.folders, Early: true},
			{Pattern: "POST /first/open", Do: b.openFolder, Early: true},
			{Pattern: "POST /code", Do: b.code, Torn: true},
			{Pattern: "GET /torn", Do: torn, Torn: true},
			{Pattern: "GET /workshop", Do: workshopPage},
			{Pattern: "POST /workshop", Do: saveWorkshop},
			{Pattern: "POST /workshop/outlets", Do: addOutlet},
			{Pattern: "GET /text/{file...}", Do: textPage, Torn: true},
			{Pattern: "POST /text/{file...}", Do: saveText, Torn: true},
			{Pattern: "GET /conflict/{id}", Do: conflictPage, Torn: true},
			{Pattern: "POST /conflict/{id}", Do: settleConflict, Torn: true},
		}},
		today.Pages(),
		year.Pages(),
		grid.Pages(),
		product.Pages(b.files),
		material.Pages(),
		incoming.Pages(b.opt.Law, b.files),
		recipes.Pages(b.files),
		scale.Pages(),
		records.Pages(),
		printed.Pages(),
		ownlimits.Pages(),
	}
}

// handler joins gate and pages. The first page gives way to Today once a workshop is open.
func (b *bench) handler(site *frame.Site) (http.Handler, error) {
	pages, err := site.Handler(b.sets()...)
	if err != nil {
		return nil, err
	}
	b.pages, b.gate.Refused = pages, frame.Refusal
	b.gate.ReadOnly = site.ReadOnly
	b.gate.UploadPath = func(path string) bool {
		return path == "/papers" || path == "/formulas" || path == "/first/papers" || strings.HasPrefix(path,
			"/papers/") || strings.HasPrefix(path, "/answer/") ||
			strings.HasPrefix(path, "/records/")
	}
	return b.gate.Handler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if w0, _ := site.Workshop(); w0 != nil && r.URL.Path == "/" {
			http.Redirect(w, r, "/today", http.StatusSeeOther)
			return
		}
		pages.ServeHTTP(w, r)
	})), nil
}

// code lets one more browser in, for a second start of the program.
func (b *bench) code(v *frame.Visit) error {
	if v.R.Header.Get(gate.TokenHeader) == "" {
		return frame.NoPage("code")
	}
	v.W.Header().Set("Content-Type", "text/plain")
	_, err := v.W.Write([]byte(b.gate.Code()))
	return err
}
