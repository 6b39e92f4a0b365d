package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// textRow reads a row of text outside of tables with heads.
func (s *walk) textRow(row *cells.Row) {
	if row.Hidden {
		s.Ask("hidden-value", s.RowPlace(row), "text", row.Text())
		return
	}
	for _, c := range row.Cells {
		if c.Struck != "" {
			s.Warn("struck", s.Place(row.Place, c), "text", c.Struck)
		}
		if c.Note != "" {
			s.Warn("note", s.Place(row.Place, c), "text", c.Note)
		}
		if c.Hidden {
			s.Ask("hidden-value", s.Place(row.Place, c), "text", c.Text)
			return
		}
	}
	t := pieces.Printed(row.Text())
	if t == "" {
		return
	}
	if row.Quote > 0 {
		s.quoted(row)
		return
	}
	if s.heading(row, t) || s.certificate.CategoryLine(row) {
		return
	}
	s.statements(row, t)
	if s.answered(row) || s.besides(row) || s.underOwnHeading(row) {
		return
	}
	if s.Topic == "other" || s.Topic == "use" {
		s.properties.PendingProperty(row)
		return
	}
	switch {
	case s.Topic == "composition" && !s.isProperty(row, t) && !s.isQuestion(row) && (s.composition.Listed(row) ||
		s.composition.Added(row) || s.composition.LooseConstituent(row)):
	case s.properties.LooseProperty(row):
	case s.Topic == "allergens" && s.declaration.LooseAllergen(row):
	case s.mayDeclare(row) && s.declaration.Names(row) && s.declaration.LooseAllergen(row):
	default:
		s.prose(row)
	}
}

// underOwnHeading reads a line that begins with the heading of what it gives: "Impurities:
// lead < 1 ppm; arsenic < 0.5 ppm".
func (s *walk) underOwnHeading(row *cells.Row) bool {
	filled := desk.FilledCells(row)
	if len(filled) != 1 {
		return false
	}
	text := pieces.OneLine(filled[0].Text)
	head, rest, labelled := strings.Cut(text, ":")
	e, ok := s.Words.Exact("section", head)
	if !labelled || !ok || e.Key != "impurities" && e.Key != "allergens" || !strings.ContainsAny(rest, "0123456789") {
		return false
	}
	topic := s.Topic
	s.Topic = e.Key
	before := s.Out.Rows()
	s.clauses(row, filled[0], figure.Normal(rest))
	s.Topic = topic
	return s.Out.Rows() > before
}

// isProperty says whether a row gives a property and no share: "pH: 4.5 - 5.5" among
// constituents.
func (s *walk) isProperty(row *cells.Row, t string) bool {
	name, _, labelled := strings.Cut(t, ":")
	if labelled && !strings.ContainsAny(t, "%‰") {
		if _, ok := s.properties.PropertyOf(name, true); ok {
			return true
		}
	}
	if filled := desk.FilledCells(row); !labelled && len(filled) > 1 {
		name = pieces.OneLine(filled[0].Text)
	}
	return !pieces.HasCAS(t) && s.properties.IsMeasure(name)
}

// heading takes a row as a heading and turns to its subject.
func (s *walk) heading(row *cells.Row, t string) bool {
	h := cells.Heading(s.Words, t)
	if h == "" && s.Is("sds") {
		h = s.SectionTopic(t)
	}
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
		h = cells.Heading(s.Words, row.Cells[0].Text)
	}
	if h == "" {
		return false
	}
	if _, ok := s.properties.PropertyOf(t, true); ok && (s.Topic == "physical" || s.Topic == "impurities") {
		return false
	}
	s.composition.CloseRecord()
	s.Topic = h
	s.Typical = ""
	for _, e := range s.Words.All("head", lexicon.Fold(strings.Trim(t, "0123456789. "))) {
		if e.Key == "spec" {
			s.Typical = "specification"
		}
	}
	for _, w := range pieces.Words(t) {
		if e, ok := s.Words.Exact("head", w.Folded); ok && e.Key == "typical" {
			s.Typical = "typical"
		}
	}
	return true
}

// statements keeps sentences about the subjects that makers ask papers for.
func (s *walk) statements(row *cells.Row, t string) {
	if len(strings.Fields(t)) < 4 && !strings.Contains(t, ":") {
		return
	}
	if e, _, ok := s.Words.Find("statement", lexicon.Fold(t)); ok && len(s.Out.Statements) < 60 {
		s.Out.Statements = append(s.Out.Statements, reading.Statement{Subject: e.Key, Text: t,
			Place: s.RowPlace(row)})
	}
}
