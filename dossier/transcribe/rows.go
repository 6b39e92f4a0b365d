package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
)

// textRow reads a row of text outside of tables with heads.
func (s *reading) textRow(row *cells.Row) {
	if row.Hidden {
		s.ask("hidden-value", s.rowPlace(row), "text", row.Text())
		return
	}
	for _, c := range row.Cells {
		if c.Struck != "" {
			s.warn("struck", s.place(row.Place, c), "text", c.Struck)
		}
		if c.Note != "" {
			s.warn("note", s.place(row.Place, c), "text", c.Note)
		}
		if c.Hidden {
			s.ask("hidden-value", s.place(row.Place, c), "text", c.Text)
			return
		}
	}
	t := printed(row.Text())
	if t == "" {
		return
	}
	if row.Quote > 0 {
		s.quoted(row)
		return
	}
	if s.heading(row, t) || s.certificate.categoryLine(row) {
		return
	}
	s.statements(row, t)
	if s.topic == "other" || s.topic == "use" {
		s.properties.pendingProperty(row)
		return
	}
	switch {
	case s.topic == "composition" && s.composition.looseConstituent(row):
	case s.properties.looseProperty(row):
	case s.topic == "allergens" && s.declaration.looseAllergen(row):
	default:
		s.prose(row)
	}
}

// heading takes a row as a heading and turns to its subject.
func (s *reading) heading(row *cells.Row, t string) bool {
	h := cells.Heading(s.words, t)
	if h == "" && row.Grid > 0 && len(row.Cells) > 1 { // a heading in the first cell of a row alone
		filled := 0
		for _, c := range row.Cells {
			if strings.TrimSpace(c.Text) != "" {
				filled++
			}
		}
		if filled != 1 {
			return false
		}
		h = cells.Heading(s.words, row.Cells[0].Text)
	}
	if h == "" {
		return false
	}
	if _, ok := s.properties.propertyOf(t, true); ok && (s.topic == "physical" || s.topic == "impurities") {
		return false
	}
	s.composition.closeRecord()
	s.topic = h
	s.typical = ""
	for _, e := range s.words.All("head", lexicon.Fold(strings.Trim(t, "0123456789. "))) {
		if e.Key == "spec" {
			s.typical = "specification"
		}
	}
	for _, w := range wordsOf(t) {
		if e, ok := s.words.Exact("head", w.folded); ok && e.Key == "typical" {
			s.typical = "typical"
		}
	}
	return true
}

// statements keeps sentences about the subjects that makers ask papers for.
func (s *reading) statements(row *cells.Row, t string) {
	if len(strings.Fields(t)) < 4 && !strings.Contains(t, ":") {
		return
	}
	if e, _, ok := s.words.Find("statement", lexicon.Fold(t)); ok && len(s.out.Statements) < 60 {
		s.out.Statements = append(s.out.Statements, Statement{Subject: e.Key, Text: t, Place: s.rowPlace(row)})
	}
}
