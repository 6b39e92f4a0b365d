package records

import (
	"encoding/csv"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/workshop"
)

// target is what a form is for: a list of the file of a product, and the page it is on.
type target struct {
	at      edit.Path
	page    *recordPage
	product *workshop.Product
	form    frame.Form
}

func targetOf(v *frame.Visit) (t target, err error) {
	if t.at, err = edit.ParsePath(v.Field("list")); err != nil {
		return t, err
	}
	if t.page = pageOf(t.at); t.page == nil {
		return t, frame.Wrong("That list is not known.", "Load the page anew.")
	}
	t.product, _, t.form, err = of(v, t.page.key)
	return t, err
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

// labels are the names of the columns of the lists, by the place of a value.
func labels(p edit.Path) string {
	p = slices.DeleteFunc(slices.Clone(p), func(step string) bool {
		_, err := strconv.Atoi(step)
		return err == nil || step == "-"
	})
	all, err := csv.NewReader(strings.NewReader(lists)).ReadAll()
	if err != nil || len(p) < 2 {
		return ""
	}
	name := nameOf(p[:len(p)-1])
	for _, r := range all[1:] {
		if r[0] == name && r[1] != "" && r[1] == p[len(p)-1] {
			return r[3]
		}
	}
	return ""
}

// add writes a new entry of a list, with its file where one is sent. What cannot be added
// comes back with what was typed.
func add(v *frame.Visit) error {
	t, err := targetOf(v)
	if err != nil {
		return err
	}
	if err := addTo(v, t.product, t.at, t.form); err != nil {
		return t.page.showWith(v, &failed{t.at.String(), err}, nil)
	}
	return nil
}

func addTo(v *frame.Visit, p *workshop.Product, at edit.Path, form frame.Form) error {
	f, err := v.Base(form)
	if err != nil {
		return err
	}
	form.Label = labels
	name := nameOf(at)
	if name == "documents" && v.Field("new:kind") == "" {
		return frame.Wrong("What kind of paper it is is not stated.",
			"Choose the kind; it decides what the paper shows.")
	}
	paper, err := sent(v, p, name)
	if err != nil {
		return err
	}
	if (name == "documents" || name == "pictures") && paper == nil {
		return frame.Wrong("No file was chosen.", "Choose a file, or drop it on the field.")
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
	return v.SaveWith(form, f, history.Label{Thing: frame.FieldName(at[len(at)-1]) + " of " + p.Name,
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
	t, err := targetOf(v)
	if err != nil {
		return err
	}
	f, err := v.Base(t.form)
	if err != nil {
		return err
	}
	paper, err := sent(v, t.product, "report")
	switch {
	case err != nil:
		return err
	case paper == nil:
		return frame.Wrong("No paper was chosen.", "Choose a file, or drop it on the field.")
	case len(t.at) != 2 || !f.Has(t.at):
		return &frame.Trouble{Status: http.StatusUnprocessableEntity, What: "That test is not there.",
			Fix: "Load the page anew."}
	}
	return v.SaveWith(t.form, f, history.Label{Thing: "report of " + t.product.Name, New: paper.Name},
		[]edit.Edit{edit.Set(t.at.Then("file"), edit.Typed(paper.Name))}, *paper)
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
