package transcribe

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
)

// labelled is a label of the paper's identity with the text behind it.
type labelled struct {
	key, word, value string
	sign             bool // a colon stood behind the label, or it had a cell of its own
	place            Place
	row              *cells.Row
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
					k := slices.IndexFunc(next, func(c cells.Cell) bool { return strings.Trim(c.Text, " :") != "" })
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
func (s *reading) sharedLabel(out *[]labelled, from int, row *cells.Row, i, n int) {
	mine := (*out)[from:]
	if len(mine) != 2 || !strings.Contains(row.Cells[i].Text, "/") || mine[0].value != "" && strings.Trim(mine[0].value, "/ ") != "" || strings.Trim(mine[1].value, " :/") != "" {
		return
	}
	var rest []cells.Cell
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
	s.labelsOf = map[*cells.Row][]labelled{}
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
	for _, f := range []*Fact{d.TradeName, d.Supplier, d.Code, d.Batch, d.Version, d.Issued, d.Replaces, d.Printed, d.Made, d.BestBefore} {
		if f != nil && s.doubtful[f.Page] {
			f.Value, f.Ask = "", "page-not-trusted" // what is printed stays to be compared
		}
	}
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
// dateWithoutLabel takes the one date that stands in the head or the foot of the
// paper and belongs to no label, or to its version.
// timeBehind is the time of day behind a date: that of printing.
// lawNumber says whether a "date" is part of the number of a law: 1272/2008.
// headFootRows are the first and last rows of the paper, and the heads and feet of
// pages.
