package properties

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// PropertyTable reads a table of properties, impurities or tests.
func (s *Reader) PropertyTable(t *cells.Table) {
	for _, row := range t.Rows {
		s.propertyRow(t, row)
	}
}

// propertyCells are the figures of a row by what they are.
type propertyCells struct {
	name, method, unit, verdict  string
	noUnit                       bool // a figure stands where the unit should: the row fits its head in nothing
	cas                          []string
	result, spec, typical, value *cells.Cell
	low, high                    *cells.Cell
	lots                         []*cells.Cell
	lotNames                     []string
	headUnit                     map[*cells.Cell]lexicon.Unit
}

// propertyCells sorts the cells of a row by the heads over them.
func (s *Reader) propertyCells(t *cells.Table, row cells.Row) propertyCells {
	p := propertyCells{headUnit: map[*cells.Cell]lexicon.Unit{}}
	p.name, p.cas = s.NameAndNumbers(t, row)
	for i, col := range t.Columns {
		c := &row.Cells[i]
		if strings.TrimSpace(c.Text) == "" {
			continue
		}
		if u, ok := s.Figures.UnitIn(col.Head); ok {
			p.headUnit[c] = u
		}
		switch col.Role {
		case "method":
			p.method = pieces.Printed(c.Text)
		case "unit":
			p.unit = pieces.Printed(c.Text)
			if f, ok := s.CellFigure(*c, lexicon.Unit{}); ok && f.Low+f.High != "" {
				p.noUnit = true
			}
		case "result":
			if p.result == nil || s.isVerdict(*p.result) { // "complies" beside the figure
				p.result = c
			}
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
		case "", "remark":
			if p.name == "" && i == 0 {
				p.name = pieces.OneLine(c.Text)
			}
			if _, failed := s.Words.Prefix("verdict", lexicon.Fold(c.Text)); failed {
				p.verdict = "fails"
			}
		}
	}
	return p
}

// isVerdict says whether a cell says that a result complies, and gives none.
func (s *Reader) isVerdict(c cells.Cell) bool {
	f, ok := s.CellFigure(c, lexicon.Unit{})
	return !ok || f.Low+f.High == "" && f.Status != figure.NotDetected
}

// lotName is the lot that the head of a column names.
func (s *Reader) lotName(head string) string {
	for _, l := range s.LabelsIn(head) {
		if l.Key == "batch" && l.Value != "" {
			return l.Value
		}
	}
	return head
}

// propertyRow reads one row of a table of properties.
func (s *Reader) propertyRow(t *cells.Table, row cells.Row) {
	p := s.propertyCells(t, row)
	if p.name == "" {
		s.Pass(row.Place, row.Text())
		return
	}
	if p.noUnit {
		s.Ask("two-figures", s.RowPlace(&row), "name", p.name, "text", pieces.Printed(row.Text()))
		return
	}
	base := reading.Property{Name: p.name, Method: p.method, Status: p.verdict}
	if len(p.cas) > 0 {
		base.CAS = p.cas[0]
	}
	unit := s.UnitOf(p.name, p.unit)
	if p.spec != nil {
		base.Spec = s.wantedAt(t, row, p.spec)
	} else {
		base.Spec = boundsText(cellText(p.low), cellText(p.high))
	}
	if p.typical != nil {
		base.Typical = pieces.Printed(p.typical.Text)
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
	case p.value != nil && p.typical != nil && p.spec == nil && !s.Is("certificate-of-analysis"):
		s.addProperty(t, row, base, p.value, "specification", p.unitFor(p.value, unit))
	case p.value != nil && (p.spec != nil || s.Is("certificate-of-analysis") && (p.low != nil || p.high != nil)):
		s.addProperty(t, row, base, p.value, "result", p.unitFor(p.value, unit))
	case p.spec != nil:
		s.addProperty(t, row, base, p.spec, "specification", p.unitFor(p.spec, unit))
	case p.low != nil || p.high != nil:
		s.addBounds(row, base, p, unit)
	case p.value != nil:
		s.addProperty(t, row, base, p.value, s.ValueKind(), p.unitFor(p.value, unit))
	case p.typical != nil:
		base.Typical = ""
		s.addProperty(t, row, base, p.typical, "typical", p.unitFor(p.typical, unit))
	default:
		s.Pass(row.Place, row.Text())
	}
}

func (p propertyCells) unitFor(c *cells.Cell, unit lexicon.Unit) lexicon.Unit {
	if unit.Name != "" {
		return unit
	}
	return p.headUnit[c]
}

