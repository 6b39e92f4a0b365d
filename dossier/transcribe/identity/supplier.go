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

// companyWords says whether a text names a company by its legal form.
func (s *facts) companyWords(t string) bool {
	ws := pieces.Words(t)
	for i, w := range ws {
		if i == 0 {
			continue
		}
		for k := min(5, len(ws)-i); k >= 1; k-- {
			parts := make([]string, k)
			for j := range k {
				parts[j] = ws[i+j].Folded
			}
			if codeBehind.MatchString(t[ws[i+k-1].End:]) {
				continue // "AG-2210" is a code
			}
			word := strings.Join(parts, " ")
			if _, ok := s.Words.Exact("company", word); ok && (s.Words.Is("company", "small", word) ||
				t[w.Start:w.End] != strings.ToLower(t[w.Start:w.End])) {
				return true
			}
		}
	}
	return false
}

// codeBehind is what makes a word the start of a code.
var codeBehind = pattern.New(`^[-_/]?\d`)

func (s *facts) companyLike(v string) bool {
	v = s.companyIn(v)
	return len(v) > 2 && len(strings.Fields(v)) <= 9 && unicode.IsLetter([]rune(v)[0])
}

var addressStart = pattern.New(`\s*(?:,|;|\||·|•| - | – |\t|  ).*$`)

// companyIn takes the company's name from a text that may go on with its address.
func (s *facts) companyIn(v string) string {
	v = firstCell(v)
	short := addressStart.ReplaceAllString(v, "")
	if rest := strings.TrimPrefix(v, short); strings.HasPrefix(rest, ", ") { // "Oil, Inc."
		next, _, _ := strings.Cut(rest[2:], ",")
		next, _, _ = strings.Cut(next, " (")
		if _, legal := s.Words.Exact("company", next); legal {
			short += ", " + strings.TrimSpace(next)
		}
	}
	return strings.TrimSpace(short)
}

var mailAddress = pattern.New(`[\w.+-]+@([\w-]+)(?:\.[\w-]+)+`)

