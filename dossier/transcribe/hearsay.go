package transcribe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

var codeAfterFor = regexp.MustCompile(`\b(\d{1,2}[A-D]?)\b`)

// hearsay asks about limits of a certificate that a message tells of.
func (s *certifier) hearsay(row *cells.Row) {
	if !s.isText() || s.hasKind("ifra-certificate") && !s.is("mail") {
		return
	}
	t := figure.Normal(printed(row.Text()))
	folded := lexicon.Fold(t)
	_, _, amended := s.words.Find("amendment", folded)
	for _, part := range strings.FieldsFunc(t, func(r rune) bool { return r == ';' || r == '\n' }) {
		for _, sentence := range sentences(part) {
			s.hearsayIn(row, sentence, amended)
		}
	}
}

func (s *certifier) hearsayIn(row *cells.Row, t string, amended bool) {
	tell := func(code, text string) {
		if s.out.IFRA == nil {
			s.out.IFRA = &Certificate{Rows: []Limit{}}
		}
		s.out.IFRA.Rows = append(s.out.IFRA.Rows, Limit{Category: code, Printed: text, Status: "ask", Place: s.rowPlace(row), How: How{Ask: "limit-hearsay"}})
		s.ask("limit-hearsay", s.rowPlace(row), "category", code, "text", text)
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
	for _, f := range s.figuresIn(t) {
		if f.Unit.Divisor != 1 || f.Low == "" {
			continue
		}
		after := t[strings.Index(t, firstWord(f.Printed))+len(firstWord(f.Printed)):]
		if m := codeAfterFor.FindStringSubmatch(after); m != nil && isCategory(m[1]) {
			tell(m[1], f.Printed)
		}
	}
}
