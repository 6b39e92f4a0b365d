package transcribe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

var nameEdges = regexp.MustCompile(`^[\s,;:/|·•*-]+|[\s,;:/|·•-]+$`)
var emptyBrackets = regexp.MustCompile(`\(\s*[,;/]*\s*\)|\[\s*\]`)

// cleanName takes what is left of a name when numbers were taken out of it.
func cleanName(s string) string {
	s = emptyBrackets.ReplaceAllString(oneLine(s), " ")
	s = spaces.ReplaceAllString(s, " ")
	return strings.TrimSpace(nameEdges.ReplaceAllString(strings.TrimSpace(s), ""))
}

// compositionTable reads a table of constituents.
func (s *reading) compositionTable(t *cells.Table) {
	numbered := map[int]bool{}
	for i, c := range t.Columns {
		if (c.Role == "name" || c.Role == "inci") && !t.Has("number") && rowNumbers(t, i) {
			numbered[i] = true
		}
	}
	for _, row := range t.Rows {
		c, ok := s.constituentRow(t, row, numbered)
		if !ok {
			continue
		}
		s.out.Composition = append(s.out.Composition, c)
	}
}

// constituentRow reads one row; ok is false for totals, subheads and what is not
// understood.
func (s *reading) constituentRow(t *cells.Table, row cells.Row, numbered map[int]bool) (Constituent, bool) {
	c := Constituent{CAS: []string{}, EC: []string{}, LowIn: true, HighIn: true, Place: s.place(row.Place, row.Cells[0])}
	s.identity(t, row, &c, numbered)
	if s.isTotal(c.Name) {
		s.total(t, row)
		return c, false
	}
	read := s.rowFigures(t, row, &c)
	if c.Name == "" && len(c.CAS) == 0 {
		if text := row.Text(); text != "" {
			s.pass(row.Place, text)
		}
		return c, false
	}
	if !read && len(c.CAS) == 0 && c.Printed == "" {
		s.looseInTable(row)
		return c, false
	}
	s.doubt(row.Place, &c.How)
	return c, true
}

// identity fills in name and numbers from the columns.
func (s *reading) identity(t *cells.Table, row cells.Row, c *Constituent, numbered map[int]bool) {
	var bad []string
	for i, col := range t.Columns {
		cell := row.Cells[i].Text
		if strings.TrimSpace(cell) == "" {
			continue
		}
		switch col.Role {
		case "cas", "ec", "casec", "reach", "index", "name", "inci", "":
			cas, ec, wrong, rest := numbers(cell)
			c.CAS, c.EC, bad = append(c.CAS, cas...), append(c.EC, ec...), append(bad, wrong...)
			if col.Role != "name" && col.Role != "inci" {
				continue
			}
			name := oneLine(cell)
			if len(cas)+len(ec) > 0 {
				name = cleanName(s.withoutNumberWords(rest))
			}
			if m := leadingNumber.FindStringSubmatch(name); m != nil && numbered[i] {
				name = m[2]
			}
			if col.Role == "inci" {
				if c.Name == "" || s.columnFirst(t, i) {
					c.Name, c.Place = name, s.place(row.Place, row.Cells[i])
				}
				c.INCI = name
			} else if c.Name == "" {
				c.Name, c.Place = name, s.place(row.Place, row.Cells[i])
			}
		case "function":
			c.Function = printed(cell)
		}
	}
	for _, n := range bad {
		s.ask("number-wrong", c.Place, "number", n, "name", c.Name)
	}
	if s.names != nil && c.INCI == "" {
		c.INCI = s.names.INCI(c.Name, c.CAS, c.EC)
	}
	s.otherEC(c)
}

// columnFirst says whether the column is the first of the names.
func (s *reading) columnFirst(t *cells.Table, i int) bool {
	for k, c := range t.Columns[:i] {
		if c.Role == "name" && k < i {
			return false
		}
	}
	return true
}

// otherEC asks where the tables know another EC number for the CAS number.
func (s *reading) otherEC(c *Constituent) {
	if s.names == nil || len(c.CAS) != 1 || len(c.EC) != 1 {
		return
	}
	known := s.names.ECOf(c.CAS[0])
	if len(known) == 0 {
		return
	}
	for _, k := range known {
		if k == c.EC[0] {
			return
		}
	}
	s.ask("ec-other", c.Place, "ec", c.EC[0], "cas", c.CAS[0], "others", strings.Join(known, ", "))
}

