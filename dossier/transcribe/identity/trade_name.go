package identity

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// titleCase writes a name that is printed in capitals with small letters.
func titleCase(s string) string {
	if strings.ToUpper(s) != s || len(strings.Fields(s)) < 2 {
		return s
	}
	parts := strings.Fields(strings.ToLower(s))
	for i := range parts {
		parts[i] = capital(parts[i])
	}
	return strings.Join(parts, " ")
}

// tradeNameByPlace finds the material's name where no label gives it: behind the
// title, beside the code, over the code, in the largest letters.
func (s *facts) tradeNameByPlace(labels []desk.Label) {
	d := &s.Out.Document
	if d.TradeName != nil {
		return
	}
	if s.articleOfList(); d.TradeName != nil {
		return
	}
	if t, p, ok := s.nameBehindTitle(); ok {
		t, code := s.withoutCode(t)
		if d.Code == nil && code != "" {
			d.Code = &reading.Fact{Printed: code, Value: code, Place: p}
		}
		d.TradeName = &reading.Fact{Printed: t, Value: t, Place: p,
			How: reading.How{Rules: []string{"from-title"}}}
		return
	}
	for _, l := range labels {
		if l.Key != "code" || d.Code == nil || l.Value != d.Code.Printed {
			continue
		}
		for _, c := range l.Row.Cells {
			if t := strings.TrimSpace(c.Text); s.nameLike(t) && !s.hasSignedLabel(t) &&
				!strings.Contains(t, l.Value) && len(s.dates.find(t)) == 0 {
				d.TradeName = &reading.Fact{Printed: t, Value: t, Place: s.Place(l.Row.Place, c),
					How: reading.How{Rules: []string{"from-position"}}}
				return
			}
		}
		if t := s.nameBefore(l); t != "" {
			d.TradeName = &reading.Fact{Printed: t, Value: t, Place: l.Place,
				How: reading.How{Rules: []string{"from-position"}}}
			return
		}
	}
	if s.nameBehindCode() {
		return
	}
	s.nameByPosition()
}

// codeAndName is a line such as "LA-405 - Rosemary oil" in the head of a paper.
var codeAndName = regexp.MustCompile(`^(\S*\d\S*) [-–—] (\S.*)$`)

// nameBehindCode takes a name that stands behind its code in the head of the paper.
func (s *facts) nameBehindCode() bool {
	d := &s.Out.Document
	for _, row := range s.TopRows(8) {
		m := codeAndName.FindStringSubmatch(strings.TrimSpace(row.Cells[0].Text))
		if m == nil || codeIn(m[1], true) != m[1] || !s.plainTitle(m[2]) || len(s.dates.find(m[1])) > 0 ||
			d.Code != nil && d.Code.Value != m[1] || len(m[1]) < 4 {
			continue
		}
		at := s.Place(row.Place, row.Cells[0])
		how := reading.How{Rules: []string{"from-position"}}
		d.TradeName = &reading.Fact{Printed: m[2], Value: m[2], Place: at, How: how}
		if d.Code == nil {
			d.Code = &reading.Fact{Printed: m[1], Value: m[1], Place: at, How: how}
		}
		return true
	}
	return false
}

// nameBehindTitle takes what follows the title of the paper behind a colon or dash.
func (s *facts) nameBehindTitle() (string, reading.Place, bool) {
	for _, row := range s.TopRows(8) {
		if cells := desk.FilledCells(row); len(cells) == 2 { // the title and the name in cells of their own
			a, b := cells[0].Text, strings.TrimSpace(cells[1].Text)
			if e, _, ok := s.Words.Find("kind", lexicon.Fold(a)); ok && e.Word == lexicon.Fold(a) &&
				s.nameLike(b) && !s.hasSignedLabel(b) && len(s.dates.find(b)) == 0 {
				return b, s.Place(row.Place, cells[1]), true
			}
		}
		for _, c := range row.Cells {
			for _, sep := range []string{":", " - ", " – ", " — "} {
				a, b, ok := strings.Cut(c.Text, sep)
				b = strings.TrimSpace(b)
				if !ok || b == "" {
					continue
				}
				if e, _, ok := s.Words.Find("kind", lexicon.Fold(a)); ok && e.Word == lexicon.Fold(a) &&
					s.nameLike(b) {
					return b, s.Place(row.Place, c), true
				}
			}
		}
	}
	return "", reading.Place{}, false
}

