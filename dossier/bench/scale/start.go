package scale

import (
	"net/url"
	"strings"

	"gallipot/dossier/batch"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/weigh"
)

// start plans a batch and writes its record, empty, under the next code.
func start(v *frame.Visit) error {
	id, variant, _ := strings.Cut(v.Field("what"), "/")
	w := v.Workshop()
	p := w.Product(id)
	if p == nil {
		return showPlan(v, "Choose a product.", nil)
	}
	mass, err := weigh.ParseMass(v.Field("size"))
	if err != nil {
		return showPlan(v, "The size of the batch is a mass, such as 2.5 kg or 800 g.", nil)
	}
	code, err := batch.NextCode(w, p.ID, variant, v.Shot.Options.Date)
	if err != nil {
		return err
	}
	a := v.Shot.Assess(p)
	sheet, err := weigh.Weigh(w, a, variant, weigh.WeighOptions{BatchG: &mass, Code: code})
	if err != nil {
		return err
	}
	points := v.TellAll(sheet.Findings)
	switch {
	case sheet.Blocked():
		return showPlan(v, "This batch cannot be made as the formula stands.", points)
	case sheet.Stops() && v.Field("anyway") == "":
		return showPlan(v, "A stop is open. The batch may be made for tests and may not be sold.", points)
	}
	back := "/scale/" + url.PathEscape(code)
	return v.SaveFiles(history.Label{Thing: "batch " + code, New: "begun", Place: "/batches"}, back,
		history.Change{Name: "batches/" + code + ".yaml", Data: batch.RecordText(sheet)})
}
