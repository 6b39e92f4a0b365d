package scale

import (
	"bytes"
	"fmt"
	"net/url"

	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document/page"
	"gallipot/dossier/edit"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// check is a thing that was to be looked at while making.
type check struct{ Path, What, Wanted, Found, OK, By string }

// record shows a batch: left what happened, right what is open and to be filled in.
func record(v *frame.Visit) error {
	b, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	w := v.Workshop()
	var a *assess.Assessment
	p := w.Product(b.Product)
	if p != nil && len(w.Computable([]*workshop.Product{p})) == 1 {
		a = v.Shot.Assess(p)
	}
	review := batch.Review(w, b, a)
	var text bytes.Buffer
	if err := page.WriteBody(&text, review.Document(w, v.Shot.Options.Date)); err != nil {
		return err
	}
	sections, err := frame.Fields(f, batchTable, nil)
	if err != nil {
		return err
	}
	var checks []check
	for i := range f.Len(edit.Path{"checks"}) {
		at := edit.Path{"checks"}.At(i)
		c := check{Path: at.String()}
		c.What, _ = f.Text(at.Then("what"))
		c.Wanted, _ = f.Text(at.Then("wanted"))
		c.Found, _ = f.Text(at.Then("found"))
		c.OK, _ = f.Text(at.Then("ok"))
		c.By, _ = f.Text(at.Then("by"))
		checks = append(checks, c)
	}
	_, all := v.Shot.Check()
	var points []finding.Finding
	open := 0
	for _, x := range all {
		if x.Pos.File == b.Source.Name {
			points = append(points, x)
		}
	}
	for _, l := range b.Lines {
		if l.WeighedG == nil {
			open++
		}
	}
	page := frame.Page{Title: "Batch " + b.Code, Place: "batches", Crumb: &frame.Link{Href: "/batches",
		Text: "Batches"}, Template: "batchrecord",
		Facts: frame.Escape(fmt.Sprintf("%s, %s · ", b.State(), frame.Day(b.Date))) +
			frame.CountsHTML(finding.Count(points)),
		Data: map[string]any{"Code": b.Code, "Base": f.Hash, "Text": frame.NamesOf(w).Inside(text.String()),
			"Sections": sections, "Checks": checks, "Points": v.TellAll(points),
			"Open": open, "ReadOnly": v.Site.ReadOnly}}
	if open > 0 && !v.Site.ReadOnly {
		page.Acts = []frame.Act{{Link: frame.Link{Href: "/scale/" + url.PathEscape(b.Code), Text: "Go on weighing"},
			Main: true}}
	}
	return v.Show(page)
}

func saveRecord(v *frame.Visit) error {
	_, form, err := of(v)
	if err != nil {
		return err
	}
	return v.SaveForm(form, nil)
}
