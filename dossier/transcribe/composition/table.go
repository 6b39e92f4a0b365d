package composition

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// CompositionTable reads a table of constituents.
func (s *Reader) CompositionTable(t *cells.Table) {
	numbered := map[int]bool{}
	for i, c := range t.Columns {
		if (c.Role == "name" || c.Role == "inci") && !t.Has("number") && desk.RowNumbers(t, i) {
			numbered[i] = true
		}
	}
	for i, row := range t.Rows {
		if i > 0 && s.numbersOn(t, row) {
			continue
		}
		c, ok := s.constituentRow(t, row, numbered)
		if !ok {
			continue
		}
		s.Out.Composition = append(s.Out.Composition, c)
	}
}

// numbersOn gives the EC numbers of a row that holds nothing else to the constituent before
// it: a block of several lines for each.
func (s *Reader) numbersOn(t *cells.Table, row cells.Row) bool {
	n := len(s.Out.Composition)
	if n == 0 {
		return false
	}
	var ec []string
	for i, c := range row.Cells {
		if t.Columns[i].Role == "class" {
			continue
		}
		cas, found, bad, rest := pieces.Numbers(c.Text)
		if len(cas)+len(bad) > 0 || strings.Trim(pieces.WithoutNumberWords(rest+" "), " :.,;") != "" {
			return false
		}
		ec = append(ec, found...)
	}
	last := &s.Out.Composition[n-1]
	if len(ec) == 0 || len(last.EC) > 0 {
		return false
	}
	last.EC = append(last.EC, ec...)
	return true
}

// constituentRow reads one row; ok is false for totals, subheads and what is not
// understood.
func (s *Reader) constituentRow(t *cells.Table, row cells.Row, numbered map[int]bool) (reading.Constituent,
	bool) {
	c := reading.Constituent{CAS: []string{}, EC: []string{}, LowIn: true, HighIn: true,
		Place: s.Place(row.Place, row.Cells[0])}
	s.Identity(t, row, &c, numbered)
	if s.IsTotal(c.Name) {
		s.total(t, row)
		return c, false
	}
	read := s.rowFigures(t, row, &c)
	if c.Ask == "" && len(c.CAS) == 0 && c.High != nil && membersBelow().MatchString(c.Name) {
		c.Ask = "members-below"
		s.Ask("members-below", c.Place, "name", c.Name, "text", c.Printed)
	}
	if c.Name == "" && len(c.CAS) == 0 {
		if text := row.Text(); text != "" {
			s.Pass(row.Place, text)
		}
		return c, false
	}
	if !read && len(c.CAS) == 0 && c.Printed == "" {
		s.looseInTable(row)
		return c, false
	}
	s.Doubt(row.Place, &c.How)
	return c, true
}

// membersBelow is the end of the name of a row that the next rows part: "Preservatives, of which".
var membersBelow = lexicon.Pattern(`(?i)[\s,](?:<<members below>>)\s*:?$`)

// looseInTable reads a row of a table that has no figure under its columns: a
// subhead, or a sentence.
func (s *Reader) looseInTable(row cells.Row) {
	s.Pass(row.Place, row.Text())
}

// total checks the row of a total against the rows above it.
func (s *Reader) total(t *cells.Table, row cells.Row) {
	for i, col := range t.Columns {
		if col.Role != "content" && col.Role != "typical" && col.Role != "high" {
			continue
		}
		unit, _ := s.UnitAt(t, row, i)
		f, ok := s.CellFigure(row.Cells[i], unit)
		if !ok || f.Status != figure.Value {
			continue
		}
		var parts []string
		for _, c := range s.Out.Composition {
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
		if pct, ok := figure.Percent(f.High, f.Unit); ok && sum.Cmp(figure.Sum(pct)) != 0 &&
			col.Role != "high" {
			s.Ask("total-differs", s.Place(row.Place, row.Cells[i]), "total",
				pieces.Printed(row.Cells[i].Text), "sum", sum.Exact()+" %")
		}
		return
	}
}
