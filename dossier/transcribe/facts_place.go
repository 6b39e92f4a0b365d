package transcribe

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

func (s *reading) companyWords(t string) bool {
	ws := wordsOf(t)
	for i, w := range ws {
		if i == 0 {
			continue
		}
		for k := min(5, len(ws)-i); k >= 1; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].folded
			}
			if _, ok := s.words.Exact("company", strings.Join(parts, " ")); ok && t[w.start:w.end] != strings.ToLower(t[w.start:w.end]) {
				return true
			}
		}
	}
	return false
}

func (s *reading) companyLike(v string) bool {
	v = companyIn(v)
	return len(v) > 2 && len(strings.Fields(v)) <= 9 && unicode.IsLetter([]rune(v)[0])
}

var addressStart = regexp.MustCompile(`\s*(?:,|;|\||·|•| - | – |\t|  ).*$`)

func companyIn(v string) string {
	v = firstCell(v)
	short := addressStart.ReplaceAllString(v, "")
	if rest := strings.TrimPrefix(v, short); strings.HasPrefix(rest, ", ") { // "Oil, Inc."
		next, _, _ := strings.Cut(rest[2:], ",")
		if f := lexicon.Fold(next); f == "inc" || f == "ltd" || f == "llc" || f == "s l" || f == "s a" || f == "lda" {
			short += ", " + strings.TrimSpace(next)
		}
	}
	return strings.TrimSpace(short)
}

var mailAddress = regexp.MustCompile(`[\w.+-]+@([\w-]+)(?:\.[\w-]+)+`)

func (s *reading) supplierByPlace() {
	d := &s.out.Document
	if d.Supplier != nil {
		return
	}
	if s.is("mail") {
		for _, row := range s.topRows(4) {
			if m := mailAddress.FindStringSubmatch(row.Text()); m != nil {
				d.Supplier = &Fact{Printed: m[0], Value: capital(m[1]), Place: s.place(row.Place, row.Cells[0]), How: How{Rules: []string{"from-address"}}}
				s.ask("supplier-from-address", d.Supplier.Place, "text", d.Supplier.Value)
				return
			}
		}
	}
	for i, it := range s.items {
		if it.Row == nil || !supplierHeading.MatchString(it.Row.Text()) {
			continue
		}
		for _, next := range s.items[i+1:] {
			if next.Row == nil {
				break
			}
			if v := next.Row.Text(); s.companyLike(v) && len(s.labelsIn(v)) == 0 {
				d.Supplier = &Fact{Printed: companyIn(v), Value: companyIn(v), Place: s.place(next.Row.Place, next.Row.Cells[0]), How: How{Rules: []string{"from-position"}}}
			}
			break
		}
		if d.Supplier != nil {
			return
		}
	}
	rows := s.headFootRows()
	for _, row := range rows {
		for _, c := range row.Cells {
			if t := s.withoutTitle(companyIn(c.Text)); s.companyWords(t) && s.companyLike(t) && !s.isCustomer(row) {
				d.Supplier = &Fact{Printed: t, Value: t, Place: s.place(row.Place, c), How: How{Rules: []string{"from-position"}}}
				return
			}
		}
	}
	for n, row := range s.topRows(6) {
		t := companyIn(row.Cells[0].Text)
		if s.plainTitle(t) && n < 3 && !s.isMaterial(t) {
			d.Supplier = &Fact{Printed: t, Value: titleCase(t), Place: s.place(row.Place, row.Cells[0]), How: How{Rules: []string{"from-position"}}}
			return
		}
	}
}

// withoutTitle takes the title of the paper off the end of a line that begins with the
// company's name, and a sentence off its start.
func (s *reading) withoutTitle(v string) string {
	if at := strings.LastIndex(v, ". "); at > 0 { // "Released by QA. Kesgrave Ltd"
		if rest := v[at+2:]; len(wordsOf(rest)) > 1 && s.companyWords(rest) && !s.companyWords(v[:at]) &&
			len(wordsOf(v[:at])) > 1 {
			v = rest
		}
	}
	words := strings.Fields(v)
	for i := 1; i < len(words); i++ {
		if _, ok := s.words.Exact("kind", strings.Join(words[i:], " ")); ok {
			return strings.Join(words[:i], " ")
		}
	}
	return v
}

