package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
)

// allergenTable reads an allergen declaration.
func (s *declarer) allergenTable(t *cells.Table) {
	if s.out.Allergens == nil {
		s.out.Allergens = &Allergens{Rows: []Allergen{}}
	}
	numbered := map[int]bool{}
	for i, c := range t.Columns {
		if (c.Role == "name" || c.Role == "inci") && !t.Has("number") && rowNumbers(t, i) {
			numbered[i] = true
		}
	}
	value := s.contentColumn(t)
	for _, row := range t.Rows {
		var c Constituent
		c.Place = s.place(row.Place, row.Cells[0])
		s.rows.identity(t, row, &c, numbered)
		if s.isTotal(c.Name) {
			continue
		}
		if c.Name == "" && len(c.CAS) == 0 || value < 0 {
			s.pass(row.Place, row.Text())
			continue
		}
		cell := row.Cells[value]
		raw := strings.TrimSpace(cell.Text)
		if raw == "" && len(c.CAS) == 0 {
			if _, ok, _ := s.declared.find(c.Name, nil); !ok {
				s.pass(row.Place, row.Text())
				continue
			}
		}
		unit, rule := s.columnUnit(t.Columns[value])
		f, ok := s.cellFigure(cell, unit)
		at := s.place(row.Place, cell)
		if !ok {
			s.ask("not-read", at, "name", c.Name, "text", printed(raw))
			f = figure.Figure{Printed: printed(raw), Status: figure.Ask}
		}
		if rule != "" && f.Low != "" && f.Unit.Name == unit.Name {
			f.Rules = append(f.Rules, rule)
		}
		row2 := s.allergen(c.Name, c.CAS, f, at)
		if t.Columns[value].Role == "finished" {
			row2.Ask, row2.Status, row2.Low, row2.High = "no-unit", "ask", nil, nil
		}
		s.doubt(row.Place, &row2.How)
		s.out.Allergens.Rows = append(s.out.Allergens.Rows, row2)
	}
}

// contentColumn finds the column that holds the content in the material.
func (s *declarer) contentColumn(t *cells.Table) int {
	best := -1
	for i, c := range t.Columns {
		switch c.Role {
		case "content", "result", "typical", "limit", "spec":
			if u, ok := s.fig.UnitIn(c.Head); best < 0 || ok && u.Divisor == 1 && t.Columns[best].Role != "content" {
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
