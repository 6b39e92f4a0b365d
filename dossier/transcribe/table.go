package transcribe

import (
	"slices"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
)

// table reads a table by what its columns promise and by the heading above it.
func (s *walk) table(t *cells.Table) {
	if t.Hidden {
		s.hiddenTable(t)
		return
	}
	if t.Quote > 0 {
		s.quotedTable(t)
		return
	}
	s.hiddenColumns(t)
	if severalArticles(t) {
		s.Ask("list-of-articles", s.Place(t.Place, cells.Cell{}), "text", t.Columns[t.Index("trade")].Head)
		for _, row := range t.Rows {
			s.Pass(row.Place, row.Text())
		}
		return
	}
	s.joinBroken(t)
	named := t.Has("name") || t.Has("inci") || t.Has("cas") || t.Has("casec")
	values := t.Has("content") || t.Has("low") || t.Has("high") || t.Has("typical") || t.Has("finished") ||
		t.Has("spec") || t.Has("result")
	if s.Is("certificate-of-analysis") && !named && !t.Has("property") && !t.Has("test") && !t.Has("category") &&
		s.properties.GuessRoles(t) {
		s.properties.PropertyTable(t)
		return
	}
	switch {
	case t.Has("test"):
		s.properties.AcrossTable(t)
	case t.Has("category") && (t.Has("limit") || t.Has("content") || t.Has("high") || t.Has("spec")):
		s.certificate.CertificateTable(t)
	case t.Has("category") && !named:
		s.certificate.CertificateTable(t)
	case !named && (t.Has("property") || t.Has("method") || t.Has("spec") || t.Has("result") || t.Has("lot")):
		s.properties.PropertyTable(t)
	case named && values:
		switch s.subject(t) {
		case "allergens":
			s.declaration.AllergenTable(t)
		case "impurities", "physical":
			s.properties.PropertyTable(t)
		default:
			s.measures(t)
			s.composition.CompositionTable(t)
		}
	case named && (s.Topic == "composition" || s.Is("composition")):
		for _, row := range t.Rows {
			s.looseRow(s.withoutUnknown(t, row))
		}
	default:
		if s.Topic == "other" || s.Topic == "use" {
			return
		}
		for i := range t.Rows {
			row := &t.Rows[i]
			s.statements(row, pieces.Printed(row.Text()))
			if s.answered(row) {
				continue
			}
			if s.Is("certificate-of-analysis") && s.properties.LooseProperty(row) {
				continue
			}
			s.Pass(row.Place, row.Text())
		}
	}
}

// severalArticles says whether the rows of a table belong to more than one article of a
// list: a column of the trade, such as its number, changes from row to row.
func severalArticles(t *cells.Table) bool {
	for i, col := range t.Columns {
		if col.Role != "trade" {
			continue
		}
		first := ""
		for _, row := range t.Rows {
			v := lexicon.Fold(row.Cells[i].Text)
			if first == "" {
				first = v
			}
			if v != "" && v != first {
				return true
			}
		}
	}
	return false
}

// measures reads the rows of a table of constituents that name a measure, such as a pH, and
// takes them out.
func (s *walk) measures(t *cells.Table) {
	kept := t.Rows[:0:0]
	for _, row := range t.Rows {
		if name, cas := s.NameAndNumbers(t, row); len(cas) == 0 && name != "" && s.properties.IsMeasure(name) {
			s.properties.MeasureRow(t, row, name)
			continue
		}
		kept = append(kept, row)
	}
	t.Rows = kept
}

// subject tells what a table of substances is about: by the heading above it, by
// what the paper is, by the names in it.
func (s *walk) subject(t *cells.Table) string {
	if h := cells.Heading(s.Words, t.Sheet); h == "allergens" || h == "composition" || h == "impurities" ||
		h == "physical" {
		s.Topic = h
	}
	allergens, rows := 0, 0
	for _, row := range t.Rows {
		name, cas := s.NameAndNumbers(t, row)
		if name == "" && len(cas) == 0 {
			continue
		}
		rows++
		if _, ok, _ := s.declaration.Known.Find(name, cas); ok {
			allergens++
		}
	}
	mostly := rows >= 5 && allergens*10 >= rows*7
	declares := mostly && s.hasAbsent(t)
	switch {
	case s.Topic == "impurities" && !mostly:
		return "impurities"
	case s.Topic == "allergens", s.Is("ifra-certificate") && allergens*2 >= rows && rows > 2:
		return "allergens"
	case s.Topic == "composition" || s.Is("sds") && s.Topic != "":
		return "composition"
	case (t.Has("spec") || t.Has("result")) && !t.Has("content") && !mostly:
		return "physical"
	case s.Is("allergen-declaration") || s.HasKind("allergen-declaration") && mostly:
		return "allergens"
	case s.Is("composition"):
		return "composition"
	case s.Is("mail") && rows >= 3 && allergens*10 >= rows*7 && s.speaksOf("allergens"):
		return "allergens"
	case mostly && (t.Has("annex") || rows >= 15 || declares):
		return "allergens"
	case (t.Has("spec") || t.Has("result")) && s.Is("certificate-of-analysis"):
		return "physical"
	}
	return "composition"
}

