package bench

import (
	_ "embed"

	"gallipot/dossier/bench/frame"
)

// workshopTable names the fields of the workshop's own page, one a row; see frame.Fields.
//
//go:embed workshop.csv
var workshopTable string

var workshopForm = frame.Form{File: "workshop.yaml", Back: "/workshop"}

// workshopPage is who makes the products, who answers for them, and where they are sold.
func workshopPage(v *frame.Visit) error {
	f, err := v.OpenFile(workshopForm)
	if err != nil {
		return err
	}
	sections, err := frame.Fields(f, workshopTable, nil)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: "The workshop", Place: "today", Crumb: &frame.Link{Href: "/today", Text: "Today"},
		Template: "workshop", Data: map[string]any{"Base": f.Hash, "Sections": sections,
			"ReadOnly": v.Site.ReadOnly}})
}

func saveWorkshop(v *frame.Visit) error { return v.SaveForm(workshopForm, nil) }