// wantedAt is what is wanted of a result: under a head that promises upper limits a bare
// figure is one.
func (s *Reader) wantedAt(t *cells.Table, row cells.Row, c *cells.Cell) string {
	text := pieces.Printed(c.Text)
	if f, ok := s.CellFigure(*c, lexicon.Unit{}); ok && f.Status == figure.Value && s.limitHead(t, c, row) {
		return "≤ " + text
	}
	return text
}

// signed puts the sign of a bound before a figure that has none of its own.
func signed(sign, own, text string) string {
	if strings.ContainsAny(text, own) {
		return text
	}
	return sign + text
}

// boundsText joins what stands under a lowest and a highest.
func boundsText(low, high string) string {
	low, high = strings.Trim(low, "- "), strings.Trim(high, "- ")
	switch {
	case low == "" && high == "":
		return ""
	case high == "":
		return signed("≥ ", ">≥", low)
	case low == "":
		return signed("≤ ", "<≤", high)
	}
	return low + " - " + high
}

func cellText(c *cells.Cell) string {
	if c == nil {
		return ""
	}
	return pieces.Printed(c.Text)
}

// addBounds adds a row whose bounds stand in columns of their own.
func (s *Reader) addBounds(row cells.Row, base reading.Property, p propertyCells, unit lexicon.Unit) {
	var low, high figure.Figure
	ok := true
	at := p.low
	if p.low != nil {
		low, ok = s.CellFigure(*p.low, p.unitFor(p.low, unit))
	}
	if p.high != nil {
		var fine bool
		high, fine = s.CellFigure(*p.high, p.unitFor(p.high, unit))
		ok = ok && fine
		if at == nil {
			at = p.high
		}
	}
	if !ok {
		s.Pass(row.Place, row.Text())
		return
	}
	f := figure.Figure{Printed: base.Spec, Status: figure.Range, Low: low.Low, High: high.High, LowIn: true,
		HighIn: true, Unit: low.Unit, Open: low.Open + high.Open}
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
	s.Put(base, f, "specification", s.Place(row.Place, *at), row.Place)
}

// addProperty reads a cell of a row as the figure of the property.
func (s *Reader) addProperty(t *cells.Table, row cells.Row, base reading.Property, c *cells.Cell, kind string,
	unit lexicon.Unit) {
	f, ok := s.CellFigure(*c, unit)
	at := s.Place(row.Place, *c)
	if !ok {
		f2, rest, partly := s.Figures.ParseAt(strings.ReplaceAll(c.Text, "\n", " "), unit)
		if partly && f2.Open == "" && harmless(rest) {
			f, f.Note, f.Printed, ok = f2, rest, pieces.Printed(c.Text), true
		}
	}
	if !ok {
		base.Printed, base.Kind, base.Op = pieces.Printed(c.Text), "statement", "statement"
		base.Place = at
		s.PutWords(base)
		return
	}
	s.detected(t, row, &f, unit)
	if kind == "specification" && f.Status == figure.Value && s.limitHead(t, c, row) {
		f.Status, f.Low, f.LowIn, f.HighIn = figure.Below, "0", true, true
	}
	s.Put(base, f, kind, at, row.Place)
}

// detected gives a result that was not detected the limit that stands in its own row.
func (s *Reader) detected(t *cells.Table, row cells.Row, f *figure.Figure, unit lexicon.Unit) {
	i := t.Index("detection")
	if i < 0 || f.Status != figure.NotDetected || f.High != "" {
		return
	}
	if u, ok := s.Figures.UnitIn(t.Columns[i].Head); ok {
		unit = u
	}
	g, ok := s.CellFigure(row.Cells[i], unit)
	if !ok || g.High == "" || g.Open != "" {
		return
	}
	f.Status, f.Low, f.High, f.LowIn, f.HighIn, f.Unit = figure.Below, "0", g.High, true, false, g.Unit
	f.Rules = append(f.Rules, "detection-of-the-row")
}

// limitHead says whether the head of the column promises upper limits.
func (s *Reader) limitHead(t *cells.Table, c *cells.Cell, row cells.Row) bool {
	for i := range row.Cells {
		if &row.Cells[i] == c {
			e := s.Words.All("head", pieces.PlainName(t.Columns[i].Head))
			for _, x := range e {
				if x.Key == "limit" || x.Key == "high" {
					return true
				}
			}
		}
	}
	return false
}
