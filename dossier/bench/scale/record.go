package scale

import (
	"bytes"
	"fmt"
	"net/url"

	"gallipot/dossier/batch"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document/page"
	"gallipot/dossier/edit"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// check is a thing that was to be looked at while making.
type check struct{ Path, What, Wanted, Found, OK, By, Wrong string }

// record shows a batch: left what happened, right what is open and to be filled in.
func record(v *frame.Visit) error { return recordWith(v, nil) }

// recordWith shows the record with what was typed and could not be written, and why.
func recordWith(v *frame.Visit, wrong error) error {
	b, form, err := of(v)
	if err != nil {
		return err
	}
	f, err := v.OpenFile(form)
	if err != nil {
		return err
	}
	text, points, err := reviewed(v, b)
	if err != nil {
		return err
	}
	sections, err := frame.Fields(f, batchTable, nil)
	if err != nil {
		return err
	}
	v.Again(sections, wrong)
	var checks []check
	for i := range f.Len(edit.Path{"checks"}) {
		at := edit.Path{"checks"}.At(i)
		c := check{Path: at.String()}
		c.What, _ = f.Text(at.Then("what"))
		c.Wanted, _ = f.Text(at.Then("wanted"))
		c.Found, _ = f.Text(at.Then("found"))
		c.OK, _ = f.Text(at.Then("ok"))
		c.By, _ = f.Text(at.Then("by"))
		c.again(v, wrong)
		checks = append(checks, c)
	}
	stops, openPts := against(v, b)
	standing := ""
	if openPts > 0 {
		standing = openPoints(openPts)
	}
	open := 0
	for _, l := range b.Lines {
		if l.WeighedG == nil {
			open++
		}
	}
	page := frame.Page{Title: "Batch " + b.Code, Place: "batches", Crumb: &frame.Link{Href: "/batches",
		Text: "Batches"}, Template: "batchrecord",
		Facts: frame.Escape(fmt.Sprintf("%s, %s · ", b.State(), frame.Day(b.Date))) +
			frame.CountsHTML(finding.Count(points)),
		Data: map[string]any{"Code": b.Code, "Base": f.Hash, "Text": text,
			"Sections": sections, "Checks": checks, "Points": v.TellAll(points),
			"Open": open, "ReadOnly": v.Site.ReadOnly, "Stops": v.TellAll(stops),
			"Standing": standing, "Undecided": !b.Released()}, Refused: wrong != nil}
	if wrong != nil {
		page.Data.(map[string]any)["Trouble"] = frame.TroubleOf(wrong)
	}
	if open > 0 && !v.Site.ReadOnly {
		page.Acts = []frame.Act{{Link: frame.Link{Href: "/scale/" + url.PathEscape(b.Code), Text: "Go on weighing"},
			Main: true}}
	}
	return v.Show(page)
}

// reviewed is what the record of a batch comes to, as it is printed, and what is to be said of it.
func reviewed(v *frame.Visit, b *workshop.Batch) (frame.HTML, []finding.Finding, error) {
	w := v.Workshop()
	var text bytes.Buffer
	if err := page.WriteBody(&text, batch.Review(w, b, assessed(v, b)).Document(w, v.Shot.Options.Date)); err != nil {
		return "", nil, err
	}
	_, all := v.Shot.Check()
	var points []finding.Finding
	for _, x := range all {
		if x.Pos.File == b.Source.Name {
			points = append(points, x)
		}
	}
	return frame.NamesOf(w).Inside(text.String()), points, nil
}

// again puts back what was sent for a check.
func (c *check) again(v *frame.Visit, wrong error) {
	if wrong == nil {
		return
	}
	for key, value := range map[string]*string{"found": &c.Found, "ok": &c.OK, "by": &c.By} {
		if typed, sent := v.Typed(c.Path + "/" + key); sent {
			*value = typed
		}
		if why := frame.WrongAt(wrong, c.Path+"/"+key); why != "" {
			c.Wrong = why
		}
	}
}

func saveRecord(v *frame.Visit) error {
	b, form, err := of(v)
	if err != nil {
		return err
	}
	labels, err := frame.LabelsOf(batchTable)
	if err != nil {
		return err
	}
	form.Label = func(p edit.Path) string {
		if len(p) == 3 && p[0] == "checks" {
			return map[string]string{"found": "Found", "ok": "In order", "by": "By"}[p[2]]
		}
		return labels(p)
	}
	form.Check = func(g *edit.File) error { return decided(v, b, g) }
	form.Again = func(err error) error { return recordWith(v, err) }
	return v.SaveForm(form, func(*frame.Opened) (frame.Answer, error) {
		b, _, err := of(v) // as it is now
		if err != nil {
			return frame.Answer{}, err
		}
		text, points, err := reviewed(v, b)
		if err != nil {
			return frame.Answer{}, err
		}
		open, err := v.Part("batchpoints", v.TellAll(points))
		return frame.Answer{Out: map[string]frame.HTML{"out-record": text, "out-points": open}}, err
	})
}
