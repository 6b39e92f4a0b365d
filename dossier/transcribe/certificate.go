package transcribe

import (
	"regexp"
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// categories are those of the 49th amendment and later, in order.
var (
	codeToken = regexp.MustCompile(`^(\d{1,2})\s?\.?\s?([A-Da-d])?(?:\b|$)`)
	codeRange = regexp.MustCompile(`^\s*(?:-|–|bis|to|à|a|tot)\s*`)
	codeJoint = regexp.MustCompile(`^\s*(?:,|/|&|\+|;|and|und|et|e|y|en)\s*`)
	letterTok = regexp.MustCompile(`^([A-D])(?:\b|$)`)
	oldLetter = regexp.MustCompile(`^\d{1,2}\s?\.\s?[A-D]|^(?:1|2|3|4|6|8|9|12)\s?[A-D]\b`)
)

// codes are the category codes at the start of a text and what follows them. old
// says that they are classes of the 48th amendment or earlier.
// codesIn reads category codes: "IFRA Category 5A", "7A/7B", "5A-5D", "Class 3.A".
// needWord asks for the word before the number.
// afterCategoryWord drops the words before a code: "IFRA", "Category", "Class".
// to adds the codes up to the one at the start of a text: "5A-5D", "5A-D".
// certificateTable reads the limits of a certificate.
func (s *reading) certificateTable(t *cells.Table) {
	cat := t.Index("category")
	limits := s.limitColumns(t)
	var last codes
	for _, row := range t.Rows {
		c, ok := s.codesIn(row.Cells[cat].Text, false)
		if !ok {
			if strings.TrimSpace(row.Cells[cat].Text) == "" && len(last.list) > 0 && len(limits) > 0 && strings.TrimSpace(row.Cells[limits[0]].Text) != "" {
				c = last // another line of the same category
			} else {
				s.pass(row.Place, row.Text())
				continue
			}
		}
		last = c
		s.categoryRow(t, row, c, limits)
	}
}

func (s *reading) categoryRow(t *cells.Table, row cells.Row, c codes, limits []int) {
	if len(limits) == 0 {
		if len(c.rest) > 0 {
			s.limit(c, c.rest, lexicon.Unit{}, s.place(row.Place, row.Cells[t.Index("category")]), row.Place, false)
		}
		return
	}
	var filled []int
	for _, i := range limits {
		if strings.TrimSpace(row.Cells[i].Text) != "" {
			filled = append(filled, i)
		}
	}
	if len(filled) == 0 {
		s.pass(row.Place, row.Text())
		return
	}
	i := filled[0]
	open := false
	for _, k := range filled[1:] {
		open = open || printed(row.Cells[k].Text) != printed(row.Cells[i].Text)
	}
	unit, _ := s.columnUnit(t.Columns[i])
	if unit.Divisor == 0 {
		unit = s.percent()
	}
	s.limit(c, row.Cells[i].Text, unit, s.place(row.Place, row.Cells[i]), row.Place, open)
}

// percent is the unit that a certificate's limits have where none is printed: they
// are shares of the finished product by the form of the certificate.
func (s *reading) percent() lexicon.Unit {
	u, _ := s.fig.UnitIn("%")
	return u
}

// limitColumns finds the columns that hold limits.
func (s *reading) limitColumns(t *cells.Table) []int {
	var out []int
	for _, role := range []string{"limit", "high", "content", "finished", "spec", "result"} {
		for i, c := range t.Columns {
			if c.Role == role {
				out = append(out, i)
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	for i, c := range t.Columns {
		if c.Role != "" {
			continue
		}
		for _, row := range t.Rows {
			if f, ok := s.fig.Parse(row.Cells[i].Text, s.percent()); ok && f.Status != figure.NotStated {
				return []int{i}
			}
		}
	}
	return nil
}

// limit adds a limit for each of the categories.
func (s *reading) limit(c codes, raw string, unit lexicon.Unit, at Place, where cells.Place, open bool) {
	if s.out.IFRA == nil {
		s.out.IFRA = &Certificate{Rows: []Limit{}}
	}
	raw = printed(raw)
	bare := raw
	if strings.HasPrefix(bare, "(") && strings.HasSuffix(bare, ")") {
		bare = strings.Trim(bare, "() ")
	}
	f, ok := s.fig.Parse(bare, unit)
	for _, code := range c.list {
		l := Limit{Category: code, Printed: raw, Status: "ask", Place: at}
		l.Rules = append(l.Rules, f.Rules...)
		switch {
		case !ok || open || f.Open != "" || f.About:
			l.Ask = "limit-open"
		case c.bare && !slices.Contains(categories, code):
			l.Ask = "category-letter"
		case f.Status == figure.NotPermitted:
			l.Status = "not-permitted"
		case f.Status == figure.NoRestriction:
			l.Status = "no-restriction"
		case f.Status == figure.Value, f.Status == figure.Below && f.HighIn:
			if pct, ok := figure.Percent(f.High, f.Unit); !ok || figure.Sum("100").Less(figure.Sum(pct)) {
				l.Ask = "limit-open"
			} else if figure.Sum(pct).Cmp(figure.Sum("100")) == 0 {
				l.Status = "no-restriction"
			} else {
				l.Status, l.Max = "limit", &pct
			}
		default:
			l.Ask = "limit-open"
		}
		if (code == "11A" || code == "11B") && slices.Contains(c.list, "11A") && slices.Contains(c.list, "11B") && len(c.list) == 2 {
			l.Rules = append(l.Rules, "category-11")
		}
		s.doubt(where, &l.How)
		if l.Ask != "" {
			l.Status, l.Max = "ask", nil
			s.ask(l.Ask, at, "category", code, "text", raw)
		}
		s.out.IFRA.Rows = append(s.out.IFRA.Rows, l)
	}
	if c.old {
		s.oldClasses(at)
	}
}

// oldClasses turns every limit of a certificate with the old classes into a
// question: the classes mean other products.
func (s *reading) oldClasses(at Place) {
	for i := range s.out.IFRA.Rows {
		l := &s.out.IFRA.Rows[i]
		l.Status, l.Max, l.Ask = "ask", nil, "amendment-classes"
	}
	if !slices.ContainsFunc(s.out.Asks, func(a Ask) bool { return a.Code == "amendment-classes" }) {
		s.ask("amendment-classes", at)
	}
}

// categoryLine reads a line of text that begins with a category and ends with its
// limit.
func (s *reading) categoryLine(row *cells.Row) bool {
	if !s.hasKind("ifra-certificate") && s.topic != "ifra" || len(row.Cells) == 0 {
		return false
	}
	if s.codeRow(row) {
		return true
	}
	needWord := !s.is("ifra-certificate")
	cells := row.Cells
	found := false
	for i := 0; i < len(cells); i++ {
		c, ok := s.codesIn(cells[i].Text, needWord || len(cells) == 1)
		if !ok || strings.HasPrefix(c.rest, "%") || strings.HasPrefix(c.rest, ".") || strings.HasPrefix(c.rest, ",") {
			continue
		}
		if c.rest != "" {
			rest := strings.TrimLeft(c.rest, ":-–=. ")
			if f, ok := s.fig.Parse(rest, s.percent()); ok && meansLimit(f) {
				s.limit(c, rest, s.percent(), s.place(row.Place, cells[i]), row.Place, false)
				found = true
				continue
			}
		}
		for k := i + 1; k < len(cells); k++ {
			if _, again := s.codesIn(cells[k].Text, true); again {
				break
			}
			if f, ok := s.fig.Parse(cells[k].Text, s.percent()); ok && meansLimit(f) && (k == len(cells)-1 || k == i+1 || strings.Contains(cells[k].Text, "%")) {
				s.limit(c, cells[k].Text, s.percent(), s.place(row.Place, cells[k]), row.Place, false)
				found, i = true, k
				break
			}
		}
	}
	return found
}

func meansLimit(f figure.Figure) bool {
	switch f.Status {
	case figure.Value, figure.Below, figure.NotPermitted, figure.NoRestriction, figure.Ask, figure.NotApplicable, figure.Zero, figure.NotStated:
		return true
	}
	return false
}

// codeRow keeps a row that is nothing but codes, and reads the rows under it as
// their limits, which may take several lines.
// underCodes gives the cells of a row; where narrow columns have run together, its
// words under the codes above them.
// allCodes says whether a row is nothing but category codes, at least three, a
// word before them apart.
// closeCodes files the limits that stood under a row of codes.
var amendmentNumber = regexp.MustCompile(`\b(\d{2})(?:\s*(?:st|nd|rd|th|er|e|ème|eme|ste|de|°|º|ª|\.))?$`)
var ifraNumber = regexp.MustCompile(`(?i)\bIFRA[ -]*(\d{2})\b`)
var leadingTwo = regexp.MustCompile(`^\W*(?:no|nr|n|num)?\W*(\d{2})\b`)

// amendment finds the amendment that a certificate follows.
func (s *reading) amendment() (int, Place, bool) {
	for _, it := range s.items {
		if it.Row == nil || it.Row.Quote > 0 {
			continue
		}
		for _, c := range it.Row.Cells {
			ws := wordsOf(c.Text)
			for _, w := range ws {
				if _, ok := s.words.Exact("amendment", w.folded); !ok {
					continue
				}
				if m := amendmentNumber.FindStringSubmatch(strings.TrimRight(c.Text[:w.start], " .-")); m != nil && plausibleAmendment(m[1]) {
					return atoi(m[1]), s.place(it.Row.Place, c), true
				}
				if m := amendmentNumber.FindStringSubmatch(strings.TrimSpace(c.Text[:w.start])); m != nil && plausibleAmendment(m[1]) {
					return atoi(m[1]), s.place(it.Row.Place, c), true
				}
				if m := leadingTwo.FindStringSubmatch(c.Text[w.end:]); m != nil && plausibleAmendment(m[1]) {
					return atoi(m[1]), s.place(it.Row.Place, c), true
				}
			}
			if m := ifraNumber.FindStringSubmatch(c.Text); m != nil && plausibleAmendment(m[1]) {
				return atoi(m[1]), s.place(it.Row.Place, c), true
			}
		}
	}
	return 0, Place{}, false
}

func plausibleAmendment(n string) bool { return atoi(n) >= 36 && atoi(n) <= 70 }

// certificate closes the certificate: its amendment, the lowest of several limits
// of a category, what it says nothing of.
func (s *reading) certificate() {
	s.closeCodes()
	cert := s.out.IFRA
	n, at, ok := s.amendment()
	if cert == nil {
		if !ok || !s.hasKind("ifra-certificate") {
			return
		}
		s.out.IFRA = &Certificate{Rows: []Limit{}}
		cert = s.out.IFRA
	}
	if ok && s.doubtful[at.Page] {
		s.ask("page-not-trusted", at)
		ok = false
		n = 0
	}
	if ok {
		cert.Amendment = &n
		switch {
		case n < 49 && len(cert.Rows) > 0:
			s.oldClasses(at)
		case n < s.newest:
			s.ask("amendment-old", at, "amendment", itoa(n), "newest", itoa(s.newest))
		}
	} else if len(cert.Rows) > 0 {
		s.ask("amendment-none", Place{})
	}
	s.lowestLimits()
	if len(cert.Rows) >= 5 {
		var missing []string
		for _, c := range categories {
			if !slices.ContainsFunc(cert.Rows, func(l Limit) bool {
				return digitsOf(l.Category) == digitsOf(c) && (l.Category == c || l.Category == digitsOf(c))
			}) {
				missing = append(missing, c)
			}
		}
		if len(missing) > 0 && len(missing) < len(categories) {
			s.ask("category-missing", Place{}, "text", strings.Join(missing, ", "))
		}
	}
}

// lowestLimits keeps one row for each category: a prohibition before a limit, the
// lower limit before the higher.
func (s *reading) lowestLimits() {
	rank := func(l Limit) int {
		switch l.Status {
		case "ask":
			return 0
		case "not-permitted":
			return 1
		case "limit":
			return 2
		}
		return 3
	}
	var out []Limit
	for _, l := range s.out.IFRA.Rows {
		i := slices.IndexFunc(out, func(o Limit) bool { return o.Category == l.Category })
		if i < 0 {
			out = append(out, l)
			continue
		}
		o := out[i]
		if o.Status == l.Status && deref(o.Max) == deref(l.Max) {
			continue
		}
		s.ask("category-twice", l.Place, "category", l.Category, "text", o.Printed+"; "+l.Printed)
		lower := rank(l) < rank(o) || rank(l) == rank(o) && l.Max != nil && o.Max != nil && figure.Sum(*l.Max).Less(figure.Sum(*o.Max))
		if lower {
			l.Rules = append(l.Rules, "lowest-of-category")
			out[i] = l
		} else {
			out[i].Rules = append(out[i].Rules, "lowest-of-category")
		}
	}
	s.out.IFRA.Rows = out
	if out == nil {
		s.out.IFRA.Rows = []Limit{}
	}
}
