package assess

import (
	"bytes"
	"maps"
	"slices"
	"strings"
	"sync"

	"gallipot/calc/formula"
	"gallipot/calc/law/table"
	"gallipot/dossier/parallel"
	"gallipot/dossier/workshop"
	"gallipot/ingredients"
)

// session is what the assessments of one workshop over one set of tables share:
// the tables with the maker's own rows, the raw materials made ready for
// computing, and what was found in the tables. It may be used in parallel.
type session struct {
	*formula.Session // Law holds the maker's own rows too

	workshop  *workshop.Workshop
	given     *table.Tables // the tables without the maker's own rows
	Materials map[string]*formula.Material

	follows int // how many sessions before it had the same memories

	suppliers sync.Once
	sheetsOf  map[string][]*ingredients.Sheet // by name of the supplier, sorted by id
}

// SheetsOf are the sheets of a supplier, sorted by id.
func (s *session) SheetsOf(supplier string) []*ingredients.Sheet {
	s.suppliers.Do(func() {
		s.sheetsOf = map[string][]*ingredients.Sheet{}
		for _, id := range s.workshop.SheetIDs() {
			sheet := s.workshop.Sheets[id]
			s.sheetsOf[sheet.Supplier.Name] = append(s.sheetsOf[sheet.Supplier.Name], sheet)
		}
	})
	return s.sheetsOf[supplier]
}

// meanings are the meanings of all tables, for fingerprints.
func (s *session) meanings() string {
	return formula.MemoryOf[meaningMemory](s.Session).Of(struct{}{}, func() string {
		var b strings.Builder
		for _, t := range s.Law.Meanings() {
			b.WriteString("table " + t.Name + " " + t.Meaning + "\n")
		}
		return b.String()
	})
}

type meaningMemory struct{ formula.Memo[struct{}, string] }

// mostFollow is how many changes of a workshop share what was found in the tables: what
// is remembered of names that are long gone is let go then.
const mostFollow = 500

// Follow prepares a workshop that was read again: what was found in the tables and the
// raw materials that are the same stay as they are.
func (s *session) Follow(w *workshop.Workshop) *session {
	if s.follows >= mostFollow || !maps.EqualFunc(s.workshop.OwnLimits, w.OwnLimits, bytes.Equal) {
		return Session(w, s.given)
	}
	next := &session{Session: s.Session, workshop: w, given: s.given, follows: s.follows + 1,
		Materials: make(map[string]*formula.Material, len(w.Sheets))}
	for id, sheet := range w.Sheets {
		m := s.Materials[id]
		if m == nil || m.Sheet != sheet {
			m = formula.Prepare(sheet, s.Dict)
		}
		next.Materials[id] = m
	}
	return next
}

// Session prepares the workshop for assessments over a set of tables.
func Session(w *workshop.Workshop, tables *table.Tables) *session {
	s := &session{Session: formula.NewSession(tables.WithLimits(w.OwnRows)), workshop: w, given: tables}
	ids := slices.Collect(maps.Keys(w.Sheets))
	made := make([]*formula.Material, len(ids))
	parallel.Each(len(ids), func(i int) { made[i] = formula.Prepare(w.Sheets[ids[i]], s.Dict) })
	s.Materials = make(map[string]*formula.Material, len(ids))
	for i, id := range ids {
		s.Materials[id] = made[i]
	}
	return s
}

// Within returns the options with a session for a workshop: the one they have
// where it is of this workshop and of their tables, else a new one.
func (o Options) Within(w *workshop.Workshop) Options {
	if o.Law == nil {
		o.Law = w.Law
	}
	if s := o.Session; s == nil || s.workshop != w || s.given != o.Law && s.Law != o.Law {
		o.Session = Session(w, o.Law)
	}
	o.Law = o.Session.Law
	return o
}
