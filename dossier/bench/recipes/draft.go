package recipes

import (
	"cmp"
	"net/url"
	"slices"
	"strings"

	"gallipot/dossier/bench/frame"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/transcribe/draft"
	"gallipot/dossier/transcribe/formulation"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// line is a line of the draft with its amount.
type line struct {
	Path, ID, Phase, Name, Printed, Value string
	Open, Slot                            bool
}

// material is one that the formula names and no sheet is called.
type material struct {
	N      int
	Name   string
	Sheets []frame.Choice
}

// drafted is a product as drafted, with the answers of the form.
type drafted struct {
	files []draft.File
	file  *frame.Opened
	fresh []material
	names map[string]string
}

// sheets are those of the workshop, and those that the maker says a name means.
func sheets(v *frame.Visit, p *formulation.Product) (list []draft.Material, fresh []material) {
	known := map[string]bool{}
	for _, id := range v.Workshop().SheetIDs() {
		name := v.Workshop().Sheets[id].Name
		list = append(list, draft.Material{ID: id, Name: name})
		known[lexicon.Fold(name)], known[lexicon.Fold(strings.ReplaceAll(id, "-", " "))] = true, true
	}
	all := slices.Clone(list)
	for _, l := range p.Lines() {
		if known[lexicon.Fold(l.Name)] || !l.Counted() {
			continue
		}
		known[lexicon.Fold(l.Name)] = true
		m := material{N: len(fresh), Name: l.Name}
		is := v.Field("is" + frame.Number(m.N))
		for _, s := range all {
			m.Sheets = append(m.Sheets, frame.Choice{Value: s.ID, Text: s.Name, Here: s.ID == is})
			if s.ID == is {
				list = append(list, draft.Material{ID: s.ID, Name: l.Name})
			}
		}
		fresh = append(fresh, m)
	}
	return list, fresh
}

func draftOf(v *frame.Visit, r *formulation.Reading, n int) (*drafted, error) {
	p := r.Products[n]
	opt := draft.Options{Source: r.File, ID: draft.ID(cmp.Or(v.Field("text:/name"), p.Name))}
	d := &drafted{names: map[string]string{}}
	opt.Sheets, d.fresh = sheets(v, &p)
	d.files = draft.Product(&p, opt)
	f, err := edit.Parse(d.files[0].Path, []byte(d.files[0].Text))
	if err != nil {
		return nil, err
	}
	d.file = &frame.Opened{File: f}
	for id, s := range v.Workshop().Sheets {
		d.names[id] = s.Name
	}
	for _, stub := range d.files[1:] {
		g, err := edit.Parse(stub.Path, []byte(stub.Text))
		if err != nil {
			return nil, err
		}
		id, _ := g.Text(edit.Path{"id"})
		d.names[id], _ = g.Text(edit.Path{"name"})
	}
	return d, nil
}

// lines are those of the draft that hold an amount.
func (d *drafted) lines(v *frame.Visit) (list []line) {
	add := func(at edit.Path, phase, key string) {
		l := line{Path: at.Then(key).String(), Phase: phase}
		l.ID = strings.ReplaceAll(strings.Trim(l.Path, "/"), "/", "-")
		l.Value, _ = d.file.Text(at.Then(key))
		if slot, ok := d.file.Text(at.Then("slot")); ok {
			l.Name, l.Slot = slot, true
		} else {
			id, _ := d.file.Text(at.Then("ingredient"))
			l.Name = cmp.Or(d.names[id], id)
		}
		if printed, ok := strings.CutPrefix(l.Value, "? "); ok {
			l.Printed, l.Value, l.Open = printed, "", true
		}
		if typed, ok := v.R.PostForm["set:"+l.Path]; ok {
			l.Value = typed[0]
		}
		list = append(list, l)
	}
	for i := range d.file.Len(edit.Path{"formula", "phases"}) {
		phase := edit.Path{"formula", "phases"}.At(i)
		name, _ := d.file.Text(phase.Then("id"))
		if more, ok := d.file.Text(phase.Then("name")); ok {
			name += " " + more
		}
		for j := range d.file.Len(phase.Then("lines")) {
			add(phase.Then("lines").At(j), name, "amount")
		}
	}
	for i := range d.file.Len(edit.Path{"variants"}) {
		at := edit.Path{"variants"}.At(i).Then("then_add")
		for j := range d.file.Len(at) {
			add(at.At(j), "after 100 parts", "parts_per_100")
		}
	}
	return list
}

func (d desk) show(v *frame.Visit) error { return d.showWith(v, nil) }

func (d desk) showWith(v *frame.Visit, wrong error) error {
	kept, r, n, err := d.waiting(v)
	if err != nil {
		return err
	}
	dr, err := draftOf(v, r, n)
	if err != nil {
		return err
	}
	p := r.Products[n]
	basis, _ := dr.file.Text(edit.Path{"formula", "basis"})
	unit := map[string]string{"percent": "%", "grams": "g"}[basis]
	var asides []string
	for _, list := range [][]string{p.Asks, p.Warnings, r.Asks, r.Warnings} {
		for _, s := range list {
			asides = append(asides, frame.Sentence(s))
		}
	}
	var passed []string
	for _, x := range r.NotUnderstood {
		passed = append(passed, x.Text)
	}
	var products []frame.Link
	for i, x := range r.Products {
		products = append(products, frame.Link{Href: "/formulas/" + kept.Key + "?product=" + frame.Number(i),
			Text: x.Name})
	}
	data := map[string]any{"Key": kept.Key, "N": n, "Products": products, "Lines": dr.lines(v), "Unit": unit,
		"Fresh": dr.fresh, "Asks": asides, "Passed": passed, "Steps": p.Steps, "ReadOnly": v.Site.ReadOnly,
		"Name": cmp.Or(v.Field("text:/name"), p.Name), "Types": types(v, v.Field("set:/product_type")),
		"For": v.Field("set:/intended_for"), "G": v.Field("set:/net_content/g"), "ML": v.Field("set:/net_content/ml")}
	if wrong != nil {
		data["Error"] = frame.TroubleOf(wrong)
	}
	return v.Show(frame.Page{Title: p.Name, Place: "products",
		Crumb: &frame.Link{Href: "/formulas", Text: "A formula you have already"},
		Facts: frame.Escape("as read from " + kept.Name + " · nothing is written yet"), Template: "formuladraft",
		Data: data})
}

// write writes product and new sheets as one step; what cannot be written comes back with
// what was typed.
func (d desk) write(v *frame.Visit) error {
	kept, r, n, err := d.waiting(v)
	if err != nil {
		return err
	}
	changes, name, id, err := d.changes(v, r, n)
	if err != nil {
		return d.showWith(v, err)
	}
	place := "/product/" + url.PathEscape(id) + "/formula"
	if len(changes) > 1 { // what is in the new materials comes first
		place = "/torn"
	}
	if len(r.Products) == 1 {
		if err := v.Store.DropPaper(kept.Key); err != nil {
			return err
		}
	}
	return v.SaveFiles(history.Label{Thing: "new product", New: name, Place: "/products"}, place, changes...)
}

func (d desk) changes(v *frame.Visit, r *formulation.Reading, n int) (list []history.Change, name, id string,
	err error) {
	dr, err := draftOf(v, r, n)
	if err != nil {
		return nil, "", "", err
	}
	for _, l := range dr.lines(v) {
		if l.Value == "" && v.Field("out:"+l.Path) == "" {
			return nil, "", "", frame.Wrong("The amount of "+l.Name+" is open.",
				"Type it, or tick that the line is left out.")
		}
	}
	name, id = v.Field("text:/name"), draft.ID(v.Field("text:/name"))
	switch {
	case name == "":
		return nil, "", "", frame.Wrong("The product has no name.", "Write the name that stands on the label.")
	case !frame.FreeName(v, "products", id):
		return nil, "", "", frame.Wrong("There is a product of that name.", "Give this one another.")
	case v.Field("set:/product_type") == "":
		return nil, "", "", frame.Wrong("What kind of product it is is not stated.",
			"Choose it: the law and the exposure depend on it.")
	case v.Field("set:/intended_for") == "":
		return nil, "", "", frame.Wrong("Whom it is for is not stated.", "Choose it: limits depend on it.")
	}
	form := frame.Form{File: dr.files[0].Path}
	edits, _, err := v.Edits(form, dr.file)
	if err != nil {
		return nil, "", "", err
	}
	edits = append(without(dr.lines(v), v, edits), outs(dr.lines(v), v)...)
	g, err := dr.file.Apply(edits...)
	if err != nil {
		return nil, "", "", err
	}
	p, fs := workshop.ReadProduct(source.NewSource(form.File, g.Bytes()), v.Workshop().Markets,
		v.Shot.Options.Law)
	list = append(list, history.Change{Name: form.File, Data: g.Bytes()})
	for _, stub := range dr.files[1:] {
		id := strings.TrimSuffix(strings.TrimPrefix(stub.Path, "ingredients/"), ".yaml")
		if p != nil && !slices.Contains(frame.Uses(p), id) {
			continue // its line was left out
		}
		list = append(list, history.Change{Name: stub.Path, Data: []byte(stub.Text)})
	}
	if i := slices.IndexFunc(fs, func(f finding.Finding) bool { return f.Unread }); i >= 0 {
		t := v.Names().Tell(fs[i])
		return nil, "", "", frame.Wrong(t.Message, t.Fix)
	}
	return list, name, id, nil
}

// without leaves out the edits of lines that are taken out.
func without(lines []line, v *frame.Visit, edits []edit.Edit) []edit.Edit {
	return slices.DeleteFunc(edits, func(e edit.Edit) bool {
		return slices.ContainsFunc(lines, func(l line) bool {
			return l.Path == e.Path().String() && v.Field("out:"+l.Path) != ""
		})
	})
}

// outs takes lines out, the last first, so that the places of the others stay.
func outs(lines []line, v *frame.Visit) (edits []edit.Edit) {
	for _, l := range slices.Backward(lines) {
		if v.Field("out:"+l.Path) != "" {
			at, err := edit.ParsePath(l.Path[:strings.LastIndex(l.Path, "/")])
			if err == nil { // the draft made it
				edits = append(edits, edit.Remove(at))
			}
		}
	}
	return edits
}
