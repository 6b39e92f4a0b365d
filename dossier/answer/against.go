package answer

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"gallipot/calc/formula"
	"gallipot/calc/law/tox"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// Reading is an answer held against the form that was issued.
type Reading struct {
	Record workshop.Recorded
	// Refused are the reasons why nothing of it is taken over.
	Refused []Fault
	// Notes are what its reader should know beside.
	Notes    []Fault
	Answered int // places that something was written in

	cells map[string][]string // by code
}

// cell is what was written at a place; "" where nothing was.
func (r *Reading) cell(code string, i int) string {
	if r == nil || i >= len(r.cells[code]) {
		return ""
	}
	return r.cells[code][i]
}

func (r *Reading) refuse(code, row, value string) {
	r.Refused = append(r.Refused, Fault{code, row, value})
}

func (r *Reading) note(code, row, value string) { r.Notes = append(r.Notes, Fault{code, row, value}) }

// Against holds an answer against the form of today's figures and reads what is written in
// its places.
func (s *Sheet) Against(f *Form) *Reading {
	r := &Reading{cells: map[string][]string{}}
	switch {
	case s.Fingerprint == "":
		r.refuse("no-fingerprint", rowFingerprint, "")
	case s.property != "" && s.property != s.Fingerprint:
		r.refuse("property-differs", rowFingerprint, s.property+", "+s.Fingerprint)
	case s.Fingerprint != f.Fingerprint:
		r.refuse("other-figures", rowFingerprint, s.Fingerprint+", today "+f.Fingerprint)
	}
	if len(r.Refused) > 0 {
		return r // the rows are those of another form
	}
	rows := s.unique(r)
	if len(r.Refused) == 0 && mark(rows) != s.mark {
		s.alterations(f, rows, r)
	}
	if len(r.Refused) > 0 {
		return r
	}
	for _, code := range slices.Sorted(maps.Keys(rows)) {
		s.take(f, code, rows[code], r)
	}
	s.newText(f, r)
	if s.tracked {
		r.note("tracked", "", "")
	}
	if len(r.Refused) == 0 {
		r.record(f, s, rows)
	}
	return r
}

// unique are the rows by their codes; a code in two rows that differ is refused.
func (s *Sheet) unique(r *Reading) map[string][]string {
	rows := map[string][]string{}
	for code, found := range s.rows {
		rows[code] = found[0]
		for _, again := range found[1:] {
			if !slices.Equal(again, found[0]) {
				r.refuse("twice", code, "")
			}
		}
	}
	slices.SortFunc(r.Refused, func(a, b Fault) int { return cmp.Compare(a.Row, b.Row) })
	return rows
}

// alterations says where a document differs from the form of today.
func (s *Sheet) alterations(f *Form, rows map[string][]string, r *Reading) {
	issued := map[string]bool{}
	f.each(func(_ *Group, row *Row) {
		issued[row.Code] = true
		cells, there := rows[row.Code]
		if !there {
			r.refuse("missing", row.Code, "")
			return
		}
		was := issuedOf(row.Code, row.Issued)
		for i, text := range was {
			now := ""
			if i < len(cells) {
				now = squeezed(cells[i])
			}
			switch {
			case now == text:
			case text == StopCell:
				r.refuse("stop-accepted", row.Code, "")
			case row.Code != rowFingerprint:
				r.refuse("altered", row.Code, `"`+clip(now)+`" in place of "`+clip(text)+`"`)
			}
		}
	})
	for _, code := range slices.Sorted(maps.Keys(rows)) {
		if !issued[code] {
			r.refuse("unknown-code", code, "")
		}
	}
	if len(r.Refused) == 0 { // it was issued with other words than those of today
		r.refuse("altered-since", "", "")
	}
}

// take keeps what is written in the places of a row.
func (s *Sheet) take(f *Form, code string, cells []string, r *Reading) {
	g := f.group(code)
	if g == nil {
		return // of a kind that has no rows any more, such as open points that are all closed
	}
	answers := make([]string, len(g.Columns))
	closed := len(issuedOf(code, cells))
	for i, c := range g.Columns {
		if i < closed || i >= len(cells) {
			continue
		}
		answers[i] = written(cells[i], c)
		if answers[i] != "" {
			r.Answered++
		}
		if utf8.RuneCountInString(answers[i]) > mostWritten {
			r.refuse("long", code, "")
		}
	}
	r.cells[code] = answers
}

// mostWritten is what one value of a product file may have, in characters.
const mostWritten = 20_000

// mostClipped is how much of a text a message repeats, in characters.
const mostClipped = 60

func clip(s string) string {
	rs := []rune(squeezed(s))
	if len(rs) > mostClipped {
		return string(rs[:mostClipped]) + "…"
	}
	return string(rs)
}

// newText names the paragraphs that were not issued.
func (s *Sheet) newText(f *Form, r *Reading) {
	if len(s.text) == 0 {
		return
	}
	issued := map[string]bool{}
	for _, p := range f.Parts {
		for _, t := range []string{words.Joined(" ", p.Number, p.Title), p.Intro} {
			issued[squeezed(t)] = true
		}
		for _, g := range p.Groups {
			issued[squeezed(g.Empty)] = true
		}
	}
	for i, t := range s.text {
		if i < mostFront || t == "" || issued[t] || strings.HasPrefix(t, "Table ") {
			continue
		}
		r.note("new-text", "", clip(t))
	}
}

// mostFront is how many lines stand before the first heading: title, subtitle, caution.
const mostFront = 3

