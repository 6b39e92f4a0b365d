package desk

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/ingredients/pattern"
)

// FilledCells gives the cells of a row that hold text.
func FilledCells(row *cells.Row) []cells.Cell {
	var out []cells.Cell
	for _, c := range row.Cells {
		if strings.Trim(c.Text, " :") != "" {
			out = append(out, c)
		}
	}
	return out
}

// JoinCells gives the text of a row, its cells wide apart.
func JoinCells(row *cells.Row) string {
	var parts []string
	for _, c := range row.Cells {
		parts = append(parts, pieces.OneLine(c.Text))
	}
	return strings.Join(parts, "   ")
}

// LeadingNumber is a running number before a name: its figures, and the name.
var LeadingNumber = pattern.New(`^(\d{1,3})[.)]?\s+(.*)$`)

// RowNumbers says whether the names of a table begin with running numbers.
func RowNumbers(t *cells.Table, col int) bool {
	last, run := 0, 0
	for _, r := range t.Rows {
		m := LeadingNumber.FindStringSubmatch(r.Cells[col].Text)
		if m == nil {
			continue
		}
		if n := pieces.Whole(m[1]); n == last+1 {
			run++
			last = n
		} else if last == 0 {
			last = n
			run++
		}
	}
	return run >= 3 && run*10 >= len(t.Rows)*8
}

// IsTotal says whether the name of a row is that of a sum.
func (s *Desk) IsTotal(name string) bool {
	f := lexicon.Fold(name)
	if f == "" {
		return false
	}
	if _, ok := s.Words.Exact("total", f); ok {
		return true
	}
	e, ok := s.Words.Prefix("total", f)
	return ok && len(f) < len(e.Word)+14 && strings.ContainsAny(name, ":%") || ok &&
		len(strings.Fields(f)) == len(strings.Fields(e.Word))
}

// Unmarked gives a name without the mark of a footnote.
func (s *Desk) Unmarked(name string) string {
	name, marked := pieces.WithoutMark(name)
	s.Footnotes = s.Footnotes || marked
	return name
}

// NameAndNumbers takes the printed name and the CAS numbers of a row.
func (s *Desk) NameAndNumbers(t *cells.Table, row cells.Row) (string, []string) {
	name := ""
	for _, role := range []string{"inci", "name", "property"} {
		if i := t.Index(role); i >= 0 && name == "" {
			name = s.Unmarked(pieces.OneLine(row.Cells[i].Text))
		}
	}
	var cas []string
	for i, c := range t.Columns {
		if c.Role == "cas" || c.Role == "casec" || c.Role == "name" || c.Role == "inci" {
			found, _, _, rest := pieces.Numbers(row.Cells[i].Text)
			cas = append(cas, found...)
			if len(found) > 0 && (c.Role == "name" || c.Role == "inci") &&
				pieces.OneLine(row.Cells[i].Text) == name {
				name = pieces.CleanName(rest)
			}
		}
	}
	return name, cas
}