var supplierHeading = regexp.MustCompile(`^\s*1\.3\b`)

func (s *reading) isCustomer(row *cells.Row) bool {
	return slices.ContainsFunc(s.labelsIn(row.Text()), func(l labelled) bool { return l.key == "customer" && l.sign })
}

func (s *reading) isMaterial(t string) bool {
	d := s.out.Document
	f := lexicon.Fold(t)
	return d.TradeName != nil && lexicon.Fold(d.TradeName.Value) == f || d.Code != nil && strings.Contains(f, lexicon.Fold(d.Code.Value))
}

func (s *reading) plainTitle(t string) bool {
	if t == "" || len(strings.Fields(t)) > 6 || strings.ContainsAny(t, "0123456789:@") || strings.HasSuffix(t, ".") {
		return false
	}
	f := lexicon.Fold(t)
	if _, _, ok := s.words.Find("kind", f); ok {
		return false
	}
	if _, ok := s.words.Exact("section", f); ok {
		return false
	}
	_, ok := s.words.Exact("label", f)
	return !ok && utf8.RuneCountInString(t) > 3
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

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

func (s *reading) tradeNameByPlace(labels []labelled) {
	d := &s.out.Document
	if d.TradeName != nil {
		return
	}
	if t, p, ok := s.nameBehindTitle(); ok {
		d.TradeName = &Fact{Printed: t, Value: t, Place: p, How: How{Rules: []string{"from-title"}}}
		return
	}
	for _, l := range labels {
		if l.key != "code" || d.Code == nil || l.value != d.Code.Printed {
			continue
		}
		for _, c := range l.row.Cells {
			if t := strings.TrimSpace(c.Text); s.nameLike(t) && !s.hasSignedLabel(t) && !strings.Contains(t, l.value) && len(s.dates.find(t)) == 0 {
				d.TradeName = &Fact{Printed: t, Value: t, Place: s.place(l.row.Place, c), How: How{Rules: []string{"from-position"}}}
				return
			}
		}
		if t := s.nameBefore(l); t != "" {
			d.TradeName = &Fact{Printed: t, Value: t, Place: l.place, How: How{Rules: []string{"from-position"}}}
			return
		}
	}
	s.nameByPosition()
}

func (s *reading) nameBehindTitle() (string, Place, bool) {
	for _, row := range s.topRows(8) {
		if cells := filledCells(row); len(cells) == 2 { // the title and the name in cells of their own
			a, b := cells[0].Text, strings.TrimSpace(cells[1].Text)
			if e, _, ok := s.words.Find("kind", lexicon.Fold(a)); ok && e.Word == lexicon.Fold(a) && s.nameLike(b) && !s.hasSignedLabel(b) && len(s.dates.find(b)) == 0 {
				return b, s.place(row.Place, cells[1]), true
			}
		}
		for _, c := range row.Cells {
			for _, sep := range []string{":", " - ", " – ", " — "} {
				a, b, ok := strings.Cut(c.Text, sep)
				b = strings.TrimSpace(b)
				if !ok || b == "" {
					continue
				}
				if e, _, ok := s.words.Find("kind", lexicon.Fold(a)); ok && e.Word == lexicon.Fold(a) && s.nameLike(b) {
					return b, s.place(row.Place, c), true
				}
			}
		}
	}
	return "", Place{}, false
}

func (s *reading) nameBefore(l labelled) string {
	t := l.row.Text()
	i := strings.LastIndex(t[:max(strings.Index(t, l.value), 0)], "(")
	if i < 0 {
		return ""
	}
	before := strings.TrimSpace(t[:i])
	if j := strings.LastIndexAny(before, ".:;"); j >= 0 {
		before = strings.TrimSpace(before[j+1:])
	}
	ws := wordsOf(before)
	for k := len(ws) - 1; k >= 0; k-- {
		if _, ok := s.words.Exact("for", ws[k].folded); ok {
			before = strings.TrimSpace(before[ws[k].end:])
			break
		}
	}
	if s.nameLike(before) {
		return before
	}
	return ""
}

func (s *reading) nameByPosition() {
	d := &s.out.Document
	rows := s.topRows(12)
	for i, row := range rows {
		if len(row.Cells) != 1 || i == 0 {
			continue
		}
		t := row.Cells[0].Text
		if c := codeIn(t, true); c == "" || c != strings.TrimSpace(t) || d.Code != nil && d.Code.Value != c || !strings.ContainsAny(c, "-/0123456789") || len(c) < 4 || len(s.dates.find(t)) > 0 {
			continue
		}
		if name := strings.TrimSpace(rows[i-1].Text()); s.nameLike(name) && !s.hasSignedLabel(name) {
			d.TradeName = &Fact{Printed: name, Value: s.withoutNoun(name), Place: s.place(rows[i-1].Place, rows[i-1].Cells[0]), How: How{Rules: []string{"from-position"}}}
			if d.Code == nil {
				d.Code = &Fact{Printed: t, Value: strings.TrimSpace(t), Place: s.place(row.Place, row.Cells[0]), How: How{Rules: []string{"from-position"}}}
			}
			return
		}
	}
	var best *cells.Row
	var sizes []float64
	for _, row := range rows {
		sizes = append(sizes, row.Size)
		t := row.Text()
		if len(row.Cells) != 1 || !s.nameLike(t) || d.Supplier != nil && lexicon.Fold(t) == lexicon.Fold(d.Supplier.Printed) {
			continue
		}
		if _, _, ok := s.words.Find("kind", lexicon.Fold(t)); ok || len(s.labelsIn(t)) > 0 {
			continue
		}
		if strings.HasSuffix(t, ".") || best != nil && row.Size <= best.Size*1.15 {
			continue
		}
		best = row
	}
	slices.Sort(sizes)
	if best != nil && best.Size > 1.15*sizes[len(sizes)/2] && !s.is("mail") {
		t := strings.TrimSpace(best.Text())
		if d.Supplier == nil || !strings.EqualFold(t, d.Supplier.Value) {
			d.TradeName = &Fact{Printed: t, Value: t, Place: s.place(best.Place, best.Cells[0]), How: How{Rules: []string{"from-position"}}}
		}
	}
}

func (s *reading) hasSignedLabel(t string) bool {
	return slices.ContainsFunc(s.labelsIn(t), func(l labelled) bool { return l.sign })
}

func (s *reading) withoutNoun(name string) string {
	ws := wordsOf(name)
	if len(ws) > 1 && strings.ToUpper(name) == name {
		if e, ok := s.words.Exact("label", ws[len(ws)-1].folded); ok && e.Key == "trade-name" {
			name = strings.TrimSpace(name[:ws[len(ws)-1].start])
		}
	}
	return titleCase(name)
}

var footPage = regexp.MustCompile(`(?:^|[\s:-])(\d{1,3})\s*(?:/|\(|of|von|de|di|van|sur|out of)\s*(\d{1,3})\)?\s*$`)

func (s *reading) pageCount() {
	if s.file.Form != paper.PDF {
		return
	}
	last := map[int]*cells.Row{}
	for _, it := range s.items {
		if it.Row != nil {
			last[it.Row.Page] = it.Row
		}
	}
	count := len(s.file.Pages)
	for p := 1; p <= count; p++ {
		row := last[p]
		if row == nil {
			continue
		}
		t := row.Cells[len(row.Cells)-1].Text
		m := footPage.FindStringSubmatch(t)
		if m == nil || len(strings.Fields(t)) > 14 || len(m[2]) > 2 && m[2] > "400" {
			continue
		}
		if total := atoi(m[2]); total > count && atoi(m[1]) <= total {
			s.ask("pages-missing", s.place(row.Place, row.Cells[len(row.Cells)-1]), "page", m[1], "total", m[2], "count", itoa(count))
			return
		}
	}
}
