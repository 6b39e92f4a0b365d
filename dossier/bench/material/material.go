// Package material holds the pages of a raw material: its sheet as a form, with the
// dictionary behind each name, a table pasted from a spreadsheet, the allergen declaration
// with the list as rows to fill, the certificate, and the papers.
package material

import (
	"embed"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document"
	"gallipot/dossier/edit"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/names"
)

//go:embed *.html
var templates embed.FS

// fieldTable names the single values of a sheet; see frame.Fields.
//
//go:embed material.csv
var fieldTable string

// Pages returns the table of these pages.
func Pages() frame.Set {
	return frame.Set{Templates: templates, Routes: []frame.Route{
		{Pattern: "GET /material/{id}", Do: show},
		{Pattern: "POST /material/{id}", Do: save},
		{Pattern: "POST /material/{id}/add", Do: add},
		{Pattern: "POST /material/{id}/paste", Do: paste},
		{Pattern: "GET /material/{id}/allergens", Do: allergens},
		{Pattern: "POST /material/{id}/allergens", Do: saveAllergens},
		{Pattern: "POST /papers/{id}", Do: upload},
		{Pattern: "GET /material/{id}/toxicology", Do: toxicology},
		{Pattern: "POST /material/{id}/toxicology", Do: saveToxicology},
		{Pattern: "POST /material/{id}/toxicology/add", Do: addToxicology},
		{Pattern: "GET /paper/{file...}", Do: paper},
		{Pattern: "POST /seek/substance", Do: seek},
		{Pattern: "GET /materials/new", Do: newPage},
		{Pattern: "POST /materials/new", Do: makeNew},
	}}
}

// of returns the sheet that a request is about and its form.
func of(v *frame.Visit) (*ingredients.Sheet, frame.Form, error) {
	id := v.R.PathValue("id")
	sheet, src := v.Workshop().Sheets[id], v.Workshop().SheetSource(id)
	if sheet == nil || src == nil {
		return nil, frame.Form{}, frame.NoPage("material " + id)
	}
	return sheet, frame.Form{File: src.Name, Order: order, Back: "/material/" + url.PathEscape(id),
		Thing: func(p edit.Path) string { return thing(sheet, p) }}, nil
}

// order is the preferred order of the keys of a sheet.
func order(p edit.Path) []string {
	switch strings.Join(p, "/") {
	case "":
		return []string{"id", "name", "supplier", "form", "functions", "label_as", "invented", "composition",
			"impurities", "allergens", "fragrance_limits",
			"toxicology", "physical", "handling", "documents", "price"}
	case "supplier":
		return []string{"name", "code"}
	case "composition":
		return []string{"complete", "held_by_assessor", "constituents"}
	case "composition/constituents/*":
		return []string{"inci", "cas", "ec", "pct", "nano"}
	case "impurities/*":
		return []string{"name", "cas", "amount"}
	case "allergens":
		return []string{"list", "dated", "declared"}
	case "allergens/declared/*":
		return []string{"name", "cas", "pct"}
	case "fragrance_limits":
		return []string{"amendment", "dated", "max_pct"}
	case "physical":
		return []string{"ph", "density_g_ml", "melting_c", "flash_c"}
	case "documents/*":
		return []string{"kind", "file", "dated"}
	}
	return nil
}

// thing names a place for the undo list.
func thing(sheet *ingredients.Sheet, p edit.Path) string {
	if len(p) == 0 {
		return sheet.Name
	}
	return frame.FieldName(p[len(p)-1]) + " of " + sheet.Name
}

// line is a row of a table in the sheet: a substance, an impurity, a paper.
type line struct {
	N                            int
	Path                         string
	Name, CAS, EC, Pct, Official string
	Known                        bool
	Kind, File, Dated            string
	There                        bool
	Wrong                        map[string]string // why what was typed was not written, by column
}

func show(v *frame.Visit) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	return showWith(v, sheet, f, form, refusal{})
}

