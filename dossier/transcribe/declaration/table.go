package declaration

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/composition"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// AllergenTable reads an allergen declaration.
func (s *Reader) AllergenTable(t *cells.Table) {
	if s.Out.Allergens == nil {
		s.Out.Allergens = &reading.Allergens{Rows: []reading.Allergen{}}
	}
	numbered := map[int]bool{}
	for i, c := range t.Columns {
		if (c.Role == "name" || c.Role == "inci") && !t.Has("number") && desk.RowNumbers(t, i) {
			numbered[i] = true
		}
	}
	value := s.ContentColumn(t)
	for _, row := range t.Rows {
		var c reading.Constituent
		c.Place = s.Place(row.Place, row.Cells[0])
		s.Rows.Identity(t, row, &c, numbered)
		if s.IsTotal(c.Name) {
			continue
		}
		if c.Name == "" && len(c.CAS) == 0 || value < 0 {
			s.Pass(row.Place, row.Text())
			continue
		}
		cell := row.Cells[value]
		raw := strings.TrimSpace(cell.Text)
		if raw == "" && len(c.CAS) == 0 {
			if _, ok, _ := s.Known.Find(c.Name, nil); !ok {
				s.Pass(row.Place, row.Text())
				continue
			}
		}
		unit, rule := s.UnitAt(t, row, value)
		f, ok := s.CellFigure(cell, unit)
		at := s.Place(row.Place, cell)
		if !ok {
			s.Ask("not-read", at, "name", c.Name, "text", pieces.Printed(raw))
			f = figure.Figure{Printed: pieces.Printed(raw), Status: figure.Ask}
		}
		if rule != "" && f.Low != "" && f.Unit.Name == unit.Name {
			f.Rules = append(f.Rules, rule)
		}
		f = s.fromLow(t, row, value, f)
		s.detected(t, row, &f)
		row2 := s.Allergen(c.Name, c.CAS, f, at)
		if other := s.contradicts(t, row, value, f); other != "" {
			s.Ask("two-figures", at, "name", c.Name, "text", f.Printed+"; "+other)
			row2.Ask, row2.Status, row2.Low, row2.High = "two-figures", "ask", nil, nil
		}
		if t.Columns[value].Role == "finished" {
			row2.Ask, row2.Status, row2.Low, row2.High = "no-unit", "ask", nil, nil
		}
		s.Doubt(row.Place, &row2.How)
		s.Out.Allergens.Rows = append(s.Out.Allergens.Rows, row2)
	}
}

// fromLow joins the figure of a column of upper bounds with that of the lower beside it.
func (s *Reader) fromLow(t *cells.Table, row cells.Row, value int, high figure.Figure) figure.Figure {
	i := t.Index("low")
	if t.Columns[value].Role != "high" || i < 0 || high.High == "" {
		return high
	}
	unit, _ := s.UnitAt(t, row, i)
	low, ok := s.CellFigure(row.Cells[i], unit)
	if !ok || low.Low == "" || low.Status == high.Status && low.Low == high.High && low.Unit.Name == high.Unit.Name {
		return high
	}
	return *composition.Between(&low, &high)
}

// detected gives a figure that was not detected the limit that stands in its own row.
func (s *Reader) detected(t *cells.Table, row cells.Row, f *figure.Figure) {
	i := t.Index("detection")
	if i < 0 || f.Status != figure.NotDetected || f.High != "" {
		return
	}
	unit, _ := s.UnitAt(t, row, i)
	g, ok := s.CellFigure(row.Cells[i], unit)
	if !ok || g.High == "" || g.Open != "" || g.Unit.Divisor == 0 {
		return
	}
	f.Low, f.High, f.LowIn, f.HighIn, f.Unit = "0", g.High, true, g.Status != figure.Below, g.Unit
}

// contradicts gives the figure of another column for the content, in its own unit, that
// says something else than the one read; "" where none does. Rounding may part them by a
// tenth.
func (s *Reader) contradicts(t *cells.Table, row cells.Row, read int, f figure.Figure) string {
	mine, ok := figure.Percent(f.High, f.Unit)
	if !ok || f.High == "" || f.Open != "" {
		return ""
	}
	for i, c := range t.Columns {
		u, named := s.Figures.UnitIn(c.Head)
		if i == read || !named || u.Divisor == 0 || c.Role != "content" && c.Role != "result" {
			continue
		}
		g, ok := s.CellFigure(row.Cells[i], u)
		if !ok || g.High == "" || g.Open != "" {
			continue
		}
		theirs, ok := figure.Percent(g.High, g.Unit)
		if !ok {
			continue
		}
		a, b := figure.Sum(mine), figure.Sum(theirs)
		if tenth := figure.Sum("1.1"); a.Mul(tenth).Less(b) || b.Mul(tenth).Less(a) {
			return g.Printed + " " + c.Head
		}
	}
	return ""
}

// ContentColumn finds the column that holds the content in the material.
func (s *Reader) ContentColumn(t *cells.Table) int {
	best := -1
	for i, c := range t.Columns {
		switch c.Role {
		case "content", "result", "typical", "limit", "spec":
			if u, ok := s.Figures.UnitIn(c.Head); best < 0 || ok && u.Divisor == 1 &&
				t.Columns[best].Role != "content" {
				best = i
			}
		}
	}
	for _, role := range []string{"high", "low", "finished"} {
		if best < 0 {
			best = t.Index(role)
		}
	}
	return best
}
