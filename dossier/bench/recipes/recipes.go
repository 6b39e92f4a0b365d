// Package recipes holds the pages on which a maker's own formula, in a spreadsheet, table or
// text, becomes a product: what was read is shown with its places, what is open is a field,
// and nothing is written before it is confirmed.
//
// Decision (2026-11-30): the page shows the draft that the reader of formulas makes, and its
// fields are places in that draft, so that the browser and the command line write the same
// file. An amount that the draft leaves open has to be typed or its line left out; what is
// unknown of a material makes a sheet with the name alone, which asks for its papers.
package recipes

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"net/http"
	"path"
	"slices"
	"strconv"
	"strings"

	"gallipot/calc/law"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/recipe"
	"gallipot/ingredients/pattern"
)

//go:embed *.html
var templates embed.FS

// desk reads formulas.
type desk struct{ files *paper.Reader }

// forFormula marks a paper that waits as a formula of the maker's own.
const forFormula = "a formula"

// kinds of file that are read, by the end of their names.
var kinds = []string{".xlsx", ".csv", ".tsv", ".docx", ".pdf", ".txt", ".md", ".eml", ".htm", ".html"}

// Pages returns the table of these pages.
func Pages(files *paper.Reader) frame.Set {
	d := desk{files}
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /formulas", Do: d.list},
		{Pattern: "POST /formulas", Do: d.upload},
		{Pattern: "GET /formulas/{key}", Do: d.show},
		{Pattern: "POST /formulas/{key}", Do: d.write},
		{Pattern: "POST /formulas/{key}/drop", Do: drop},
	}}
}

// waitingRow is a formula that waits to be confirmed.
type waitingRow struct{ Href, Name, Day string }

func (d desk) list(v *frame.Visit) error {
	all, err := v.Store.Papers()
	if err != nil {
		return err
	}
	var rows []waitingRow
	for _, p := range slices.Backward(all) {
		if p.For == forFormula {
			rows = append(rows, waitingRow{"/formulas/" + p.Key, p.Name, p.Came.Format("2 Jan 2006, 15:04")})
		}
	}
	return v.Show(frame.Page{Title: "A formula you have already", Place: "products",
		Crumb: &frame.Link{Href: "/products", Text: "Products"}, Template: "formulas",
		Data: map[string]any{"Rows": rows, "Accept": strings.Join(kinds, ","), "ReadOnly": v.Site.ReadOnly}})
}

var badName = pattern.New(`[^\p{L}\p{N}._ -]+`)

// upload takes a formula in and shows what was read.
func (d desk) upload(v *frame.Visit) error {
	file, head, err := v.R.FormFile("paper")
	if err != nil {
		return frame.Wrong("No file was chosen.", "Choose the formula, or drop it on the field.")
	}
	defer file.Close()
	data, err := io.ReadAll(file)
	if err != nil {
		return err
	}
	key, err := Keep(v.Store, d.files, head.Filename, data)
	if err != nil {
		return err
	}
	return v.Go("/formulas/" + key)
}

// Keep puts a formula among what waits.
//
// Errors: a *frame.Trouble where no formula can be read from it.
func Keep(store *history.Store, files *paper.Reader, name string, data []byte) (key string, err error) {
	name = strings.TrimSpace(badName.ReplaceAllString(path.Base(strings.ReplaceAll(name, `\`, "/")), "-"))
	if !slices.Contains(kinds, strings.ToLower(path.Ext(name))) {
		return "", &frame.Trouble{Status: http.StatusUnsupportedMediaType, What: "That kind of file is not read.",
			Fix: "Take a spreadsheet, a table, a document or a text."}
	}
	if _, err := read(files, name, data); err != nil {
		return "", err
	}
	p, err := store.AddPaper(name, data)
	if err != nil {
		return "", err
	}
	p.For = forFormula
	return p.Key, store.NotePaper(p)
}

// read reads the formulas of a document.
func read(files *paper.Reader, name string, data []byte) (r *formulation.Reading, err error) {
	words, err := lexicon.Load()
	if err != nil {
		return nil, err
	}
	const fix = "Save it as a table with the columns ingredient and amount."
	f, err := files.Read(name, data)
	var t *paper.Trouble
	switch {
	case errors.As(err, &t):
		return nil, frame.Wrong(frame.Sentence(t.Error()), frame.Sentence(t.Fix()))
	case err != nil:
		return nil, err
	}
	defer func() {
		if p := recover(); p != nil {
			r, err = nil, frame.Wrong("The document cannot be read.", fix)
		}
	}()
	if r = recipe.Read(f, words); len(r.Products) == 0 {
		return nil, frame.Wrong("No formula was found in "+name+".", fix)
	}
	return r, nil
}

// waiting is the formula that a request is about.
func (d desk) waiting(v *frame.Visit) (p history.Paper, r *formulation.Reading, n int, err error) {
	p, ok, err := v.Store.Paper(v.R.PathValue("key"))
	if err != nil {
		return p, nil, 0, err
	}
	if !ok || p.For != forFormula {
		return p, nil, 0, frame.NoPage("formula")
	}
	data, err := v.Store.PaperData(p.Key)
	if err != nil {
		return p, nil, 0, err
	}
	if r, err = read(d.files, p.Name, data); err != nil {
		return p, nil, 0, err
	}
	if s := v.Field("product"); s != "" {
		if n, err = strconv.Atoi(s); err != nil || n < 0 || n >= len(r.Products) {
			return p, nil, 0, frame.NoPage(fmt.Sprintf("product %s in %s", s, p.Name))
		}
	}
	return p, r, n, nil
}

func drop(v *frame.Visit) error {
	if err := v.Store.DropPaper(v.R.PathValue("key")); err != nil {
		return err
	}
	return v.Go("/formulas")
}

// types are the kinds of product to choose from.
func types(v *frame.Visit, here string) []frame.Choice {
	list := []frame.Choice{{Value: "", Text: "choose", Here: here == ""}}
	for _, t := range law.ProductTypes(v.Shot.Options.Law) {
		list = append(list, frame.Choice{Value: t.Key, Text: t.Name, Here: t.Key == here})
	}
	slices.SortFunc(list[1:], func(a, b frame.Choice) int { return strings.Compare(a.Text, b.Text) })
	return list
}
