package transcribe

import (
	"regexp"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
)

func filledCells(row *cells.Row) []cells.Cell {
	var out []cells.Cell
	for _, c := range row.Cells {
		if strings.Trim(c.Text, " :") != "" {
			out = append(out, c)
		}
	}
	return out
}

func joinCells(row *cells.Row) string {
	var parts []string
	for _, c := range row.Cells {
		parts = append(parts, oneLine(c.Text))
	}
	return strings.Join(parts, "   ")
}

var leadingNumber = regexp.MustCompile(`^(\d{1,3})[.)]?\s+(.*)$`)

// rowNumbers says whether the names of a table begin with running numbers.
func rowNumbers(t *cells.Table, col int) bool {
	last, run := 0, 0
	for _, r := range t.Rows {
		m := leadingNumber.FindStringSubmatch(r.Cells[col].Text)
		if m == nil {
			continue
		}
		if n := whole(m[1]); n == last+1 {
			run++
			last = n
		} else if last == 0 {
			last = n
			run++
		}
	}
	return run >= 3 && run*10 >= len(t.Rows)*8
}

// isTotal says whether the name of a row is that of a sum.
func (s *desk) isTotal(name string) bool {
	f := lexicon.Fold(name)
	if f == "" {
		return false
	}
	if _, ok := s.words.Exact("total", f); ok {
		return true
	}
	e, ok := s.words.Prefix("total", f)
	return ok && len(f) < len(e.Word)+14 && strings.ContainsAny(name, ":%") || ok && len(strings.Fields(f)) == len(strings.Fields(e.Word))
}

// nameAndNumbers takes the printed name and the CAS numbers of a row.
func (s *desk) nameAndNumbers(t *cells.Table, row cells.Row) (string, []string) {
	name := ""
	for _, role := range []string{"inci", "name", "property"} {
		if i := t.Index(role); i >= 0 && name == "" {
			name = oneLine(row.Cells[i].Text)
		}
	}
	var cas []string
	for i, c := range t.Columns {
		if c.Role == "cas" || c.Role == "casec" || c.Role == "name" || c.Role == "inci" {
			found, _, _, rest := numbers(row.Cells[i].Text)
			cas = append(cas, found...)
			if len(found) > 0 && (c.Role == "name" || c.Role == "inci") && oneLine(row.Cells[i].Text) == name {
				name = cleanName(rest)
			}
		}
	}
	return name, cas
}
