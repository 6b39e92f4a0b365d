package certificate

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

var codeAfterFor = pattern.New(`\b(\d{1,2}[A-D]?)\b`)

// Hearsay asks about limits of a certificate that a message tells of.
func (s *Reader) Hearsay(row *cells.Row) {
	if !s.IsText() || s.HasKind("ifra-certificate") && !s.Is("mail") {
		return
	}
	t := figure.Normal(pieces.Printed(row.Text()))
	folded := lexicon.Fold(t)
	_, _, amended := s.Words.Find("amendment", folded)
	for _, part := range strings.FieldsFunc(t, func(r rune) bool { return r == ';' || r == '\n' }) {
		for _, sentence := range pieces.Sentences(part) {
			s.hearsayIn(row, sentence, amended)
		}
	}
}

// hearsayIn looks at one sentence; amended says that the text speaks of an amendment.
func (s *Reader) hearsayIn(row *cells.Row, t string, amended bool) {
	tell := func(code, text string) {
		if s.Out.IFRA == nil {
			s.Out.IFRA = &reading.Certificate{Rows: []reading.Limit{}}
		}
		s.Out.IFRA.Rows = append(s.Out.IFRA.Rows, reading.Limit{Category: code, Printed: text, Status: "ask",
			Place: s.RowPlace(row), How: reading.How{Ask: "limit-hearsay"}})
		s.Ask("limit-hearsay", s.RowPlace(row), "category", code, "text", text)
	}
	trimmed := strings.TrimSpace(t)
	if c, ok := s.codesIn(trimmed, true); ok && !c.old {
		rest := strings.Trim(c.rest, " :")
		for _, code := range c.list {
			tell(code, rest)
		}
		return
	}
	if !amended {
		return
	}
	for _, f := range s.FiguresIn(t) {
		if f.Unit.Divisor != 1 || f.Low == "" {
			continue
		}
		after := t[strings.Index(t, pieces.FirstWord(f.Printed))+len(pieces.FirstWord(f.Printed)):]
		if m := codeAfterFor.FindStringSubmatch(after); m != nil && isCategory(m[1]) {
			tell(m[1], f.Printed)
		}
	}
}
