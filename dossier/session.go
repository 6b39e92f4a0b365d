package dossier

import (
	"gallipot/calc"
	"gallipot/calc/law"
)

// Session is what the assessments of one workshop over one set of tables share:
// the tables with the maker's own rows, the raw materials made ready for
// computing, and what was found in the tables. It may be used in parallel.
type Session struct {
	*calc.Session // Law holds the maker's own rows too

	workshop  *Workshop
	given     *law.Tables // the tables without the maker's own rows
	materials map[string]*calc.Material
}

// Session prepares the workshop for assessments over a set of tables.
func (w *Workshop) Session(tables *law.Tables) *Session {
	s := &Session{Session: calc.NewSession(tables.WithLimits(w.ownRows)), workshop: w, given: tables}
	s.materials = calc.PrepareAll(w.Sheets, s.Dict)
	return s
}

// within returns the options with a session for a workshop: the one they have
// where it is of this workshop and of their tables, else a new one.
func (o Options) within(w *Workshop) Options {
	if o.Law == nil {
		o.Law = w.law
	}
	if s := o.Session; s == nil || s.workshop != w || s.given != o.Law && s.Law != o.Law {
		o.Session = w.Session(o.Law)
	}
	o.Law = o.Session.Law
	return o
}