// record turns what is written into a record.
func (r *Reading) record(f *Form, s *Sheet, rows map[string][]string) {
	rec := workshop.Recorded{Fingerprint: f.Fingerprint, Answer: workshop.AnswerFile{SHA256: s.SHA256}}
	for _, code := range slices.Sorted(maps.Keys(r.cells)) {
		g, row := f.group(code), f.row(code, rows[code])
		if row == nil {
			row = &Row{Issued: rows[code]} // it is open no more
		}
		of := *row
		of.Code = code
		r.rowInto(&rec, g, &of)
	}
	for i := range rec.Values {
		rec.Values[i].Assessor, rec.Values[i].Dated = rec.Assessor, rec.Dated
	}
	r.Record = rec
	if r.Answered == 0 {
		r.refuse("unfilled", "", "")
		return
	}
	if lacks := rec.Lacks(); len(lacks) > 0 {
		r.note("incomplete", "", words.JoinNames(lacks))
	}
}

func (r *Reading) rowInto(rec *workshop.Recorded, g *Group, row *Row) {
	at := func(i int) string { return r.cell(row.Code, i) }
	switch g.Kind {
	case Items:
		r.item(rec, row, at(len(g.Columns)-1))
	case Variants, Markets:
		verdict := r.choice(row.Code, at(1), g.Columns[1].Choices)
		if verdict == "" {
			return
		}
		v := workshop.Valid{ID: row.ID, Verdict: verdict, Condition: at(2)}
		if g.Kind == Variants {
			rec.Variants = append(rec.Variants, v)
		} else {
			rec.Markets = append(rec.Markets, v)
		}
	case Points:
		if r.choice(row.Code, at(2), g.Columns[2].Choices) == pointAccepted {
			if len(row.Points) == 0 {
				r.note("closed-point", row.Code, "")
			}
			r.accept(rec, row, at(3))
		}
	case Questions:
		answer := r.choice(row.Code, at(2), g.Columns[2].Choices)
		if answer == pointAccepted {
			r.accept(rec, row, at(3))
		}
		if answer != "" || at(3) != "" {
			rec.Replies = append(rec.Replies, workshop.Reply{Question: row.Issued[0], Answer: answer, Words: at(3)})
		}
	case Values:
		r.value(rec, row)
	}
}

// accept closes the points behind a row. None is closed without a reason.
func (r *Reading) accept(rec *workshop.Recorded, row *Row, because string) {
	if because == "" && len(row.Points) > 0 {
		r.note("accepted-without-reason", row.Code, "")
		return
	}
	for _, p := range row.Points {
		p.Because = because
		rec.Accepted = append(rec.Accepted, p)
	}
}

// pointAccepted is the word by which an open point is accepted.
const pointAccepted = "accepted"

// choice returns the word that was chosen; "" where none was, or one that is none of them.
func (r *Reading) choice(code, text string, choices []string) string {
	if text == "" {
		return ""
	}
	plain := strings.ToLower(strings.Trim(squeezed(text), " .[]"))
	for _, c := range choices {
		if plain == c {
			return c
		}
	}
	r.note("choice", code, `"`+clip(text)+`"`)
	return ""
}

// item keeps the answer at a place of Part B.
func (r *Reading) item(rec *workshop.Recorded, row *Row, text string) {
	if text == "" {
		return
	}
	if row.Item == nil {
		return
	}
	switch row.Item.Field {
	case tox.FieldConclusion:
		rec.Conclusion = r.choice(row.Code, text, row.Item.Choices)
		if rec.Conclusion != "" {
			return
		}
	case tox.FieldDated:
		if d, ok := dateOf(text); ok {
			rec.Dated = d
			return
		}
		r.note("date", row.Code, `"`+clip(text)+`"`)
	case tox.FieldAssessor:
		rec.Assessor = text
		return
	case tox.FieldQualification:
		rec.Qualification = text
		return
	case tox.FieldConditions:
		rec.Conditions = text
		return
	case tox.FieldWarnings:
		rec.Warnings = text
		return
	case tox.FieldMoreWarnings:
		rec.MoreWarnings = text
		return
	case tox.FieldNextReview:
		rec.NextReview = text
		return
	}
	rec.Statements = append(rec.Statements, workshop.Statement{Code: row.Code, Text: text})
}

// value reads the figures that a row replaces. None is taken over without a reason.
func (r *Reading) value(rec *workshop.Recorded, row *Row) {
	cells := r.cells[row.Code]
	if len(cells) == 0 {
		return
	}
	pod, absorption, target, reason := cells[2], cells[3], cells[4], cells[5]
	if pod == "" && absorption == "" && target == "" {
		if reason != "" {
			rec.Statements = append(rec.Statements, workshop.Statement{Code: row.Code, Text: row.ID + ": " + reason})
		}
		return
	}
	if reason == "" {
		r.note("no-reason", row.Code, "")
		return
	}
	j := formula.Judged{INCI: row.ID, Reason: squeezed(reason)}
	faults := len(r.Notes)
	if pod != "" {
		j.PoD, j.PoDType, j.Route = r.pod(row.Code, pod)
	}
	if absorption != "" {
		j.AbsorptionPct = r.figure(row.Code, absorption)
		if n := j.AbsorptionPct; n != nil && exact.Int(100).Less(*n) {
			r.note("per-cent", row.Code, `"`+clip(absorption)+`"`)
		}
	}
	if target != "" {
		if j.Target = r.figure(row.Code, target); j.Target != nil && j.Target.Sign() <= 0 {
			r.note("number", row.Code, `"`+clip(target)+`"`)
		}
	}
	if len(r.Notes) == faults { // a row is taken over as a whole or not at all
		rec.Values = append(rec.Values, j)
	}
}
