package transcribe

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gallipot/dossier/transcribe/grid"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// labelled is a label of the paper's identity with the text behind it.
type labelled struct {
	key, word, value string
	sign             bool // a colon stood behind the label, or it had a cell of its own
	place            Place
	row              *grid.Row
	rows             int // row of the paper, from 0
}

// word is a word of a text, folded, with its place.
type word struct {
	folded     string
	start, end int
}

func wordsOf(s string) []word {
	var out []word
	start := -1
	for i, r := range s + " " {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.Mn, r) {
			if start < 0 {
				start = i
			}
			continue
		}
		if start >= 0 {
			out = append(out, word{lexicon.Fold(s[start:i]), start, i})
			start = -1
		}
	}
	return out
}

// labelsIn finds the labels of a text and what stands behind each up to the next.
func (s *reading) labelsIn(t string) []labelled {
	ws := wordsOf(t)
	type hit struct {
		key, word  string
		start, end int
	}
	var hits []hit
	for i := 0; i < len(ws); {
		best, n := lexicon.Entry{}, 0
		for k := min(6, len(ws)-i); k >= 1 && n == 0; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].folded
			}
			crossed := strings.Contains(t[ws[i].start:ws[i+k-1].end], "/")
			for _, e := range s.words.All("label", strings.Join(parts, " ")) {
				if crossed && e.Key != "casec" && e.Key != "batch" {
					continue // "Version / date" are two
				}
				if n == 0 || moreSpecial(e.Key, best.Key) {
					best, n = e, k
				}
			}
		}
		if n == 0 {
			i++
			continue
		}
		hits = append(hits, hit{best.Key, best.Word, ws[i].start, ws[i+n-1].end})
		i += n
	}
	var out []labelled
	for i, h := range hits {
		end := len(t)
		tail := t[h.end:]
		l := labelled{key: h.key, word: h.word}
		trimmed := strings.TrimLeft(tail, " .)(°º\u00a0")
		l.sign = strings.HasPrefix(trimmed, ":") || strings.HasPrefix(trimmed, "=") || strings.HasPrefix(trimmed, "#")
		for _, next := range hits[i+1:] {
			// a label inside the value of another counts where a colon follows or a gap is before it
			if next.start > h.end && (!l.sign || colonBehind(t, next.end) || strings.HasSuffix(t[:next.start], "  ") || next.key == "version" || next.key == "replaces" || next.key == "batch" || next.key == "print-date") {
				end = next.start
				break
			}
		}
		l.value = strings.TrimRight(strings.TrimLeft(t[h.end:end], " :.#=°º\t\u00a0,;|"), " :#=\t\u00a0,;|(")
		out = append(out, l)
	}
	return out
}

// moreSpecial orders labels that share a word: dates of a kind before dates.
func moreSpecial(a, b string) bool {
	return b == "date" && a != "date" || b == "trade-name" && a == "code"
}

func colonBehind(t string, i int) bool {
	rest := strings.TrimLeft(t[i:], " .")
	return strings.HasPrefix(rest, ":")
}

// allLabels lists the labels of the paper: inside a cell, or in a cell with the
// value in the next.
func (s *reading) allLabels() []labelled {
	var out []labelled
	n := 0
	for _, it := range s.items {
		if it.Row == nil || it.Row.Hidden || it.Row.Quote > 0 {
			continue
		}
		row := it.Row
		for i, c := range row.Cells {
			before := len(out)
			for _, l := range s.labelsIn(c.Text) {
				l.place, l.row, l.rows = s.place(row.Place, c), row, n
				whole := lexicon.Fold(c.Text) == l.word
				if l.value == "" && whole && i+1 < len(row.Cells) {
					next := row.Cells[i+1:]
					k := slices.IndexFunc(next, func(c grid.Cell) bool { return strings.Trim(c.Text, " :") != "" })
					if k >= 0 {
						l.value, l.sign, l.place = strings.Trim(next[k].Text, " :"), true, s.place(row.Place, next[k])
					}
				}
				out = append(out, l)
			}
			s.sharedLabel(&out, before, row, i, n)
		}
		n++
	}
	return out
}

