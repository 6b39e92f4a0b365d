package transcribe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// property is a name of a property or an impurity as the lexicon knows it.
type property struct {
	key      string
	impurity bool
}

// propertyOf finds which property a printed name means. whole asks for the name as
// a whole, brackets and conditions apart.
func (s *reading) propertyOf(name string, whole bool) (property, bool) {
	bare := conditions.ReplaceAllString(plainName(name), " ")
	for _, n := range []string{name, plainName(name), bare} {
		for _, subject := range []string{"impurity", "property"} {
			if e, ok := s.words.Exact(subject, n); ok {
				return property{e.Key, subject == "impurity"}, true
			}
		}
	}
	if whole {
		return property{}, false
	}
	folded := lexicon.Fold(bare)
	best := lexicon.Entry{}
	for _, subject := range []string{"impurity", "property"} {
		if e, ok := s.words.Prefix(subject, folded); ok && len(e.Word) > len(best.Word) && len(e.Word) > 2 {
			best = e
		}
	}
	if best.Word != "" && len(folded)-len(best.Word) <= 24 {
		return property{best.Key, best.Subject == "impurity"}, true
	}
	for _, subject := range []string{"impurity", "property"} {
		if e, at, ok := s.words.Find(subject, folded); ok && at > 0 && at <= 16 && len(e.Word) > 4 && len(e.Word) > len(best.Word) && len(folded)-at-len(e.Word) <= 16 {
			best = e
		}
	}
	if best.Word == "" {
		return property{}, false
	}
	return property{best.Key, best.Subject == "impurity"}, true
}

// exactProperty finds a property whose name is the whole text.
func (s *reading) exactProperty(text string) (property, bool) {
	for _, subject := range []string{"impurity", "property"} {
		if e, ok := s.words.Exact(subject, text); ok {
			return property{e.Key, subject == "impurity"}, true
		}
	}
	return property{}, false
}

var (
	conditions  = regexp.MustCompile(`(?i),?\s*(?:at|bei|à|a|bij|@|d)?\s*\d{2}\s?(?:/\d{1,2})?\s?°\s?C?\b`)
	temperature = regexp.MustCompile(`(\d{2})(?:\s?/\s?\d{1,2})?\s?(?:°|º|deg)?\s?C\b|\b(\d{2})\s?°`)
	shareIn     = regexp.MustCompile(`[\[(]([^\])]*%[^\])]*)[\])]`)
)

// fullName is the name of a property with its condition: temperature, dilution.
func fullName(p property, printed string) string {
	name := p.key
	if m := shareIn.FindStringSubmatch(printed); m != nil && p.key == "pH" {
		return name + " (" + strings.TrimSpace(m[1]) + ")"
	}
	if p.impurity {
		return name
	}
	rest := printed
	if m := temperature.FindStringSubmatch(rest); m != nil {
		t := m[1]
		if t == "" {
			t = m[2]
		}
		name += " at " + t + " °C"
	}
	return name
}

// propertyTable reads a table of properties, impurities or tests.
func (s *reading) propertyTable(t *cells.Table) {
	for _, row := range t.Rows {
		s.propertyRow(t, row)
	}
}

// propertyCells are the figures of a row by what they are.
type propertyCells struct {
	name, method, unit           string
	cas                          []string
	result, spec, typical, value *cells.Cell
	low, high                    *cells.Cell
	lots                         []*cells.Cell
	lotNames                     []string
	headUnit                     map[*cells.Cell]lexicon.Unit
}

func (s *reading) propertyCells(t *cells.Table, row cells.Row) propertyCells {
	p := propertyCells{headUnit: map[*cells.Cell]lexicon.Unit{}}
	p.name, p.cas = s.nameAndNumbers(t, row)
	for i, col := range t.Columns {
		c := &row.Cells[i]
		if strings.TrimSpace(c.Text) == "" {
			continue
		}
		if u, ok := s.fig.UnitIn(col.Head); ok {
			p.headUnit[c] = u
		}
		switch col.Role {
		case "method":
			p.method = printed(c.Text)
		case "unit":
			p.unit = printed(c.Text)
		case "result":
			p.result = c
		case "spec":
			p.spec = c
		case "typical":
			p.typical = c
		case "content", "limit":
			p.value = c
		case "low":
			p.low = c
		case "high":
			p.high = c
		case "lot":
			p.lots = append(p.lots, c)
			p.lotNames = append(p.lotNames, s.lotName(col.Head))
		case "":
			if p.name == "" && i == 0 {
				p.name = oneLine(c.Text)
			}
		}
	}
	return p
}

// lotName is the lot that the head of a column names.
func (s *reading) lotName(head string) string {
	for _, l := range s.labelsIn(head) {
		if l.key == "batch" && l.value != "" {
			return l.value
		}
	}
	return head
}