// speaksOf says whether a text of the paper names a subject as headings do.
func (s *walk) speaksOf(subject string) bool {
	return slices.ContainsFunc(s.Texts, func(t string) bool {
		e, _, ok := s.Words.Find("section", lexicon.Fold(t))
		return ok && e.Key == subject
	})
}

// hasAbsent says whether rows of a table say "not detected", as those of a
// declaration do and those of a composition do not.
func (s *walk) hasAbsent(t *cells.Table) bool {
	i := s.declaration.ContentColumn(t)
	if i < 0 {
		return false
	}
	for _, row := range t.Rows {
		if f, ok := s.Figures.Parse(row.Cells[i].Text, lexicon.Unit{}); ok && f.Status == figure.NotDetected {
			return true
		}
	}
	return false
}

// withoutUnknown blanks the figures of a row that stand under a head nobody knows, and
// asks about each: they are neither a content nor part of a name.
func (s *walk) withoutUnknown(t *cells.Table, row cells.Row) cells.Row {
	name, _ := s.NameAndNumbers(t, row)
	row.Cells = append([]cells.Cell(nil), row.Cells...)
	for i := range row.Cells {
		c := &row.Cells[i]
		if t.Columns[i].Role != "" || strings.TrimSpace(t.Columns[i].Head) == "" {
			continue
		}
		if f, ok := s.CellFigure(*c, lexicon.Unit{}); ok && f.High+f.Low != "" && f.Unit.Name == "" {
			s.Ask("not-read", s.Place(row.Place, *c), "name", name, "text",
				pieces.Printed(t.Columns[i].Head+": "+c.Text))
			c.Text = ""
		}
	}
	return row
}

// looseRow reads a row of a table whose columns do not part names from numbers.
func (s *walk) looseRow(row cells.Row) {
	loose := row
	loose.Cells = nil
	for _, c := range row.Cells {
		if strings.TrimSpace(c.Text) != "" {
			loose.Cells = append(loose.Cells, c)
		}
	}
	if len(loose.Cells) == 0 || !s.composition.LooseConstituent(&loose) {
		s.Pass(row.Place, row.Text())
	}
}

// hiddenTable asks about what a hidden sheet holds.
func (s *walk) hiddenTable(t *cells.Table) {
	var names []string
	for _, row := range t.Rows {
		if name, _ := s.NameAndNumbers(t, row); name != "" {
			names = append(names, name+" "+lastCell(row))
		}
	}
	s.Ask("hidden-sheet", s.Place(t.Place, cells.Cell{}), "sheet", t.Sheet, "text", strings.Join(names, "; "))
}

func lastCell(r cells.Row) string {
	for i := len(r.Cells) - 1; i > 0; i-- {
		if t := pieces.Printed(r.Cells[i].Text); t != "" {
			return t
		}
	}
	return ""
}

// hiddenColumns blanks the cells of hidden columns and rows and asks about them.
func (s *walk) hiddenColumns(t *cells.Table) {
	told := map[int]bool{}
	kept := t.Rows[:0:0]
	for _, row := range t.Rows {
		if row.Hidden {
			s.Ask("hidden-value", s.Place(row.Place, row.Cells[0]), "text", row.Text())
			continue
		}
		row.Cells = append([]cells.Cell(nil), row.Cells...)
		for i := range row.Cells {
			c := &row.Cells[i]
			if c.Struck != "" {
				s.Warn("struck", s.Place(row.Place, *c), "text", c.Struck)
			}
			if c.Note != "" {
				s.Warn("note", s.Place(row.Place, *c), "text", c.Note)
			}
			if !c.Hidden {
				continue
			}
			if !told[i] && strings.TrimSpace(c.Text) != "" {
				told[i] = true
				s.Ask("hidden-column", s.Place(row.Place, *c), "head", t.Columns[i].Head)
			}
			c.Text = ""
		}
		kept = append(kept, row)
	}
	t.Rows = kept
	for i, c := range t.Columns {
		if told[i] && c.Role != "" {
			t.Columns[i].Role = ""
		}
	}
}