// nameBefore takes the words that stand before a code in brackets: "figures for
// orange oil (our art. 12)".
func (s *facts) nameBefore(l desk.Label) string {
	t := l.Row.Text()
	i := strings.LastIndex(t[:max(strings.Index(t, l.Value), 0)], "(")
	if i < 0 {
		return ""
	}
	before := strings.TrimSpace(t[:i])
	if j := strings.LastIndexAny(before, ".:;"); j >= 0 {
		before = strings.TrimSpace(before[j+1:])
	}
	ws := pieces.Words(before)
	for k := len(ws) - 1; k >= 0; k-- {
		if _, ok := s.Words.Exact("for", ws[k].Folded); ok {
			before = strings.TrimSpace(before[ws[k].End:])
			break
		}
	}
	if s.nameLike(before) {
		return before
	}
	return ""
}

// nameByPosition takes the line above a line that is the code alone, or the line in
// the largest letters.
func (s *facts) nameByPosition() {
	d := &s.Out.Document
	rows := s.TopRows(12)
	for i, row := range rows {
		if len(row.Cells) != 1 || i == 0 {
			continue
		}
		t := row.Cells[0].Text
		if c := codeIn(t, true); c == "" || c != strings.TrimSpace(t) || d.Code != nil && d.Code.Value != c ||
			!strings.ContainsAny(c, "-/0123456789") || len(c) < 4 || len(s.dates.find(t)) > 0 {
			continue
		}
		if name := strings.TrimSpace(rows[i-1].Text()); s.nameLike(name) && !s.hasSignedLabel(name) {
			d.TradeName = &reading.Fact{Printed: name, Value: s.withoutNoun(name),
				Place: s.Place(rows[i-1].Place, rows[i-1].Cells[0]),
				How:   reading.How{Rules: []string{"from-position"}}}
			if d.Code == nil {
				d.Code = &reading.Fact{Printed: t, Value: strings.TrimSpace(t),
					Place: s.Place(row.Place, row.Cells[0]),
					How:   reading.How{Rules: []string{"from-position"}}}
			}
			return
		}
	}
	var best *cells.Row
	var sizes []float64
	for _, row := range rows {
		sizes = append(sizes, row.Size)
		t := row.Text()
		if len(row.Cells) != 1 || !s.nameLike(t) || d.Supplier != nil &&
			lexicon.Fold(t) == lexicon.Fold(d.Supplier.Printed) {
			continue
		}
		if _, _, ok := s.Words.Find("kind", lexicon.Fold(t)); ok || len(s.LabelsIn(t)) > 0 {
			continue
		}
		if strings.HasSuffix(t, ".") || best != nil && row.Size <= best.Size*1.15 {
			continue
		}
		best = row
	}
	slices.Sort(sizes)
	if best != nil && best.Size > 1.15*sizes[len(sizes)/2] && !s.Is("mail") {
		t := strings.TrimSpace(best.Text())
		if d.Supplier == nil || !strings.EqualFold(t, d.Supplier.Value) {
			d.TradeName = &reading.Fact{Printed: t, Value: t, Place: s.Place(best.Place, best.Cells[0]),
				How: reading.How{Rules: []string{"from-position"}}}
		}
	}
}

// withoutNoun drops a noun that only says what the material is, from a name in
// capitals: "WILD QUINCE FRAGRANCE".
func (s *facts) withoutNoun(name string) string {
	ws := pieces.Words(name)
	if len(ws) > 1 && strings.ToUpper(name) == name {
		if e, ok := s.Words.Exact("label", ws[len(ws)-1].Folded); ok && e.Key == "trade-name" {
			name = strings.TrimSpace(name[:ws[len(ws)-1].Start])
		}
	}
	return titleCase(name)
}