// supplierByPlace finds the supplier where no label names it: the heading of
// section 1.3, a line with a company's legal form in the head or the foot, the
// first line of the paper, the address of a mail.
func (s *facts) supplierByPlace() {
	d := &s.Out.Document
	if d.Supplier != nil {
		return
	}
	if s.Is("mail") && s.signature() {
		return
	}
	if s.Is("mail") {
		for _, row := range s.TopRows(4) {
			if m := mailAddress.FindStringSubmatch(row.Text()); m != nil {
				d.Supplier = &reading.Fact{Printed: m[0], Value: capital(m[1]),
					Place: s.Place(row.Place, row.Cells[0]),
					How:   reading.How{Rules: []string{"from-address"}}}
				s.Ask("supplier-from-address", d.Supplier.Place, "text", d.Supplier.Value)
				return
			}
		}
	}
	for i, it := range s.Items {
		if it.Row == nil || !supplierHeading.MatchString(it.Row.Text()) {
			continue
		}
		for _, next := range s.Items[i+1:] {
			if next.Row == nil {
				break
			}
			if v := next.Row.Text(); s.companyLike(v) && len(s.LabelsIn(v)) == 0 {
				d.Supplier = &reading.Fact{Printed: s.companyIn(v), Value: s.companyIn(v),
					Place: s.Place(next.Row.Place, next.Row.Cells[0]),
					How:   reading.How{Rules: []string{"from-position"}}}
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
			for _, part := range segments(c.Text) {
				if t := s.withoutTitle(s.companyIn(part)); s.companyWords(t) && s.companyLike(t) &&
					!s.isCustomer(row) {
					d.Supplier = &reading.Fact{Printed: t, Value: t, Place: s.Place(row.Place, c),
						How: reading.How{Rules: []string{"from-position"}}}
					return
				}
			}
		}
	}
	for n, row := range s.TopRows(6) {
		t := s.companyIn(row.Cells[0].Text)
		if s.plainTitle(t) && n < 3 && !s.isMaterial(t) {
			d.Supplier = &reading.Fact{Printed: t, Value: titleCase(t),
				Place: s.Place(row.Place, row.Cells[0]), How: reading.How{Rules: []string{"from-position"}}}
			return
		}
	}
}

// segmentSigns part what stands side by side on one line of a title.
var segmentSigns = strings.NewReplacer(" · ", "\x00", " • ", "\x00", " | ", "\x00", " – ", "\x00", " — ", "\x00")

// segments parts a line of a title: "Fell Mint · Ref. FM-2 · Issue 3".
func segments(t string) []string { return strings.Split(segmentSigns.Replace(t), "\x00") }

// lastLines is how many lines from the end of a mail may hold its signature.
const lastLines = 8

// signature takes the company under a mail's text.
func (s *facts) signature() bool {
	var rows []*cells.Row
	for _, it := range s.Items {
		if it.Row != nil && it.Row.Quote == 0 && !it.Row.Hidden && it.Row.Text() != "" {
			rows = append(rows, it.Row)
		}
	}
	for _, row := range rows[max(0, len(rows)-lastLines):] {
		lines := strings.Split(strings.TrimSpace(row.Cells[0].Text), "\n")
		t := s.companyIn(lines[len(lines)-1])
		_, legal := s.Words.Exact("company", t[strings.LastIndexByte(t, ' ')+1:]) // "Zilt B.V."
		if len(row.Cells) == 1 && s.companyWords(t) && s.companyLike(t) && len(strings.Fields(t)) <= 6 &&
			(legal || !strings.HasSuffix(t, ".")) && !s.hasSignedLabel(t) && !s.isCustomer(row) {
			s.Out.Document.Supplier = &reading.Fact{Printed: t, Value: t, Place: s.Place(row.Place, row.Cells[0]),
				How: reading.How{Rules: []string{"from-position"}}}
			return true
		}
	}
	return false
}

// withoutTitle takes the title of the paper off the end of a line that begins with the
// company's name, and a sentence off its start.
func (s *facts) withoutTitle(v string) string {
	if at := strings.LastIndex(v, ". "); at > 0 { // "Released by QA. Kesgrave Ltd"
		if rest := v[at+2:]; len(pieces.Words(rest)) > 1 && s.companyWords(rest) && !s.companyWords(v[:at]) &&
			len(pieces.Words(v[:at])) > 1 {
			v = rest
		}
	}
	words := strings.Fields(v)
	for i := 1; i < len(words); i++ {
		if _, ok := s.Words.Exact("kind", strings.Join(words[i:], " ")); ok {
			return strings.Join(words[:i], " ")
		}
	}
	return v
}

// supplierHeading is the heading of section 1.3 of a safety data sheet.
var supplierHeading = pattern.New(`^\s*1\.3\b`)

func (s *facts) isCustomer(row *cells.Row) bool {
	return slices.ContainsFunc(s.LabelsIn(row.Text()), func(l desk.Label) bool {
		return l.Key == "customer" &&
			l.Sign
	})
}

// isMaterial says whether a text is the trade name or the code of the paper.
func (s *facts) isMaterial(t string) bool {
	d := s.Out.Document
	f := lexicon.Fold(t)
	return d.TradeName != nil && lexicon.Fold(d.TradeName.Value) == f || d.Code != nil &&
		strings.Contains(f, lexicon.Fold(d.Code.Value))
}

// plainTitle says whether a text could be a name: short, no title of a kind of
// paper, no figures, no label.
func (s *facts) plainTitle(t string) bool {
	if t == "" || len(strings.Fields(t)) > 6 || strings.ContainsAny(t, "0123456789:@") ||
		strings.HasSuffix(t, ".") {
		return false
	}
	f := lexicon.Fold(t)
	if _, _, ok := s.Words.Find("kind", f); ok {
		return false
	}
	if _, ok := s.Words.Exact("section", f); ok {
		return false
	}
	_, ok := s.Words.Exact("label", f)
	return !ok && utf8.RuneCountInString(t) > 3
}
