package identity

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/reading"
)

// articleOfList takes name and code from the columns of a list of articles, where every row
// of the table is of the same one.
func (s *facts) articleOfList() {
	d := &s.Out.Document
	for _, it := range s.Items {
		if it.Table == nil || it.Table.Hidden {
			continue
		}
		for i, col := range it.Table.Columns {
			if col.Role != "trade" {
				continue
			}
			row, ok := onlyValue(it.Table, i)
			if !ok {
				continue
			}
			v := strings.TrimSpace(row.Cells[i].Text)
			fact := &reading.Fact{Printed: v, Value: v, Place: s.Place(row.Place, row.Cells[i]),
				How: reading.How{Rules: []string{"from-position"}}}
			for _, e := range s.Words.All("label", col.Head) {
				switch {
				case e.Key == "trade-name" && d.TradeName == nil && s.nameLike(v):
					d.TradeName = fact
				case e.Key == "code" && d.Code == nil && codeIn(v, true) == v:
					d.Code = fact
				}
			}
		}
	}
}

// onlyValue gives the first row with a value in a column whose rows all have the same.
func onlyValue(t *cells.Table, i int) (first cells.Row, ok bool) {
	for _, row := range t.Rows {
		switch v := lexicon.Fold(row.Cells[i].Text); {
		case v == "":
		case !ok:
			first, ok = row, true
		case v != lexicon.Fold(first.Cells[i].Text):
			return first, false
		}
	}
	return first, ok
}