// sharedLabel gives the parts of "Version / date" their values in the next cells.
func (s *reading) sharedLabel(out *[]labelled, from int, row *grid.Row, i, n int) {
	mine := (*out)[from:]
	if len(mine) != 2 || !strings.Contains(row.Cells[i].Text, "/") || mine[0].value != "" && strings.Trim(mine[0].value, "/ ") != "" || strings.Trim(mine[1].value, " :/") != "" {
		return
	}
	var rest []grid.Cell
	for _, c := range row.Cells[i+1:] {
		if strings.Trim(c.Text, " :") != "" {
			rest = append(rest, c)
		}
	}
	values, places := []string{}, []Place{}
	for _, c := range rest {
		for _, v := range strings.Split(strings.Trim(c.Text, " :"), " / ") {
			values, places = append(values, v), append(places, s.place(row.Place, c))
		}
	}
	if len(values) != 2 {
		return
	}
	for k := range mine {
		mine[k].value, mine[k].place, mine[k].sign = strings.Trim(values[k], " :"), places[k], true
	}
}

var (
	codeLike    = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9./_-]*(?: ?[A-Za-z0-9./_-]*\d[A-Za-z0-9./_-]*)?`)
	versionLike = regexp.MustCompile(`^(?:[nN][o°º.]*\s*)?([vV]?\.?\s?\d{1,3}(?:[.,]\d{1,3}){0,2}[a-z]?|[A-Z]\d{0,2})(?:\s|$|[,;.()/-])`)
)

// facts reads the identity of the paper.
func (s *reading) facts() {
	d := &s.out.Document
	labels := s.allLabels()
	s.labelsOf = map[*grid.Row][]labelled{}
	for _, l := range labels {
		s.labelsOf[l.row] = append(s.labelsOf[l.row], l)
	}
	s.dateFacts(labels)
	for _, l := range labels {
		v := strings.TrimSpace(l.value)
		if v == "" {
			continue
		}
		switch l.key {
		case "trade-name":
			if d.TradeName == nil && l.sign && s.nameLike(v) {
				d.TradeName = s.fact(l, strings.TrimRight(firstCell(v), "."))
			}
		case "code":
			if c := codeIn(v, l.sign); d.Code == nil && c != "" && (l.sign || len(c) >= 4 && (l.rows < 12 || s.is("mail") || s.headOrFoot(l))) {
				d.Code = s.fact(l, c)
			}
		case "batch":
			if c := codeIn(v, l.sign); d.Batch == nil && c != "" && strings.ContainsAny(c, "0123456789") {
				d.Batch = s.fact(l, c)
			}
		case "version":
			if m := versionLike.FindStringSubmatch(v + " "); d.Version == nil && m != nil && len(s.dates.find(firstWord(v))) == 0 {
				value := strings.TrimLeft(m[1], "vV. ")
				d.Version = s.fact(l, strings.ReplaceAll(value, ",", "."))
			}
		case "supplier":
			if d.Supplier == nil && l.sign && s.companyLike(v) {
				d.Supplier = s.fact(l, companyIn(v))
			}
		}
	}
	s.supplierByPlace()
	s.tradeNameByPlace(labels)
	s.pageCount()
}

func firstWord(s string) string {
	if f := strings.Fields(s); len(f) > 0 {
		return f[0]
	}
	return ""
}

func firstCell(v string) string {
	v, _, _ = strings.Cut(v, "\n")
	return strings.Trim(v, " ;,")
}

// headOrFoot says whether a label stands in the head or foot of a word-processor
// file's pages.
func (s *reading) headOrFoot(l labelled) bool {
	return l.row != nil && (l.row.Sheet == "header" || l.row.Sheet == "footer") || s.file.Form == paper.Document
}

func (s *reading) fact(l labelled, value string) *Fact {
	return &Fact{Printed: l.value, Value: value, Place: l.place}
}

// nameLike says whether a text can be the name of a material.
func (s *reading) nameLike(v string) bool {
	v = firstCell(v)
	if len(v) < 2 || len(strings.Fields(v)) > 12 || strings.HasSuffix(v, ".") && len(strings.Fields(v)) > 6 {
		return false
	}
	if casNumber.MatchString(v) || len(s.dates.find(v)) > 0 && len(strings.Fields(v)) < 3 {
		return false
	}
	_, isHead := s.words.Exact("label", v)
	return !isHead
}

// codeIn takes an article code or a lot from the start of a text: it holds a digit,
// or is all in capitals.
func codeIn(v string, sign bool) string {
	v = strings.TrimLeft(v, " .:#°º")
	v = firstCell(v)
	m := codeLike.FindString(v)
	m = strings.TrimRight(m, ".,;- ")
	if m == "" || len(m) > 30 {
		return ""
	}
	if !strings.ContainsAny(m, "0123456789") {
		first := firstWord(v)
		if sign && len(first) > 1 && strings.ToUpper(first) == first && len(strings.Fields(v)) == 1 {
			return first
		}
		return ""
	}
	if parts := strings.Fields(m); len(parts) == 2 && (strings.ContainsAny(parts[0], "0123456789") && !sign || strings.ToUpper(parts[0]) != parts[0]) {
		m = parts[0]
		if !strings.ContainsAny(m, "0123456789") {
			return ""
		}
	}
	if casNumber.MatchString(m) {
		return ""
	}
	return m
}

// dateFacts finds the dates of the paper by their labels.
func (s *reading) dateFacts(labels []labelled) {
	d := &s.out.Document
	type found struct {
		fact *Fact
		rank int
	}
	var issued []found
	for _, l := range labels {
		ds := s.dates.find(l.value)
		if len(ds) == 0 {
			continue
		}
		at := ds[0]
		f := &Fact{Printed: at.printed, Value: at.iso, Place: l.place}
		if at.open {
			f.Ask = "date-order"
			s.ask("date-order", l.place, "text", at.printed)
		} else if numDate.MatchString(at.printed) && !isoDate.MatchString(at.printed) && !strings.Contains(at.printed, ".") {
			f.Rules = append(f.Rules, "day-first")
		}
		near := at.start <= 24
		switch {
		case !near:
		case l.key == "revision-date", l.key == "version" && at.start == 0 && l.sign:
			issued = append(issued, found{f, 0})
		case l.key == "date":
			issued = append(issued, found{f, 1})
		case l.key == "analysis-date":
			issued = append(issued, found{f, 2})
		case l.key == "print-date" && d.Printed == nil:
			d.Printed = f
		case l.key == "replaces" && d.Replaces == nil:
			d.Replaces = f
		case l.key == "made" && d.Made == nil:
			d.Made = f
		case l.key == "best-before" && d.BestBefore == nil:
			d.BestBefore = f
		}
	}
	slices.SortStableFunc(issued, func(a, b found) int { return cmp.Compare(a.rank, b.rank) })
	if len(issued) > 0 {
		d.Issued = issued[0].fact
		for _, f := range issued {
			if f.rank == issued[0].rank && f.fact.Value > d.Issued.Value && len(f.fact.Value) == len(d.Issued.Value) && issued[0].rank == 0 {
				d.Issued = f.fact
			}
		}
		return
	}
	s.dateWithoutLabel(labels)
}

// dateWithoutLabel takes the one date that stands in the head or the foot of the
// paper and belongs to no label, or to its version.
func (s *reading) dateWithoutLabel(labels []labelled) {
	taken := map[string]bool{}
	for _, l := range labels {
		switch l.key {
		case "print-date", "replaces", "made", "best-before":
			for _, d := range s.dates.find(l.value) {
				if d.start <= 24 {
					taken[d.iso] = true
				}
			}
		}
	}
	var only *Fact
	n := 0
	rows := s.headFootRows()
	for _, row := range rows {
		for _, c := range row.Cells {
			for _, d := range s.dates.find(c.Text) {
				if taken[d.iso] || d.open || lawNumber(c.Text, d) || timeBehind.MatchString(c.Text[d.end:]) {
					continue
				}
				if only == nil || only.Value != d.iso {
					n++
				}
				if only == nil || len(d.iso) > len(only.Value) {
					only = &Fact{Printed: d.printed, Value: d.iso, Place: s.place(row.Place, c), How: How{Rules: []string{"date-unlabelled"}}}
				}
			}
		}
	}
	if n == 1 {
		s.out.Document.Issued = only
	}
}

// timeBehind is the time of day behind a date: that of printing.
var timeBehind = regexp.MustCompile(`^,? \d{1,2}:\d{2}`)

// lawNumber says whether a "date" is part of the number of a law: 1272/2008.
func lawNumber(t string, d date) bool {
	before := t[:d.start]
	return strings.HasSuffix(before, "/") || strings.HasSuffix(before, ".") || d.start > 0 && before[len(before)-1] >= '0' && before[len(before)-1] <= '9' || strings.HasSuffix(strings.TrimRight(before, " "), "(") && strings.Contains(t, "mendment")
}

// headFootRows are the first and last rows of the paper, and the heads and feet of
// pages.
func (s *reading) headFootRows() []*grid.Row {
	var rows []*grid.Row
	for _, it := range s.items {
		if it.Row != nil && it.Row.Quote == 0 && !it.Row.Hidden {
			rows = append(rows, it.Row)
		}
	}
	var edges []*grid.Row // heads and feet of the pages, where the file keeps them apart
	for _, r := range rows {
		if r.Sheet == "header" || r.Sheet == "footer" {
			edges = append(edges, r)
		}
	}
	for _, r := range edges {
		if s.file.Form == paper.Document && len(s.dates.find(r.Text())) > 0 {
			return edges
		}
	}
	if len(rows) <= 16 {
		return rows
	}
	return append(slices.Clone(rows[:10]), rows[len(rows)-4:]...)
}

// companyWords says whether a text names a company by its legal form.
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

// companyIn takes the company's name from a text that may go on with its address.
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

// supplierByPlace finds the supplier where no label names it: the heading of
// section 1.3, a line with a company's legal form in the head or the foot, the
// first line of the paper, the address of a mail.
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
			if t := companyIn(c.Text); s.companyWords(t) && s.companyLike(t) && !s.isCustomer(row) {
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

// supplierHeading is the heading of section 1.3 of a safety data sheet.
var supplierHeading = regexp.MustCompile(`^\s*1\.3\b`)

func (s *reading) isCustomer(row *grid.Row) bool {
	return slices.ContainsFunc(s.labelsIn(row.Text()), func(l labelled) bool { return l.key == "customer" && l.sign })
}

// isMaterial says whether a text is the trade name or the code of the paper.
func (s *reading) isMaterial(t string) bool {
	d := s.out.Document
	f := lexicon.Fold(t)
	return d.TradeName != nil && lexicon.Fold(d.TradeName.Value) == f || d.Code != nil && strings.Contains(f, lexicon.Fold(d.Code.Value))
}

// plainTitle says whether a text could be a name: short, no title of a kind of
// paper, no figures, no label.
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

// nameBehindTitle takes what follows the title of the paper behind a colon or dash.
func (s *reading) nameBehindTitle() (string, Place, bool) {
	for _, row := range s.topRows(8) {
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

// nameBefore takes the words that stand before a code in brackets: "figures for
// orange oil (our art. 12)".
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

// nameByPosition takes the line above a line that is the code alone, or the line in
// the largest letters.
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
	var best *grid.Row
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

// hasSignedLabel says whether a text holds a label with its colon.
func (s *reading) hasSignedLabel(t string) bool {
	return slices.ContainsFunc(s.labelsIn(t), func(l labelled) bool { return l.sign })
}

// withoutNoun drops a noun that only says what the material is, from a name in
// capitals: "WILD QUINCE FRAGRANCE".
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

// pageCount compares the count of pages in the foot with the file.
func (s *reading) pageCount() {
	if s.file.Form != paper.PDF {
		return
	}
	last := map[int]*grid.Row{}
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