// propertyRow reads one row of a table of properties.
func (s *reading) propertyRow(t *cells.Table, row cells.Row) {
	p := s.propertyCells(t, row)
	if p.name == "" {
		s.pass(row.Place, row.Text())
		return
	}
	base := Property{Name: p.name, Method: p.method}
	if len(p.cas) > 0 {
		base.CAS = p.cas[0]
	}
	unit := s.unitOf(p.name, p.unit)
	if p.spec != nil {
		base.Spec = printed(p.spec.Text)
	} else if p.low != nil || p.high != nil {
		base.Spec = strings.TrimSpace(cellText(p.low) + " - " + cellText(p.high))
	}
	if p.typical != nil {
		base.Typical = printed(p.typical.Text)
	}
	for i, c := range p.lots {
		one := base
		one.Lot = p.lotNames[i]
		s.addProperty(t, row, one, c, "result", p.unitFor(c, unit))
	}
	if len(p.lots) > 0 {
		return
	}
	switch {
	case p.result != nil:
		s.addProperty(t, row, base, p.result, "result", p.unitFor(p.result, unit))
	case p.value != nil && p.spec != nil:
		s.addProperty(t, row, base, p.value, "result", p.unitFor(p.value, unit))
	case p.spec != nil:
		s.addProperty(t, row, base, p.spec, "specification", p.unitFor(p.spec, unit))
	case p.low != nil || p.high != nil:
		s.addBounds(row, base, p, unit)
	case p.value != nil:
		s.addProperty(t, row, base, p.value, s.valueKind(), p.unitFor(p.value, unit))
	case p.typical != nil:
		base.Typical = ""
		s.addProperty(t, row, base, p.typical, "typical", p.unitFor(p.typical, unit))
	default:
		s.pass(row.Place, row.Text())
	}
}

func (p propertyCells) unitFor(c *cells.Cell, unit lexicon.Unit) lexicon.Unit {
	if unit.Name != "" {
		return unit
	}
	return p.headUnit[c]
}

func cellText(c *cells.Cell) string {
	if c == nil {
		return ""
	}
	return printed(c.Text)
}

// valueKind tells what a bare value is: by the heading above it, by the paper.
func (s *reading) valueKind() string {
	switch {
	case s.typical != "":
		return s.typical
	case s.is("certificate-of-analysis"):
		return "result"
	}
	return "typical"
}

// unitOf is the unit of a property: from its own cell, otherwise from its name.
func (s *reading) unitOf(name, own string) lexicon.Unit {
	if own != "" {
		if u, ok := s.fig.UnitIn(own); ok {
			return u
		}
		if lexicon.Fold(own) == "c" {
			u, _ := s.fig.UnitIn("°C")
			return u
		}
		if strings.ContainsAny(own, "0123456789") {
			return lexicon.Unit{}
		}
		return lexicon.Unit{Name: own, Printed: own}
	}
	for _, b := range bracketed.FindAllString(name, -1) {
		inside := strings.Trim(b, " ()[]")
		if u, ok := s.fig.UnitIn(inside); ok && !temperature.MatchString(inside) && !strings.ContainsAny(strings.Replace(inside, u.Printed, "", 1), "0123456789") {
			return u
		}
	}
	if i := strings.LastIndex(name, ","); i > 0 {
		if u, ok := s.fig.UnitIn(name[i+1:]); ok && !strings.ContainsAny(strings.Replace(name[i+1:], u.Printed, "", 1), "0123456789") {
			return u
		}
	}
	return lexicon.Unit{}
}

// addBounds adds a row whose bounds stand in columns of their own.
func (s *reading) addBounds(row cells.Row, base Property, p propertyCells, unit lexicon.Unit) {
	var low, high figure.Figure
	ok := true
	at := p.low
	if p.low != nil {
		low, ok = s.cellFigure(*p.low, p.unitFor(p.low, unit))
	}
	if p.high != nil {
		var fine bool
		high, fine = s.cellFigure(*p.high, p.unitFor(p.high, unit))
		ok = ok && fine
		if at == nil {
			at = p.high
		}
	}
	if !ok {
		s.pass(row.Place, row.Text())
		return
	}
	f := figure.Figure{Printed: base.Spec, Status: figure.Range, Low: low.Low, High: high.High, LowIn: true, HighIn: true, Unit: low.Unit, Open: low.Open + high.Open}
	if f.Unit.Name == "" {
		f.Unit = high.Unit
	}
	if f.Low == "" && f.High == "" {
		return
	}
	if f.Low == "" {
		f.Status = figure.Below
		f.Low = "0"
	} else if f.High == "" {
		f.Status = figure.Above
	}
	s.put(base, f, "specification", s.place(row.Place, *at), row.Place)
}

// addProperty reads a cell of a row as the figure of the property.
func (s *reading) addProperty(t *cells.Table, row cells.Row, base Property, c *cells.Cell, kind string, unit lexicon.Unit) {
	f, ok := s.cellFigure(*c, unit)
	at := s.place(row.Place, *c)
	if !ok {
		f2, rest, partly := s.fig.ParseAt(strings.ReplaceAll(c.Text, "\n", " "), unit)
		if partly && f2.Open == "" && harmless(rest) {
			f, f.Note, f.Printed, ok = f2, rest, printed(c.Text), true
		}
	}
	if !ok {
		base.Printed, base.Kind, base.Op = printed(c.Text), "statement", "statement"
		base.Place = at
		s.file2(base)
		return
	}
	if kind == "specification" && f.Status == figure.Value && s.limitHead(t, c, row) {
		f.Status, f.Low, f.LowIn, f.HighIn = figure.Below, "0", true, true
	}
	s.put(base, f, kind, at, row.Place)
}

