package product

import (
	"net/http"
	"strconv"

	"gallipot/dossier/assess"
	"gallipot/dossier/bench/frame"
	"gallipot/dossier/decide"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// decidable are the marks of the values of what can be decided, by code, subject and mark.
func decidable(a *assess.Assessment) map[string]string {
	marks := map[string]string{}
	for _, f := range decide.Open(a) {
		mark := decide.Mark(&f)
		marks[f.Code+"\x00"+f.Subject+"\x00"+mark] = mark
	}
	return marks
}

// withBatches is an assessment with what is open in the records of its batches.
func withBatches(v *frame.Visit, a *assess.Assessment) *assess.Assessment {
	all := *a
	all.Findings = v.Open(a)
	return &all
}

// decided is a decision in the list of a product.
type decided struct{ Path, Text, By, Day, Until string }

func decisions(p *workshop.Product) []decided {
	var list []decided
	for i, d := range p.Decisions {
		x := decided{Path: "/decisions/" + strconv.Itoa(i), Text: d.Text, By: d.By, Day: frame.ShortDay(d.Date)}
		if !d.Until.IsZero() {
			x.Until = frame.ShortDay(d.Until)
		}
		list = append(list, x)
	}
	return list
}

// saveDecision writes what was decided on something that is asked, for the values that were
// shown. A stop cannot be decided.
func saveDecision(v *frame.Visit) error {
	p, a, form, err := computed(v)
	if err != nil {
		return err
	}
	a = withBatches(v, a)
	var on *finding.Finding
	for _, f := range decide.OpenOn(a, v.Field("code"), v.Field("subject")) {
		if decide.Mark(&f) == v.Field("values") {
			on = &f
			break
		}
	}
	switch {
	case on == nil && decide.Stopped(a, v.Field("code"), v.Field("subject")):
		return frame.Wrong("A stop cannot be decided away.", "Put right what stops.")
	case on == nil:
		return &frame.Trouble{Status: http.StatusConflict, What: "What is asked is not what was shown any more.",
			Fix: "Load the page anew and decide on the values as they are now."}
	case v.Field("decision") == "":
		return frame.Wrong("What was decided is not stated.", "Write what was decided, and why.")
	case v.Field("by") == "":
		return frame.Wrong("Who decided is not stated.", "Write the name of the person who answers for it.")
	}
	d, ok := decide.On(a, on, "")
	if !ok {
		return frame.Wrong("This cannot be decided here.", "Settle it at its field.")
	}
	d.Text, d.By = v.Field("decision"), v.Field("by")
	if until := v.Field("until"); until != "" {
		if d.Until, err = exact.ParseDate(until); err != nil {
			return err
		}
		if !a.Options.Date.Before(d.Until) {
			return frame.Wrong("The day on which it opens again is no later than today.",
				"Write a later day, or leave it out.")
		}
	}
	data, err := decide.Added(p.Source, d)
	if err != nil {
		return err
	}
	return v.SaveFiles(history.Label{Thing: "decision on " + p.Name, New: frame.NamesOf(v.Workshop()).
		Message(*on), Place: form.Back}, form.Back,
		history.Change{Name: p.Source.Name, Base: history.Hash(p.Source.Bytes), Data: data})
}
