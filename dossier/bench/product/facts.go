package product

import (
	_ "embed"
	"encoding/csv"
	"strings"

	"gallipot/dossier/bench/frame"
)

// factsTable names the fields of the page, one a row; see frame.Fields.
//
//go:embed facts.csv
var factsTable string

// factLabel returns what the page calls the field of a path.
func factLabel(path string) (label string, ok bool) {
	rows, err := csv.NewReader(strings.NewReader(factsTable)).ReadAll()
	if err != nil {
		return "", false
	}
	for _, r := range rows[1:] {
		if r[1] == path && (r[2] == "set" || r[2] == "text" || r[2] == "long") && r[5] == "" {
			return r[3], true
		}
	}
	return "", false
}

// facts is the page of what a product is: everything of its file beside the formula that is
// a single value or a list of sentences.
func facts(v *frame.Visit) error { return factsWith(v, nil) }

// factsWith shows it with what was typed and could not be written, and why.
func factsWith(v *frame.Visit, wrong error) error {
	p, a, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	var types []frame.Choice
	for _, t := range typesOf(v) {
		types = append(types, frame.Choice{Value: t.Key, Text: t.Name})
	}
	lists := frame.CountryLists(v.Shot.Options.Law)
	lists["product types"] = types
	sections, err := frame.Fields(f, factsTable, lists)
	if err != nil {
		return err
	}
	v.Again(sections, wrong)
	data := map[string]any{"ID": p.ID, "Base": f.Hash, "Sections": sections, "ReadOnly": v.Site.ReadOnly}
	if wrong != nil {
		data["Trouble"] = frame.TroubleOf(wrong)
	}
	return v.Show(frame.ProductPage(v, p, a, "facts", frame.Page{Template: "productfacts", Data: data,
		Refused: wrong != nil}))
}

func saveFacts(v *frame.Visit) error {
	_, _, form, err := of(v)
	if err != nil {
		return err
	}
	form.Back += "/facts"
	if form.Label, err = frame.LabelsOf(factsTable); err != nil {
		return err
	}
	form.Again = func(err error) error { return factsWith(v, err) }
	return v.SaveForm(form, nil)
}
