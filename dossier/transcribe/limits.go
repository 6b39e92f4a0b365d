package transcribe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// certificateTable reads the limits of a certificate.
func (s *certifier) certificateTable(t *cells.Table) {
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

func (s *certifier) categoryRow(t *cells.Table, row cells.Row, c codes, limits []int) {
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
func (s *certifier) percent() lexicon.Unit {
	u, _ := s.fig.UnitIn("%")
	return u
}

// limitColumns finds the columns that hold limits.
func (s *certifier) limitColumns(t *cells.Table) []int {
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
func (s *certifier) limit(c codes, raw string, unit lexicon.Unit, at Place, where cells.Place, open bool) {
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
func (s *certifier) oldClasses(at Place) {
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
func (s *certifier) categoryLine(row *cells.Row) bool {
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
