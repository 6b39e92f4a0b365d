package identity

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
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
		if s.nameInSegments(l) {
			return
		}
		if t := s.nameBefore(l); t != "" {
			d.TradeName = &reading.Fact{Printed: t, Value: t, Place: l.Place,
				How: reading.How{Rules: []string{"from-position"}}}
			return
		}
	}
	if s.nameBehindCode() || s.nameUnderTitle(labels) || s.nameOfSubject() {
		return
	}
	s.nameByPosition()
}

// nameInSegments takes the name from a line that gives it beside its code, parted by a sign:
// "Fell Mint · Ref. FM-2 · Issue 3".
func (s *facts) nameInSegments(l desk.Label) bool {
	for _, c := range l.Row.Cells {
		parts := segments(c.Text)
		if !strings.Contains(c.Text, l.Value) || len(parts) < 2 {
			continue
		}
		for _, t := range parts {
			t = strings.TrimSpace(t)
			if head, rest, ok := strings.Cut(t, ": "); ok && len(strings.Fields(head)) <= 2 && len(s.LabelsIn(head)) == 0 {
				t = strings.TrimSpace(rest) // "Oil: Fell Mint"
			}
			_, _, kind := s.Words.Find("kind", lexicon.Fold(t))
			if kind || !s.nameLike(t) || len(s.LabelsIn(t)) > 0 || s.companyWords(t) || len(s.dates.find(t)) > 0 ||
				strings.Contains(t, l.Value) || strings.ContainsAny(t, ":%") || len([]rune(t)) < 3 {
				continue
			}
			s.Out.Document.TradeName = &reading.Fact{Printed: t, Value: t, Place: s.Place(l.Row.Place, c),
				How: reading.How{Rules: []string{"from-position"}}}
			return true
		}
	}
	return false
}

// nameUnderTitle takes the line between the title of the paper and the line of its code.
func (s *facts) nameUnderTitle(labels []desk.Label) bool {
	rows := s.TopRows(6)
	for i := 1; i+1 < len(rows); i++ {
		title, t := rows[i-1].Text(), strings.TrimSpace(rows[i].Text())
		e, _, ok := s.Words.Find("kind", lexicon.Fold(title))
		if !ok || e.Word != lexicon.Fold(title) || rows[i].Filled() != 1 || !s.nameLike(t) || !s.plainTitle(t) ||
			s.companyWords(t) || len(s.LabelsIn(t)) > 0 {
			continue
		}
		coded := slices.ContainsFunc(labels, func(l desk.Label) bool { return l.Key == "code" && l.Row == rows[i+1] })
		if d := &s.Out.Document; coded && (d.Supplier == nil || lexicon.Fold(d.Supplier.Value) != lexicon.Fold(t)) {
			d.TradeName = &reading.Fact{Printed: t, Value: t, Place: s.Place(rows[i].Place, rows[i].Cells[0]),
				How: reading.How{Rules: []string{"from-position"}}}
			return true
		}
	}
	return false
}

// codeAndName is a line such as "LA-405 - Rosemary oil" in the head of a paper.
var codeAndName = pattern.New(`^(\S*\d\S*) [-–—] (\S.*)$`)

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
				s.nameLike(b) && !s.hasSignedLabel(b) && len(s.dates.find(b)) == 0 && !s.companyWords(b) {
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
					s.nameLike(b) && !s.companyWords(b) {
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
	if s.nameLike(before) && !s.companyWords(before) {
		return before
	}
	return ""
}

// subjectOfMail is the line of a mail's subject that is a name with its code, behind the marks
// of an answer.
var subjectOfMail = lexicon.Pattern(`(?i)^\s*(?:<<mail subject>>)\s*:\s*(?:(?:<<reply>>)\s*:\s*)*` +
	`((?:\S+ ){1,5})([A-Z]{1,5}[-/.]?\d[\w/.-]*)\s*$`)

// nameOfSubject takes name and code from the subject of a mail: "RE: Fell Mint FM-2".
func (s *facts) nameOfSubject() bool {
	d := &s.Out.Document
	if !s.Is("mail") {
		return false
	}
	for _, row := range s.TopRows(6) {
		m := subjectOfMail().FindStringSubmatch(row.Text())
		if m == nil {
			continue
		}
		name := strings.TrimSpace(m[1])
		if !s.nameLike(name) || !s.plainTitle(name) || d.Code != nil && d.Code.Value != m[2] || len(s.LabelsIn(name)) > 0 ||
			strings.ToLower(m[2][:1]) == m[2][:1] || s.speaksFor(name) {
			return false
		}
		how := reading.How{Rules: []string{"from-position"}}
		at := s.Place(row.Place, row.Cells[0])
		d.TradeName = &reading.Fact{Printed: name, Value: name, Place: at, How: how}
		if d.Code == nil {
			d.Code = &reading.Fact{Printed: m[2], Value: m[2], Place: at, How: how}
		}
		return true
	}
	return false
}

// speaksFor says whether words such as "papers for" stand before a name.
func (s *facts) speaksFor(t string) bool {
	return slices.ContainsFunc(pieces.Words(t), func(w pieces.Word) bool {
		_, ok := s.Words.Exact("for", w.Folded)
		return ok
	})
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
