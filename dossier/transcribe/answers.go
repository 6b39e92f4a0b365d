package transcribe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// answered reads a row of a questionnaire: a question, an answer to tick, and a remark that
// gives figures: "Can 1,4-dioxane be present? ☒ yes ☐ no  < 5 ppm". What the question does
// not tell clearly is left to be listed.
func (s *walk) answered(row *cells.Row) bool {
	filled := desk.FilledCells(row)
	ticked := -1
	for i, c := range filled {
		if i > 0 && s.isAnswer(c.Text) {
			ticked = i
		}
	}
	if ticked < 1 || ticked+1 >= len(filled) {
		return false
	}
	remark := filled[len(filled)-1]
	text := figure.Normal(pieces.OneLine(remark.Text))
	if !strings.ContainsAny(text, "0123456789") || s.Dosed(text) {
		return false
	}
	question := figure.Normal(pieces.OneLine(filled[0].Text))
	for i, c := range filled[:ticked] {
		if t := figure.Normal(pieces.OneLine(c.Text)); len(t) > len(question) && !s.isAnswer(filled[i].Text) {
			question = t
		}
	}
	if f, ok := s.Figures.Parse(text, lexicon.Unit{}); ok {
		return s.answeredWith(row, remark, question, f)
	}
	if s.Words.Holds("held", "held", lexicon.Fold(question)) {
		return s.composition.Held(row, remark, text)
	}
	before := s.Out.Rows()
	topic := s.Topic
	s.Topic = "impurities"
	if s.Words.Holds("section", "allergens", lexicon.Fold(question)) {
		s.Topic = "allergens"
	}
	s.clauses(row, remark, text)
	s.Topic = topic
	return s.Out.Rows() > before
}

// isQuestion says whether a row is one of a form: with boxes to tick, or with a question at its
// start. It names no constituent.
func (s *walk) isQuestion(row *cells.Row) bool {
	filled := desk.FilledCells(row)
	return len(filled) > 0 && (strings.HasSuffix(strings.TrimSpace(filled[0].Text), "?") ||
		slices.ContainsFunc(filled, func(c cells.Cell) bool { return tick().MatchString(c.Text) }))
}

// answeredWith files the one figure of an answer under the one impurity of its question.
func (s *walk) answeredWith(row *cells.Row, c cells.Cell, question string, f figure.Figure) bool {
	if f.Low+f.High == "" && f.Status != figure.NotDetected {
		return false
	}
	var names []named
	for _, n := range s.namesIn(question) {
		if !n.allergen && n.prop.Impurity {
			names = append(names, n)
		}
	}
	if len(names) != 1 {
		return false
	}
	s.properties.Put(reading.Property{Name: names[0].text}, f, "statement", s.Place(row.Place, c), row.Place)
	return true
}

// tick is a box of a form, ticked or not.
var tick = lexicon.Pattern(`<<tick>>`)

// isAnswer says whether a cell is an answer to tick, or a plain yes or no.
func (s *walk) isAnswer(t string) bool {
	t = strings.TrimSpace(t)
	if tick().MatchString(t) && len(strings.Fields(t)) <= 6 {
		return true
	}
	return s.Words.Is("answer", "word", lexicon.Fold(t))
}
