package certificate

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// CertificateTable reads the limits of a certificate.
func (s *Reader) CertificateTable(t *cells.Table) {
	cat := t.Index("category")
	limits := s.limitColumns(t)
	var last codes
	for _, row := range t.Rows {
		c, ok := s.codesIn(row.Cells[cat].Text, false)
		if !ok {
			if strings.TrimSpace(row.Cells[cat].Text) == "" && len(last.list) > 0 && len(limits) > 0 &&
				strings.TrimSpace(row.Cells[limits[0]].Text) != "" {
				c = last // another line of the same category
			} else {
				s.Pass(row.Place, row.Text())
				continue
			}
		}
		last = c
		s.categoryRow(t, row, c, limits)
	}
}

// categoryRow reads the limit of one row; several that differ are asked about.
func (s *Reader) categoryRow(t *cells.Table, row cells.Row, c codes, limits []int) {
	if len(limits) == 0 {
		if len(c.rest) > 0 {
			s.addLimit(c, c.rest, lexicon.Unit{}, s.Place(row.Place, row.Cells[t.Index("category")]),
				row.Place, false)
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
		s.Pass(row.Place, row.Text())
		return
	}
	i := filled[0]
	open := false
	for _, k := range filled[1:] {
		open = open || pieces.Printed(row.Cells[k].Text) != pieces.Printed(row.Cells[i].Text)
	}
	unit, _ := s.ColumnUnit(t.Columns[i])
	if unit.Divisor == 0 {
		unit = s.percent()
	}
	s.addLimit(c, row.Cells[i].Text, unit, s.Place(row.Place, row.Cells[i]), row.Place, open)
}

// percent is the unit that a certificate's limits have where none is printed: they
// are shares of the finished product by the form of the certificate.
func (s *Reader) percent() lexicon.Unit {
	u, _ := s.Figures.UnitIn("%")
	return u
}

// limitColumns finds the columns that hold limits.
func (s *Reader) limitColumns(t *cells.Table) []int {
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
			if f, ok := s.Figures.Parse(row.Cells[i].Text, s.percent()); ok && f.Status != figure.NotStated {
				return []int{i}
			}
		}
	}
	return nil
}

// addLimit adds a limit for each of the categories.
func (s *Reader) addLimit(c codes, raw string, unit lexicon.Unit, at reading.Place, where cells.Place,
	open bool) {
	if s.Out.IFRA == nil {
		s.Out.IFRA = &reading.Certificate{Rows: []reading.Limit{}}
	}
	raw = pieces.Printed(raw)
	bare := raw
	if strings.HasPrefix(bare, "(") && strings.HasSuffix(bare, ")") {
		bare = strings.Trim(bare, "() ")
	}
	if parts := s.eachLimit(c, bare, unit); parts != nil && !open {
		for i, code := range c.list {
			one := c
			one.list, one.old = []string{code}, c.old && i+1 == len(c.list)
			s.addLimit(one, parts[i], unit, at, where, false)
		}
		return
	}
	f, ok := s.Figures.Parse(bare, unit)
	for _, code := range c.list {
		l := reading.Limit{Category: code, Printed: raw, Status: "ask", Place: at}
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
		if (code == "11A" || code == "11B") && slices.Contains(c.list, "11A") &&
			slices.Contains(c.list, "11B") && len(c.list) == 2 {
			l.Rules = append(l.Rules, "category-11")
		}
		s.Doubt(where, &l.How)
		if l.Ask != "" {
			l.Status, l.Max = "ask", nil
			s.Ask(l.Ask, at, "category", code, "text", raw)
		}
		s.Out.IFRA.Rows = append(s.Out.IFRA.Rows, l)
	}
	if c.old {
		s.oldClasses(at)
	}
}

// eachLimit parts the limits of several categories that stand in one cell, one for each, in
// their order: "1.9 / 1.1 / 0.9 / 0.3 %" beside "5A / 5B / 5C / 5D"; nil where they are not
// that.
func (s *Reader) eachLimit(c codes, raw string, unit lexicon.Unit) []string {
	if len(c.list) < 2 {
		return nil
	}
	for _, sep := range []string{"/", ";", "|"} {
		parts := strings.Split(raw, sep)
		if len(parts) != len(c.list) {
			continue
		}
		for _, p := range parts {
			if f, ok := s.Figures.Parse(p, unit); !ok || !meansLimit(f) || f.Status == figure.NotStated {
				return nil
			}
		}
		return parts
	}
	return nil
}

