package grid

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/exposure"
	"gallipot/calc/limits"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/document"
	"gallipot/dossier/edit"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// trialView is what a trial changes, filed against trial.
type trialView struct {
	Changes       []edit.Difference
	Before, After finding.Counts
	Rows          []difference
	Gone, New     []string
	Revision      int
}

type difference struct{ Name, Was, Here string }

// openTrial computes the trial copy in place of the file.
func (q *ask) openTrial() error {
	q.filed = q.a
	d, ok, err := q.v.Store.Draft(q.form.File)
	if err != nil || !ok {
		return err
	}
	a, findings := q.v.Shot.Trial(q.form.File, d.Data)
	if a == nil {
		no := q.cannot(findings)
		return frame.Wrong("The trial cannot be computed any more: "+no.Error,
			"Throw it away, or mend what it rests on.")
	}
	q.a, q.p = a, a.Product
	return nil
}

// compared sets the trial beside what is filed.
func (q *ask) compared(f *frame.Opened) (*trialView, error) {
	filed, _, err := q.v.Store.Read(q.form.File)
	if err != nil {
		return nil, err
	}
	t := &trialView{Before: q.counts(q.filed), After: q.counts(q.a), Revision: q.filed.Product.Revision + 1}
	t.Changes, _ = edit.Compare(filed, f.Bytes(), filed)
	for i := range t.Changes {
		if p, err := edit.ParsePath(t.Changes[i].Path); err == nil {
			if name := q.lineName(f, p); name != "" {
				t.Changes[i].Name = name
			}
		}
	}
	key := func(x finding.Finding) string { return x.Code + "\x00" + x.Subject }
	was, is := map[string]bool{}, map[string]bool{}
	for _, x := range q.filed.Findings {
		was[key(x)] = true
	}
	for _, x := range q.a.Findings {
		is[key(x)] = true
		if !was[key(x)] {
			t.New = append(t.New, q.names.Message(x))
		}
	}
	for _, x := range q.filed.Findings {
		if !is[key(x)] {
			t.Gone = append(t.Gone, q.names.Message(x))
		}
	}
	q.compareResults(t)
	return t, nil
}

// lineName names a place in the formula by its material.
func (q *ask) lineName(f *frame.Opened, p edit.Path) string {
	if len(p) < 5 || p[0] != "formula" || p[3] != "lines" {
		return ""
	}
	id, ok := f.Text(p[:5].Then("ingredient"))
	if !ok {
		id, _ = f.Text(p[:5].Then("slot"))
	}
	if len(p) == 6 && p[5] == "amount" {
		return q.names.Name(id) + ", written"
	}
	return q.names.Name(id) + ", " + strings.Join(p[5:], " ")
}

// compareResults lists what differs of the variant and market shown.
func (q *ask) compareResults(t *trialView) {
	old := q.filed.Result(q.variant.ID, q.market)
	now := q.a.Result(q.variant.ID, q.market)
	if old == nil || now == nil {
		return
	}
	add := func(name, was, here string) {
		if was != here {
			t.Rows = append(t.Rows, difference{name, was, here})
		}
	}
	where := frame.VariantShort(q.p, q.variant) + ", " + string(q.market)
	add("Ingredient list, "+where, old.List.Line(), now.List.Line())
	add("Allergens on the label, "+where, onLabel(old), onLabel(now))
	add("Raw materials a kg", q.cost(old), q.cost(now))
	t.both(lines(old.Margins, marginLine), lines(now.Margins, marginLine))
	t.both(lines(old.Limits, limitLine), lines(now.Limits, limitLine))
	t.both(q.papersOf(q.filed.Product), q.papersOf(q.p))
}

// figureLine is a figure by what it is of.
type figureLine struct{ name, text string }

// lines are the figures of a list, without those that have none.
func lines[T any](list []T, of func(T) figureLine) (all []figureLine) {
	for _, x := range list {
		if l := of(x); l.name != "" {
			all = append(all, l)
		}
	}
	return all
}

// both adds what differs between two lists of figures; what one of them lacks is said.
func (t *trialView) both(was, here []figureLine) {
	text := func(list []figureLine, name string) string {
		for _, l := range list {
			if l.name == name {
				return l.text
			}
		}
		return "not in it"
	}
	var names []string
	for _, l := range slices.Concat(was, here) {
		if !slices.Contains(names, l.name) {
			names = append(names, l.name)
		}
	}
	for _, name := range names {
		if a, b := text(was, name), text(here, name); a != b {
			t.Rows = append(t.Rows, difference{name, a, b})
		}
	}
}

