package material

import (
	_ "embed"
	"slices"

	"gallipot/calc/law/tox"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/ingredients"
)

// toxicologyTable are the lists of the page; see frame.Listed.
//
//go:embed toxicology.csv
var toxicologyTable string

// words are what may be chosen on the page: the substances of the sheet, and the endpoints.
func words(sheet *ingredients.Sheet) map[string][]frame.Choice {
	m := map[string][]frame.Choice{}
	for _, c := range sheet.Composition.Constituents {
		m["substances"] = append(m["substances"], frame.Choice{Value: c.INCI, Text: c.INCI})
	}
	if sheet.Allergens != nil {
		for _, a := range sheet.Allergens.Declared {
			if x := (frame.Choice{Value: a.Name, Text: a.Name}); !slices.Contains(m["substances"], x) {
				m["substances"] = append(m["substances"], x)
			}
		}
	}
	for _, e := range tox.Builtin().Endpoints() {
		if e.Part != tox.PartProduct {
			m["endpoints"] = append(m["endpoints"], frame.Choice{Value: e.Key, Text: e.Name})
		}
	}
	return m
}

// toxicology is the page of what papers say of the substances of a material.
func toxicology(v *frame.Visit) error { return toxicologyWith(v, "", nil, nil) }

// toxicologyWith shows the page with an entry that could not be added to a list, or with fields
// that could not be written, and why.
func toxicologyWith(v *frame.Visit, list string, wrong, unwritten error) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	choices := words(sheet)
	at := edit.Path{"toxicology"}
	all, err := frame.Listed(f, toxicologyTable, "toxicology", at, choices)
	if err != nil {
		return err
	}
	for i := range all.Rows {
		in, err := frame.Listed(f, toxicologyTable, "endpoints", at.At(i).Then("endpoints"), choices)
		if err != nil {
			return err
		}
		all.Rows[i].Lists = []*frame.Listing{in}
		if wrong != nil && in.Path == list {
			in.Typed(v, wrong)
		}
	}
	if wrong != nil && all.Path == list {
		all.Typed(v, wrong)
	}
	v.AgainListed(unwritten, all)
	data := map[string]any{"List": all, "Base": f.Hash, "ReadOnly": v.Site.ReadOnly,
		"Action": form.Back + "/toxicology", "AddTo": form.Back + "/toxicology/add"}
	if unwritten != nil {
		data["Trouble"] = frame.TroubleOf(unwritten)
	}
	return v.Show(frame.Page{Title: "Toxicology of " + sheet.Name, Place: "materials",
		Crumb: &frame.Link{Href: form.Back, Text: sheet.Name}, Template: "toxicology",
		Data: data, Refused: wrong != nil || unwritten != nil})
}

func saveToxicology(v *frame.Visit) error {
	_, form, err := of(v)
	if err != nil {
		return err
	}
	form.Back += "/toxicology"
	if form.Label, err = frame.LabelsOfLists(toxicologyTable); err != nil {
		return err
	}
	form.Again = func(err error) error { return toxicologyWith(v, "", nil, err) }
	return v.SaveForm(form, nil)
}

// addToxicology writes a new substance, or a new endpoint of one; what cannot be added comes
// back with what was typed.
func addToxicology(v *frame.Visit) error {
	sheet, form, err := of(v)
	if err != nil {
		return err
	}
	form.Back += "/toxicology"
	at, err := edit.ParsePath(v.Field("list"))
	if err != nil {
		return err
	}
	name := "toxicology"
	if len(at) == 3 && at[2] == "endpoints" {
		name = "endpoints"
	}
	f, err := v.Base(form)
	switch {
	case err != nil:
		return err
	case name == "toxicology" && !slices.Equal(at, edit.Path{"toxicology"}),
		name == "endpoints" && (at[0] != "toxicology" || !f.Has(at[:2])):
		return frame.Wrong("That list is not known.", "Load the page anew.")
	}
	if form.Label, err = frame.LabelsOfLists(toxicologyTable); err != nil {
		return err
	}
	entry, what, err := v.Entry(toxicologyTable, name, "")
	if err == nil {
		err = v.SaveWith(form, f, history.Label{Thing: name + " of " + sheet.Name, New: what},
			[]edit.Edit{edit.Insert(at.Then("-"), entry)})
	}
	if err != nil {
		return toxicologyWith(v, at.String(), err, nil)
	}
	return nil
}