// oldClasses turns every limit of a certificate with the old classes into a
// question: the classes mean other products.
func (s *Reader) oldClasses(at reading.Place) {
	for i := range s.Out.IFRA.Rows {
		l := &s.Out.IFRA.Rows[i]
		l.Status, l.Max, l.Ask = "ask", nil, "amendment-classes"
	}
	if !slices.ContainsFunc(s.Out.Asks, func(a reading.Ask) bool { return a.Code == "amendment-classes" }) {
		s.Ask("amendment-classes", at)
	}
}

// listedLimits reads several categories with their limits in one text: "Category 1: 0.02 %;
// Category 2: 0.08 %".
func (s *Reader) listedLimits(row *cells.Row) bool {
	t := pieces.OneLine(row.Cells[0].Text)
	var starts []int
	for _, w := range pieces.Words(t) {
		if _, ok := s.codesIn(t[w.Start:], true); ok {
			starts = append(starts, w.Start)
		}
	}
	if len(starts) < 2 || strings.TrimSpace(t[:starts[0]]) != "" &&
		!strings.HasSuffix(strings.TrimSpace(t[:starts[0]]), ":") {
		return false
	}
	found := make([]codes, len(starts))
	for i, from := range starts {
		to := len(t)
		if i+1 < len(starts) {
			to = starts[i+1]
		}
		c, _ := s.codesIn(t[from:to], true)
		c.rest = strings.TrimRight(strings.TrimLeft(c.rest, ":-–=. "), " ;,.|")
		if and := trailingAnd().FindStringIndex(c.rest); and != nil {
			c.rest = c.rest[:and[0]]
		}
		if f, ok := s.Figures.Parse(c.rest, s.percent()); !ok || !meansLimit(f) {
			return false
		}
		found[i] = c
	}
	for _, c := range found {
		s.addLimit(c, c.rest, s.percent(), s.Place(row.Place, row.Cells[0]), row.Place, false)
	}
	return true
}

// trailingAnd joins the last of a list.
var trailingAnd = lexicon.Pattern(`(?i)[\s;,]+<<and>>$`)

// CategoryLine reads a line of text that begins with a category and ends with its
// limit.
func (s *Reader) CategoryLine(row *cells.Row) bool {
	if !s.HasKind("ifra-certificate") && s.Topic != "ifra" || len(row.Cells) == 0 {
		return false
	}
	if s.codeRow(row) {
		return true
	}
	if len(row.Cells) == 1 && s.listedLimits(row) {
		return true
	}
	needWord := !s.Is("ifra-certificate")
	cells := row.Cells
	found := false
	for i := 0; i < len(cells); i++ {
		c, ok := s.codesIn(cells[i].Text, needWord || len(cells) == 1)
		if !ok || strings.HasPrefix(c.rest, "%") || strings.HasPrefix(c.rest, ".") ||
			strings.HasPrefix(c.rest, ",") {
			continue
		}
		if c.rest != "" {
			rest := strings.TrimLeft(c.rest, ":-–=. ")
			if f, ok := s.Figures.Parse(rest, s.percent()); ok && meansLimit(f) {
				s.addLimit(c, rest, s.percent(), s.Place(row.Place, cells[i]), row.Place, false)
				found = true
				continue
			}
		}
		for k := i + 1; k < len(cells); k++ {
			if _, again := s.codesIn(cells[k].Text, true); again {
				break
			}
			if f, ok := s.Figures.Parse(cells[k].Text, s.percent()); ok && meansLimit(f) &&
				(k == len(cells)-1 || k == i+1 || strings.Contains(cells[k].Text, "%")) {
				s.addLimit(c, cells[k].Text, s.percent(), s.Place(row.Place, cells[k]), row.Place, false)
				found, i = true, k
				break
			}
		}
	}
	return found
}

func meansLimit(f figure.Figure) bool {
	switch f.Status {
	case figure.Value, figure.Below, figure.NotPermitted, figure.NoRestriction, figure.Ask,
		figure.NotApplicable, figure.Zero, figure.NotStated:
		return true
	}
	return false
}