func marginLine(m exposure.Margin) figureLine {
	if m.Verdict == exposure.MarginNone {
		return figureLine{}
	}
	return figureLine{"Margin of " + m.INCI, document.FormatFloat(m.MoS, 3)}
}

func limitLine(c limits.LimitCheck) figureLine {
	if c.LimitPct == nil {
		return figureLine{}
	}
	return figureLine{fmt.Sprintf("%s, of %s %% (%s/%s)", strings.Join(c.Substances, ", "),
		document.FormatPct(*c.LimitPct), c.Row.Annex, c.Row.Entry),
		document.FormatNum(c.Content.Max, document.RulePctBeside(*c.LimitPct))}
}

// papersOf are the papers on file of each material of a product.
func (q *ask) papersOf(p *workshop.Product) (all []figureLine) {
	for _, id := range frame.Uses(p) {
		sheet := q.v.Workshop().Sheets[id]
		if sheet == nil {
			continue
		}
		var papers []string
		for _, d := range sheet.Documents {
			text := ingredients.DocumentKinds[string(d.Kind)]
			if text == "" {
				text = string(d.Kind)
			}
			if d.Dated != 0 {
				text += " of " + frame.ShortDay(d.Dated)
			}
			papers = append(papers, text)
		}
		if len(papers) == 0 {
			papers = []string{"none on file"}
		}
		all = append(all, figureLine{"Papers of " + sheet.Name, strings.Join(papers, ", ")})
	}
	return all
}

func onLabel(r *calc.Result) string {
	var names []string
	for _, a := range r.Allergens {
		if a.OnLabel() {
			names = append(names, a.LabelName)
		}
	}
	if len(names) == 0 {
		return "none"
	}
	return strings.Join(names, ", ")
}

// takeBack undoes one change of a trial.
func takeBack(v *frame.Visit) error {
	q, err := asked(v)
	if err != nil {
		return err
	}
	f, err := v.Base(q.form)
	if err != nil {
		return err
	}
	filed, _, err := v.Store.Read(q.form.File)
	if err != nil {
		return err
	}
	back := v.Field("path")
	data, err := edit.Merge(q.form.File, f.Bytes(), filed, f.Bytes(), func(p string) bool { return p == back })
	if err != nil {
		return err
	}
	d, ok, err := v.Store.Draft(q.form.File)
	if err != nil || !ok {
		return err
	}
	d.Data = data
	if err := v.Store.SetDraft(q.form.File, d); err != nil {
		return err
	}
	return v.Go(q.address())
}

// keepTrial writes a trial into the file as one change, under the next revision.
func keepTrial(v *frame.Visit) error {
	q, err := asked(v)
	if err != nil {
		return err
	}
	d, ok, err := v.Store.Draft(q.form.File)
	if err != nil {
		return err
	}
	if !ok {
		return frame.Wrong("Nothing was tried.", "Change something in the grid first.")
	}
	f, err := edit.Parse(q.form.File, d.Data)
	if err != nil {
		return err
	}
	if q.p.Revision == q.filed.Product.Revision {
		if f, err = f.Apply(edit.Set(edit.Path{"revision"}, edit.Typed(fmt.Sprint(q.p.Revision+1)))); err != nil {
			return err
		}
	}
	place := "/product/" + url.PathEscape(q.p.ID) + "/formula"
	if err := v.SaveFiles(history.Label{Thing: q.p.Name, New: fmt.Sprintf("trial kept as revision %d",
		q.filed.Product.Revision+1), Place: place}, place,
		history.Change{Name: q.form.File, Base: d.Base, Data: f.Bytes()}); err != nil {
		return err
	}
	if now, _, err := v.Store.Read(q.form.File); err == nil && history.Hash(now) == history.Hash(f.Bytes()) {
		return v.Store.DropDraft(q.form.File)
	}
	return nil // a conflict is being shown; the trial stays
}

func dropTrial(v *frame.Visit) error {
	p := v.Workshop().Product(v.R.PathValue("id"))
	if p == nil {
		return frame.NoPage("product " + v.R.PathValue("id"))
	}
	if err := v.Store.DropDraft(p.Source.Name); err != nil {
		return err
	}
	return v.Go("/product/" + url.PathEscape(p.ID) + "/formula")
}
