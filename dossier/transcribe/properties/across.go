package properties

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// AcrossTable reads a table of results whose rows are lots and whose columns are tests.
// Rows that give units, methods or what is wanted hold for all lots.
func (s *Reader) AcrossTable(t *cells.Table) {
	at := t.Index("batch")
	units, wanted, methods := map[int]lexicon.Unit{}, map[int]string{}, map[int]string{}
	for _, row := range t.Rows {
		key := pieces.Printed(row.Cells[at].Text)
		switch kind := s.rowKind(t, row, key); {
		case row.Filled() == 0:
		case kind == "unit":
			s.eachTest(t, row, func(i int, text string) { units[i] = s.UnitOf("", text) })
		case kind == "method":
			s.eachTest(t, row, func(i int, text string) { methods[i] = text })
		case kind != "":
			s.eachTest(t, row, func(i int, text string) { wanted[i] = joinWanted(wanted[i], kind, text) })
		case !strings.ContainsAny(key, "0123456789"): // a mean, or what nobody knows
			s.Pass(row.Place, row.Text())
		default:
			s.otherColumns(t, row, key)
			s.eachTest(t, row, func(i int, _ string) {
				name := pieces.OneLine(t.Columns[i].Head)
				unit := units[i]
				if unit.Name == "" {
					unit = s.UnitOf(name, "")
				}
				base := reading.Property{Name: name, Lot: key, Spec: wanted[i], Method: methods[i]}
				s.addProperty(t, row, base, &row.Cells[i], "result", unit)
			})
		}
	}
}

// otherColumns asks about figures under heads that are no known test: they are not passed
// over in silence. Days and words are.
func (s *Reader) otherColumns(t *cells.Table, row cells.Row, lot string) {
	for i, c := range t.Columns {
		text := pieces.Printed(row.Cells[i].Text)
		if c.Role != "" || text == "" {
			continue
		}
		if f, ok := s.Figures.Parse(text, lexicon.Unit{}); ok && f.Low+f.High != "" {
			s.Ask("not-read", s.Place(row.Place, row.Cells[i]), "name", pieces.OneLine(c.Head)+", "+lot, "text", text)
		}
	}
}

// eachTest visits the filled cells under tests.
func (s *Reader) eachTest(t *cells.Table, row cells.Row, do func(i int, text string)) {
	for i, c := range t.Columns {
		if text := pieces.Printed(row.Cells[i].Text); c.Role == "test" && text != "" {
			do(i, text)
		}
	}
}

// rowKind is what a row gives that is no lot: the role of its first words as the head of a
// column, or units alone; "" for a lot.
func (s *Reader) rowKind(t *cells.Table, row cells.Row, key string) string {
	folded := lexicon.Fold(key)
	for _, e := range s.Words.All("head", folded) {
		switch e.Key {
		case "unit", "method", "spec", "low", "high", "limit":
			return e.Key
		}
	}
	if e, ok := s.Words.Prefix("head", folded); ok && e.Key == "spec" {
		return e.Key
	}
	units := key == ""
	s.eachTest(t, row, func(_ int, text string) {
		if _, ok := s.Figures.UnitIn(text); !ok || lexicon.Fold(text) == "" && text != "%" {
			units = false
		}
	})
	if units {
		return "unit"
	}
	return ""
}

// joinWanted is what is wanted of a test, from one row or from a lowest and a highest.
func joinWanted(before, kind, text string) string {
	switch {
	case before != "" && kind == "high":
		return before + " - " + text
	case kind == "low":
		return "≥ " + text
	case kind == "high", kind == "limit" && !strings.ContainsAny(text, "<>≤≥-–"):
		return "≤ " + text
	}
	return text
}
