package transcribe

import (
	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
)

// compositionTable reads a table of constituents.
func (s *composer) compositionTable(t *cells.Table) {
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
func (s *composer) constituentRow(t *cells.Table, row cells.Row, numbered map[int]bool) (Constituent, bool) {
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

// looseInTable reads a row of a table that has no figure under its columns: a
// subhead, or a sentence.
func (s *composer) looseInTable(row cells.Row) {
	s.pass(row.Place, row.Text())
}

// total checks the row of a total against the rows above it.
func (s *composer) total(t *cells.Table, row cells.Row) {
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