// showWith shows the page with what was sent and could not be taken.
func showWith(v *frame.Visit, sheet *ingredients.Sheet, f *frame.Opened, form frame.Form, no refusal) error {
	sections, err := frame.Fields(f, fieldTable, nil)
	if err != nil {
		return err
	}
	v.Again(sections, no.unwritten)
	complete, _ := f.Text(edit.Path{"composition", "complete"})
	held, _ := f.Text(edit.Path{"composition", "held_by_assessor"})
	list, _ := f.Text(edit.Path{"allergens", "list"})
	amendment, _ := f.Text(edit.Path{"fragrance_limits", "amendment"})
	certDated, _ := f.Text(edit.Path{"fragrance_limits", "dated"})
	data := map[string]any{"ID": v.R.PathValue("id"), "Base": f.Hash, "What": sections[0], "More": sections[1:],
		"ReadOnly":     v.Site.ReadOnly,
		"Constituents": no.again(v, constituents(v, f)), "Complete": no.typed(v, "/composition/complete", complete),
		"Held": held, "Impurities": no.again(v, impurities(f)), "No": no, "Trouble": no.trouble(),
		"Papers":   papers(v, f, sheet),
		"Declared": f.Len(edit.Path{"allergens", "declared"}), "List": frame.AllergenList(list),
		"HasAllergens": f.Has(edit.Path{"allergens"}), "Limits": no.again(v, limits(f)),
		"Known": known(sheet), "Scent": sheet.IsScent() ||
			f.Has(edit.Path{"allergens"}) || f.Has(edit.Path{"fragrance_limits"}),
		"Uses": uses(v, sheet), "Paste": no.paste,
		"Amendment": no.typed(v, "/fragrance_limits/amendment", amendment),
		"CertDated": no.typed(v, "/fragrance_limits/dated", certDated),
		"Kinds":     paperKinds(), "Sum": declared(sheet)}
	fs := findings(v, form.File)
	data["Findings"] = v.TellAll(fs)
	used := useNames(v, sheet)
	facts := frame.Escape("used in "+or(strings.Join(used, ", "), "no product")) + " · "
	if len(used) == 0 && len(fs) == 0 { // most is found out with a product
		facts += "checked once a product uses it"
	} else {
		facts += frame.CountsHTML(finding.Count(fs))
	}
	return v.Show(frame.Page{Title: sheet.Name, Place: "materials", Crumb: &frame.Link{Href: "/materials",
		Text: "Materials"},
		Facts: facts, Template: "material", Data: data,
		Refused: no.unwritten != nil || no.added != nil})
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// findings are those about the file of the sheet, with all products.
func findings(v *frame.Visit, file string) []finding.Finding {
	all, _ := v.Shot.Points()
	var fs []finding.Finding
	for _, f := range all {
		if f.Pos.File == file {
			fs = append(fs, f)
		}
	}
	return fs
}

func constituents(v *frame.Visit, f *frame.Opened) []line {
	dict := v.Shot.Options.Law.Dictionary()
	at := edit.Path{"composition", "constituents"}
	var list []line
	for i := range f.Len(at) {
		p := at.At(i)
		l := line{N: i, Path: p.String()}
		l.Name, _ = f.Text(p.Then("inci"))
		l.CAS, _ = f.Text(p.Then("cas"))
		l.EC, _ = f.Text(p.Then("ec"))
		l.Pct, _ = f.Text(p.Then("pct"))
		read := dict.Resolve(l.Name, l.CAS, l.EC)
		l.Known = !slices.ContainsFunc(read.Names, func(n names.Named) bool { return !n.Known() })
		if name := read.First().Name; l.Known && !read.Several() && name != l.Name {
			l.Official = name
		}
		list = append(list, l)
	}
	return list
}

func impurities(f *frame.Opened) []line {
	at := edit.Path{"impurities"}
	var list []line
	for i := range f.Len(at) {
		p := at.At(i)
		l := line{N: i, Path: p.String()}
		l.Name, _ = f.Text(p.Then("name"))
		l.CAS, _ = f.Text(p.Then("cas"))
		l.Pct, _ = f.Text(p.Then("amount"))
		list = append(list, l)
	}
	return list
}

// limits are the lines of the certificate, by category.
func limits(f *frame.Opened) []line {
	at := edit.Path{"fragrance_limits", "max_pct"}
	var list []line
	for _, k := range f.Keys(at) {
		value, _ := f.Text(at.Then(k))
		list = append(list, line{Path: at.Then(k).String(), Name: k, Pct: value})
	}
	return list
}

// declared says how much of the material its composition names.
func declared(sheet *ingredients.Sheet) string {
	var low, high exact.Num
	for _, c := range sheet.Composition.Constituents {
		if c.Pct.Rest {
			return ""
		}
		low, high = low.Add(c.Pct.Min), high.Add(c.Pct.Max)
	}
	if len(sheet.Composition.Constituents) == 0 {
		return ""
	}
	if low.Equal(high) {
		return document.FormatPct(low) + " %"
	}
	return document.FormatPct(low) + " to " + document.FormatPct(high) + " %"
}

// known are the substances whose toxicology is on the sheet.
func known(sheet *ingredients.Sheet) (names []string) {
	for _, t := range sheet.Toxicology {
		names = append(names, t.INCI)
	}
	return names
}

type use struct{ Name, Href, Text string }

// uses lists what the material does in products: its content in each.
func uses(v *frame.Visit, sheet *ingredients.Sheet) []use {
	var list []use
	for _, p := range v.Workshop().Products {
		if !slices.Contains(frame.Uses(p), sheet.ID) {
			continue
		}
		u := use{Name: p.Name, Href: "/product/" + url.PathEscape(p.ID) + "/formula"}
		for _, ph := range p.Formula.Phases {
			for _, l := range ph.Lines {
				switch {
				case l.Ingredient == sheet.ID && l.Rest:
					u.Text = "q.s."
				case l.Ingredient == sheet.ID:
					u.Text = fmt.Sprintf("%s %% as written", l.Amount.Decimal())
				}
			}
		}
		if u.Text == "" {
			u.Text = "in a slot or added"
		}
		list = append(list, u)
	}
	return list
}

func useNames(v *frame.Visit, sheet *ingredients.Sheet) []string {
	var names []string
	for _, u := range uses(v, sheet) {
		names = append(names, u.Name)
	}
	return names
}

func save(v *frame.Visit) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	if form.Label, err = fieldNames(); err != nil {
		return err
	}
	form.Again = func(err error) error { return showAgain(v, sheet, form, refusal{unwritten: err}) }
	return v.SaveForm(form, nil)
}