// withoutNumberWords drops the labels of numbers ("CAS-Nr.:") from a text.
func (s *reading) withoutNumberWords(t string) string {
	t = numberWords.ReplaceAllString(t, " ")
	return t
}

var numberWords = regexp.MustCompile(`(?i)\b(?:(?:cas|ec|eg|ce|einecs|elincs|reach|index|rrn)[ -]*(?:no|nr|number|nummer|n[°º]|num|numero|numéro|número|reg)?[ .]*(?:no|nr)?\.?\s*[°º]?\s*[:#]?)(?:\s|$|[,;/)])|\b(?:n[°º]|no\.?|nr\.?)\s*(?:cas|ce|ec|eg|einecs|index)\s*[:#]?`)

// rowFigures reads bounds and typical content of a row; read is false where there
// is no figure.
func (s *reading) rowFigures(t *cells.Table, row cells.Row, c *Constituent) (read bool) {
	var low, high, typical, content *figure.Figure
	var parts []string
	for i, col := range t.Columns {
		cell := row.Cells[i]
		raw := strings.TrimSpace(cell.Text)
		if raw == "" {
			continue
		}
		switch col.Role {
		case "content", "low", "high", "typical", "spec", "result":
		default:
			continue
		}
		unit, rule := s.columnUnit(col)
		f, ok := s.cellFigure(cell, unit)
		if !ok {
			s.ask("not-read", s.place(row.Place, cell), "name", c.Name, "text", printed(raw))
			c.Ask = "not-read"
			c.Printed = printed(raw)
			continue
		}
		if rule != "" && f.Unit.Name == unit.Name && f.Low != "" {
			f.Rules = append(f.Rules, rule)
		}
		parts = append(parts, printed(raw))
		if len(parts) == 1 {
			c.Place = s.place(row.Place, cell)
		}
		switch col.Role {
		case "low":
			low = &f
		case "high":
			high = &f
		case "typical":
			typical = &f
		default:
			if content == nil {
				content = &f
			} else if content.Low != f.Low || content.High != f.High {
				if t.Has("spec") && t.Has("result") {
					if col.Role == "result" {
						content = &f
					}
					continue
				}
				s.secondContent(c, content, f, s.place(row.Place, cell))
			}
		}
	}
	if len(parts) > 0 && c.Printed == "" {
		c.Printed = strings.Join(parts, ", ")
	}
	return s.settle(c, low, high, typical, content)
}

// secondContent weighs two figures of one row: the same content in two units
// agrees, anything else is asked.
func (s *reading) secondContent(c *Constituent, first *figure.Figure, f figure.Figure, at Place) {
	a, ok1 := figure.Percent(first.High, first.Unit)
	b, ok2 := figure.Percent(f.High, f.Unit)
	if ok1 && ok2 && a == b || f.Status == figure.NotStated {
		return
	}
	c.Ask = "two-figures"
	s.ask("two-figures", at, "name", c.Name, "text", first.Printed+", "+f.Printed)
}

// cellFigure reads a cell as a figure. A stored number has a point for decimal
// sign whatever the language.
func (s *reading) cellFigure(cell cells.Cell, unit lexicon.Unit) (figure.Figure, bool) {
	r := s.fig
	if cell.Number {
		r.Habit = figure.Point
	}
	return parseLines(r, cell.Text, unit)
}

// parseLines reads a figure that may take several lines. Lines that are figures of
// their own are two figures and no range.
func parseLines(r figure.Reader, text string, unit lexicon.Unit) (figure.Figure, bool) {
	if lines := strings.Split(text, "\n"); len(lines) > 1 {
		whole := 0
		for _, l := range lines {
			if f, ok := r.Parse(l, unit); ok && f.Status != figure.NotStated {
				whole++
			}
		}
		if whole > 1 {
			return figure.Figure{Printed: printed(text)}, false
		}
	}
	return r.Parse(strings.ReplaceAll(text, "\n", " "), unit)
}