// harmless says whether what stands behind a figure of a property is a word about
// it and holds no other figure.
func harmless(rest string) bool {
	rest = strings.TrimSpace(rest)
	rest = conditions.ReplaceAllString(rest, "")
	return !strings.ContainsAny(rest, "0123456789") && len(strings.Fields(rest)) <= 5
}

// limitHead says whether the head of the column promises upper limits.
func (s *reading) limitHead(t *cells.Table, c *cells.Cell, row cells.Row) bool {
	for i := range row.Cells {
		if &row.Cells[i] == c {
			e := s.words.All("head", bracketed.ReplaceAllString(t.Columns[i].Head, " "))
			for _, x := range e {
				if x.Key == "limit" || x.Key == "high" {
					return true
				}
			}
		}
	}
	return false
}

// put files a figure under impurities or physical data.
func (s *reading) put(base Property, f figure.Figure, kind string, at Place, where cells.Place) {
	base.Place, base.Printed, base.Kind, base.Rules = at, f.Printed, kind, f.Rules
	base.Unit = f.Unit.Name
	if f.Unit.Name == "" && f.Unit.Printed != "" {
		base.Unit = f.Unit.Printed
	}
	if f.Open != "" {
		base.Ask = f.Open
		s.ask(f.Open, at, "name", base.Name, "text", f.Printed)
	}
	s.doubt(where, &base.How)
	if s.analysed(base, f, kind, at, where) {
		return
	}
	p, known := s.propertyOf(base.Name, false)
	impurity := known && p.impurity || !known && (s.topic == "impurities" || f.Unit.Divisor > 10 || strings.HasPrefix(f.Unit.Name, "cfu"))
	switch f.Status {
	case figure.NotDetected:
		base.Op = "n.d."
	case figure.Trace:
		base.Op, base.Status = "trace", "trace"
	case figure.Absent:
		base.Op = "absent"
	case figure.NotApplicable, figure.Ask:
		base.Kind, base.Unit = "not applicable", ""
	case figure.NoData, figure.NotStated:
		return // nothing is stated
	case figure.Complies:
		base.Op, base.Kind = "statement", "statement"
	case figure.Rest, figure.ToPH, figure.NotPermitted, figure.NoRestriction:
		base.Op, base.Kind = "statement", "statement"
	default:
		bounds(&base, f, impurity)
	}
	if base.Ask != "" {
		base.Status = "ask"
	}
	base.Property, base.Substance = "", ""
	if impurity {
		base.Substance = base.Name
		if known {
			base.Substance = p.key
		}
		s.out.Impurities = append(s.out.Impurities, base)
		return
	}
	base.Property = base.Name
	if known {
		base.Property = fullName(p, base.Name)
	}
	s.out.Physical = append(s.out.Physical, base)
}

// analysed files the content of a declarable allergen that a certificate of
// analysis gives as a result.
func (s *reading) analysed(base Property, f figure.Figure, kind string, at Place, where cells.Place) bool {
	if !s.is("certificate-of-analysis") || kind != "result" || f.Unit.Divisor == 0 || base.Lot != "" {
		return false
	}
	name := plainName(base.Name)
	var cas []string
	if base.CAS != "" {
		cas = []string{base.CAS}
	}
	if _, known, _ := s.declared.find(name, cas); !known {
		return false
	}
	s.declare(s.allergen(name, cas, f, at), where)
	return true
}

// bounds writes a figure as an impurity has it (one value with a sign) or as a
// property (two bounds).
func bounds(p *Property, f figure.Figure, impurity bool) {
	switch f.Status {
	case figure.Below:
		p.Op = "<"
		if f.HighIn {
			p.Op = "<="
		}
		if impurity {
			p.Value = f.High
		} else {
			p.High = f.High
		}
	case figure.Above:
		p.Op = ">"
		if f.LowIn {
			p.Op = ">="
		}
		if impurity {
			p.Value = f.Low
		} else {
			p.Low = f.Low
		}
	case figure.Range:
		p.Op, p.Low, p.High = "range", f.Low, f.High
	default:
		p.Op = "="
		if impurity {
			p.Value = f.High
		} else {
			p.Low, p.High = f.Low, f.High
		}
	}
}

// file2 files what a property says in words.
func (s *reading) file2(base Property) {
	p, known := s.propertyOf(base.Name, false)
	if known && p.impurity || !known && s.topic == "impurities" {
		base.Substance = base.Name
		if known {
			base.Substance = p.key
		}
		s.out.Impurities = append(s.out.Impurities, base)
		return
	}
	base.Property = base.Name
	if known {
		base.Property = fullName(p, base.Name)
	}
	s.out.Physical = append(s.out.Physical, base)
}
