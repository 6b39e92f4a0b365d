package bench

import (
	"cmp"
	_ "embed"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
)

// workshopTable names the fields of the workshop's own page, one a row; see frame.Fields.
//
//go:embed workshop.csv
var workshopTable string

// outletsTable is the list of outlets of the same page; see frame.Listed.
//
//go:embed outlets.csv
var outletsTable string

var workshopForm = frame.Form{File: "workshop.yaml", Back: "/workshop"}

// workshopPage is who makes the products, who answers for them, and where they are sold.
func workshopPage(v *frame.Visit) error { return workshopWith(v, nil, nil) }

// workshopWith shows the page with an outlet that could not be added, or with fields that could
// not be written, and why.
func workshopWith(v *frame.Visit, wrong, unwritten error) error {
	f, err := v.OpenFile(workshopForm)
	if err != nil {
		return err
	}
	sections, err := frame.Fields(f, workshopTable, frame.CountryLists(v.Shot.Options.Law))
	if err != nil {
		return err
	}
	v.Again(sections, unwritten)
	outlets, err := frame.Listed(f, outletsTable, "outlets", edit.Path{"outlets"}, nil)
	if err != nil {
		return err
	}
	v.AgainListed(unwritten, outlets)
	if wrong != nil {
		outlets.Typed(v, wrong)
	}
	data := map[string]any{"Base": f.Hash, "Sections": sections, "Outlets": outlets,
		"Action": workshopForm.Back, "AddTo": "/workshop/outlets", "ReadOnly": v.Site.ReadOnly}
	if unwritten != nil {
		data["Trouble"] = frame.TroubleOf(unwritten)
	}
	return v.Show(frame.Page{Title: "The workshop", Place: "today", Crumb: &frame.Link{Href: "/today", Text: "Today"},
		Template: "workshop", Data: data, Refused: wrong != nil || unwritten != nil})
}

func saveWorkshop(v *frame.Visit) error {
	form := workshopForm
	of, err := frame.LabelsOf(workshopTable)
	if err != nil {
		return err
	}
	inLists, err := frame.LabelsOfLists(outletsTable)
	if err != nil {
		return err
	}
	form.Label = func(p edit.Path) string { return cmp.Or(of(p), inLists(p)) }
	form.Again = func(err error) error { return workshopWith(v, nil, err) }
	return v.SaveForm(form, nil)
}

// addOutlet writes a new outlet; what cannot be added comes back with what was typed.
func addOutlet(v *frame.Visit) error {
	form := workshopForm
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	if form.Label, err = frame.LabelsOfLists(outletsTable); err != nil {
		return err
	}
	entry, what, err := v.Entry(outletsTable, "outlets", "")
	if err == nil {
		err = v.SaveWith(form, f, history.Label{Thing: "outlets", New: what},
			[]edit.Edit{edit.Insert(edit.Path{"outlets", "-"}, entry)})
	}
	if err != nil {
		return workshopWith(v, err, nil)
	}
	return nil
}
