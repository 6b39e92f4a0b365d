package records

import (
	"net/http"
	"path"
	"slices"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/workshop"
)

// target is the list of the file that a form is for.
func target(v *frame.Visit) (edit.Path, *recordPage, error) {
	at, err := edit.ParsePath(v.Field("list"))
	if err != nil {
		return nil, nil, err
	}
	rp := pageOf(at)
	if rp == nil {
		return nil, nil, frame.Wrong("That list is not known.", "Load the page anew.")
	}
	return at, rp, nil
}

// nameOf is the list of records.csv that stands at a path: its last step, or the name that
// the table has for it.
func nameOf(at edit.Path) string {
	for name, place := range places {
		if slices.Equal(place, at) {
			return name
		}
	}
	return at[len(at)-1]
}

// add writes a new entry of a list, with its file where one is sent. What cannot be added
// comes back with what was typed.
func add(v *frame.Visit) error {
	at, rp, err := target(v)
	if err != nil {
		return err
	}
	p, _, form, err := of(v, rp.key)
	if err != nil {
		return err
	}
	if err := addTo(v, p, at, form); err != nil {
		return rp.showWith(v, &failed{at.String(), err})
	}
	return nil
}

func addTo(v *frame.Visit, p *workshop.Product, at edit.Path, form frame.Form) error {
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	name := nameOf(at)
	if name == "documents" && v.Field("new:kind") == "" {
		return frame.Wrong("What kind of paper it is is not stated.",
			"Choose the kind; it decides what the paper shows.")
	}
	paper, err := sent(v, p, name)
	if err != nil {
		return err
	}
	if name == "documents" && paper == nil {
		return frame.Wrong("No paper was chosen.", "Choose a file, or drop it on the field.")
	}
	if name == "pictures" && paper == nil {
		return frame.Wrong("No photograph was chosen.", "Choose a JPEG or PNG, or drop it on the field.")
	}
	if name == "pictures" && !slices.Contains([]string{".jpg", ".jpeg", ".png"}, path.Ext(paper.Name)) {
		return frame.Wrong("That is no photograph.", "Take a JPEG or PNG; other papers are filed above.")
	}
	file := ""
	var more []history.Change
	if paper != nil {
		file, more = paper.Name, append(more, *paper)
	}
	entry, what, err := v.Entry(lists, name, file)
	if err != nil {
		return err
	}
	return v.SaveWith(form, f, history.Label{Thing: strings.ReplaceAll(at[len(at)-1], "_", " ") + " of " + p.Name,
		New: what}, []edit.Edit{edit.Insert(at.Then("-"), entry)}, more...)
}

// sent is the paper that was sent along, under a free name; nil where there is none.
func sent(v *frame.Visit, p *workshop.Product, name string) (*history.Change, error) {
	ext, data, ok, err := v.SentPaper()
	if err != nil || !ok {
		return nil, err
	}
	kind := v.Field("new:kind")
	if kind == "" {
		kind = strings.TrimSpace(name + " " + v.Field("new:test"))
	}
	where, err := v.FreePaper(p.ID+"-"+kind, ext)
	return &history.Change{Name: where, Data: data}, err
}

// report files the report of a test that is on record.
func report(v *frame.Visit) error {
	at, rp, err := target(v)
	if err != nil {
		return err
	}
	p, _, form, err := of(v, rp.key)
	if err != nil {
		return err
	}
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	paper, err := sent(v, p, "report")
	switch {
	case err != nil:
		return err
	case paper == nil:
		return frame.Wrong("No paper was chosen.", "Choose a file, or drop it on the field.")
	case len(at) != 2 || !f.Has(at):
		return &frame.Trouble{Status: http.StatusUnprocessableEntity, What: "That test is not there.",
			Fix: "Load the page anew."}
	}
	return v.SaveWith(form, f, history.Label{Thing: "report of " + p.Name, New: paper.Name},
		[]edit.Edit{edit.Set(at.Then("file"), edit.Typed(paper.Name))}, *paper)
}

// noComplaint writes that none is known, which saying nothing does not.
func noComplaint(v *frame.Visit) error {
	p, _, form, err := of(v, "complaints")
	if err != nil {
		return err
	}
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	if f.Has(edit.Path{"complaints"}) {
		return v.Go(form.Back)
	}
	return v.SaveWith(form, f, history.Label{Thing: "complaints of " + p.Name, New: "none known"},
		[]edit.Edit{edit.Set(edit.Path{"complaints"}, edit.List())})
}
