package composition

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// rowFigures reads bounds and typical content of a row; read is false where there
// is no figure.
func (s *Reader) rowFigures(t *cells.Table, row cells.Row, c *reading.Constituent) (read bool) {
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
		unit, rule := s.UnitAt(t, row, i)
		f, ok := s.CellFigure(cell, unit)
		if !ok {
			s.Ask("not-read", s.Place(row.Place, cell), "name", c.Name, "text", pieces.Printed(raw))
			c.Ask = "not-read"
			c.Printed = pieces.Printed(raw)
			continue
		}
		if rule != "" && f.Unit.Name == unit.Name && f.Low != "" {
			f.Rules = append(f.Rules, rule)
		}
		parts = append(parts, pieces.Printed(raw))
		if len(parts) == 1 {
			c.Place = s.Place(row.Place, cell)
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
				s.secondContent(c, content, f, s.Place(row.Place, cell))
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
func (s *Reader) secondContent(c *reading.Constituent, first *figure.Figure, f figure.Figure,
	at reading.Place) {
	a, ok1 := figure.Percent(first.High, first.Unit)
	b, ok2 := figure.Percent(f.High, f.Unit)
	if ok1 && ok2 && a == b || f.Status == figure.NotStated {
		return
	}
	c.Ask = "two-figures"
	s.Ask("two-figures", at, "name", c.Name, "text", first.Printed+", "+f.Printed)
}

// settle joins the figures of a row into its bounds.
func (s *Reader) settle(c *reading.Constituent, low, high, typical, content *figure.Figure) bool {
	if typical != nil {
		if sh := s.Share(*typical, c.Name, c.Place); sh.High != nil && sh.Low != nil && *sh.Low == *sh.High {
			c.Typical = *sh.High
		} else if content == nil && low == nil && high == nil {
			content = typical
		}
	}
	main := content
	if content != nil && content.Status == figure.Value && (outside(low, content) || outside(high, content)) {
		c.Ask = "two-figures"
		s.Ask("two-figures", c.Place, "name", c.Name, "text", c.Printed)
	}
	switch {
	case low != nil && high != nil && low.Low != "" && high.High != "" && content == nil:
		main = Between(low, high)
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

// outside says whether a bound in a column of its own is another figure than the
// content beside it.
func outside(bound, content *figure.Figure) bool {
	return bound != nil && bound.Low+bound.High != "" && bound.Status == figure.Value &&
		bound.High != content.High
}

// Between joins the figures of a column "from" and a column "to".
func Between(low, high *figure.Figure) *figure.Figure {
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
	switch { // a unit over one of two bounds holds for both
	case low.Unit.Name == high.Unit.Name || high.Unit.Name == "":
	case low.Unit.Name == "":
		f.Unit = high.Unit
	default:
		f.Open = "two-units"
	}
	return &f
}

// setContent puts a figure into a constituent.
func (s *Reader) setContent(c *reading.Constituent, f figure.Figure) {
	sh := s.Share(f, c.Name, c.Place)
	c.Rules = append(c.Rules, sh.How.Rules...)
	if c.Ask == "" {
		c.Ask = sh.How.Ask
	}
	switch f.Status {
	case figure.Rest:
		c.Status = "qs"
		if sh.Middle != "" {
			c.Typical = sh.Middle
		}
		s.Ask("no-figure", c.Place, "name", c.Name, "text", f.Printed)
	case figure.ToPH, figure.Complies, figure.NotApplicable, figure.NoData, figure.Ask, figure.NotPermitted,
		figure.NoRestriction:
		c.Status = string(f.Status)
		s.Ask("no-figure", c.Place, "name", c.Name, "text", f.Printed)
	case figure.NotStated:
		c.Status = "not-stated"
	case figure.Trace:
		c.Status, c.Low, c.High, c.LowIn, c.HighIn = "trace", sh.Low, sh.High, true, false
		if sh.High == nil {
			s.Ask("trace", c.Place, "name", c.Name)
		}
	case figure.NotDetected, figure.Absent:
		c.Status, c.Low, c.High, c.LowIn, c.HighIn = "not-detected", sh.Low, sh.High, true, sh.HighIn
		if sh.High == nil {
			s.Ask("not-detected", c.Place, "name", c.Name)
		}
	case figure.Value:
		if f.About {
			c.Typical = reading.ValueOf(sh.High)
			c.Status = "about"
			s.Ask("no-figure", c.Place, "name", c.Name, "text", f.Printed)
			return
		}
		fallthrough
	default:
		c.Low, c.High, c.LowIn, c.HighIn = sh.Low, sh.High, sh.LowIn, sh.HighIn
		if c.High == nil {
			c.HighIn = true
		}
	}
}