// settle joins the figures of a row into its bounds.
func (s *reading) settle(c *Constituent, low, high, typical, content *figure.Figure) bool {
	if typical != nil {
		if sh := s.share(*typical, c.Name, c.Place); sh.high != nil && sh.low != nil && *sh.low == *sh.high {
			c.Typical = *sh.high
		} else if content == nil && low == nil && high == nil {
			content = typical
		}
	}
	main := content
	switch {
	case low != nil && high != nil && low.Low != "" && high.High != "" && content == nil:
		main = s.between(low, high)
	case content == nil && low != nil && (low.Low != "" || low.Status != figure.NotStated):
		f := *low
		if f.Status == figure.Value {
			f.Status, f.High = figure.Above, ""
		}
		main = &f
	case content == nil && high != nil && high.High != "":
		f := *high
		if f.Status == figure.Value || f.Status == figure.Zero {
			f.Status, f.Low, f.LowIn = figure.Below, "0", true
		}
		main = &f
	}
	if main == nil || main.Status == figure.NotStated && c.Typical != "" {
		if c.Typical != "" {
			v := c.Typical
			c.Low, c.High = &v, &v
			return true
		}
		if main == nil {
			return false
		}
	}
	s.setContent(c, *main)
	return true
}

// between joins the figures of a column "from" and a column "to".
func (s *reading) between(low, high *figure.Figure) *figure.Figure {
	f := *low
	f.Printed = low.Printed + " - " + high.Printed
	switch {
	case low.Status == figure.Below: // "<0.1" under "from": the upper bound stands there
		return low
	case high.Status == figure.Above:
		return high
	}
	f.Status, f.High, f.HighIn = figure.Range, high.High, high.HighIn
	f.Rules = append(append([]string{}, low.Rules...), high.Rules...)
	if high.Open != "" {
		f.Open = high.Open
	}
	if low.Unit.Name != high.Unit.Name {
		f.Open = "two-units"
	}
	return &f
}

// setContent puts a figure into a constituent.
func (s *reading) setContent(c *Constituent, f figure.Figure) {
	sh := s.share(f, c.Name, c.Place)
	c.Rules = append(c.Rules, sh.how.Rules...)
	if c.Ask == "" {
		c.Ask = sh.how.Ask
	}
	switch f.Status {
	case figure.Rest:
		c.Status = "qs"
		if sh.middle != "" {
			c.Typical = sh.middle
		}
		s.ask("no-figure", c.Place, "name", c.Name, "text", f.Printed)
	case figure.ToPH, figure.Complies, figure.NotApplicable, figure.NoData, figure.Ask, figure.NotPermitted, figure.NoRestriction:
		c.Status = string(f.Status)
		s.ask("no-figure", c.Place, "name", c.Name, "text", f.Printed)
	case figure.NotStated:
		c.Status = "not-stated"
	case figure.Trace:
		c.Status, c.Low, c.High, c.LowIn, c.HighIn = "trace", sh.low, sh.high, true, false
		if sh.high == nil {
			s.ask("trace", c.Place, "name", c.Name)
		}
	case figure.NotDetected, figure.Absent:
		c.Status, c.Low, c.High, c.LowIn, c.HighIn = "not-detected", sh.low, sh.high, true, sh.highIn
		if sh.high == nil {
			s.ask("not-detected", c.Place, "name", c.Name)
		}
	case figure.Value:
		if f.About {
			c.Typical = deref(sh.high)
			c.Status = "about"
			s.ask("no-figure", c.Place, "name", c.Name, "text", f.Printed)
			return
		}
		fallthrough
	default:
		c.Low, c.High, c.LowIn, c.HighIn = sh.low, sh.high, sh.lowIn, sh.highIn
		if c.High == nil {
			c.HighIn = true
		}
	}
}

func deref(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// total checks the row of a total against the rows above it.
func (s *reading) total(t *cells.Table, row cells.Row) {
	for i, col := range t.Columns {
		if col.Role != "content" && col.Role != "typical" && col.Role != "high" {
			continue
		}
		unit, _ := s.columnUnit(col)
		f, ok := s.cellFigure(row.Cells[i], unit)
		if !ok || f.Status != figure.Value {
			continue
		}
		var parts []string
		for _, c := range s.out.Composition {
			if c.Status == "qs" {
				return // the rest has no figure of its own
			}
			v := c.Typical
			if v == "" && c.Low != nil && c.High != nil && *c.Low == *c.High {
				v = *c.Low
			}
			parts = append(parts, v)
		}
		sum := figure.Sum(parts...)
		if pct, ok := figure.Percent(f.High, f.Unit); ok && sum.Cmp(figure.Sum(pct)) != 0 && col.Role != "high" {
			s.ask("total-differs", s.place(row.Place, row.Cells[i]), "total", printed(row.Cells[i].Text), "sum", sum.Exact()+" %")
		}
		return
	}
}

// looseInTable reads a row of a table that has no figure under its columns: a
// subhead, or a sentence.
func (s *reading) looseInTable(row cells.Row) {
	s.pass(row.Place, row.Text())
}
