package frame

import (
	"net/http"
	"strconv"

	"gallipot/dossier/decide"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Deciding is the form that decides on something that is asked, for the template
// "told-decide". The zero value shows none: it cannot be decided.
type Deciding struct {
	Act, Key            string // where it is sent; a key that is its own on the page
	Code, Subject, Mark string
	Pack                bool // what is decided stands in the pack
}

// On makes the decision on a finding that nobody has put into words yet; see decide.On.
type On func(f *finding.Finding) (d workshop.Decision, ok bool)

// Form is the form for a finding.
func (on On) Form(f finding.Finding, act, key string, pack bool) Deciding {
	if !decide.Can(&f) {
		return Deciding{}
	}
	d, _ := on(&f)
	return Deciding{act, key, d.Code, d.Subject, d.Values, pack}
}

// Decision reads what was decided on one of the findings, for the values that were shown.
//
// Errors: a *Trouble where that cannot be written.
func (v *Visit) Decision(found []finding.Finding, on On) (d workshop.Decision, about finding.Finding, err error) {
	code, subject := v.Field("code"), v.Field("subject")
	known, ok := false, false
	for i := range found {
		if !decide.Can(&found[i]) {
			continue
		}
		if d, ok = on(&found[i]); d.Code == code && d.Subject == subject && d.Values == v.Field("values") {
			known, about = true, found[i]
			break
		}
	}
	d.Text, d.By = v.Field("decision"), v.Field("by")
	switch {
	case !known && decide.Stopped(found, code, subject):
		return d, about, Wrong("A stop cannot be decided away.", "Put right what stops.")
	case !known:
		return d, about, &Trouble{Status: http.StatusConflict, What: "What is asked is not what was shown any more.",
			Fix: "Load the page anew and decide on the values as they are now."}
	case d.Text == "":
		return d, about, Wrong("What was decided is not stated.", "Write what was decided, and why.")
	case d.By == "":
		return d, about, Wrong("Who decided is not stated.", "Write the name of the person who answers for it.")
	case !ok:
		return d, about, Wrong("This cannot be decided here.", "Settle it at its field.")
	}
	if until := v.Field("until"); until != "" {
		if d.Until, err = exact.ParseDate(until); err != nil {
			return d, about, err
		}
		if !d.Date.Before(d.Until) {
			return d, about, Wrong("The day on which it opens again is no later than today.",
				"Write a later day, or leave it out.")
		}
	}
	return d, about, nil
}

// Decisions is a list of decisions of one file, for the template "told-decided".
type Decisions struct {
	Act, Base string // where the form that takes one back is sent; the file as it was read
	ReadOnly  bool
	List      []decided
}

type decided struct{ Path, About, Text, By, Day, Until string }

// Add adds the decision that stands at a place of the list of its file.
func (l *Decisions) Add(i int, d workshop.Decision) {
	x := decided{Path: "/decisions/" + strconv.Itoa(i), About: d.Subject, Text: d.Text, By: d.By, Day: ShortDay(d.Date)}
	if !d.Until.IsZero() {
		x.Until = ShortDay(d.Until)
	}
	l.List = append(l.List, x)
}
