package identity

import (
	"strconv"
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/transcribe/pieces"
)

var footPage = lexicon.Pattern(`(?:^|[\s:-])(\d{1,3})\s*(?:/|\(|<<of pages>>)\s*(\d{1,3})\)?\s*$`)

// pageCount compares the count of pages in the foot with the file.
func (s *facts) pageCount() {
	if s.File.Form != paper.PDF {
		return
	}
	last := map[int]*cells.Row{}
	for _, it := range s.Items {
		if it.Row != nil {
			last[it.Row.Page] = it.Row
		}
	}
	count := len(s.File.Pages)
	for p := 1; p <= count; p++ {
		row := last[p]
		if row == nil {
			continue
		}
		t := row.Cells[len(row.Cells)-1].Text
		m := footPage().FindStringSubmatch(t)
		if m == nil || len(strings.Fields(t)) > 14 || len(m[2]) > 2 && m[2] > "400" {
			continue
		}
		if total := pieces.Whole(m[2]); total > count && pieces.Whole(m[1]) <= total {
			s.Ask("pages-missing", s.Place(row.Place, row.Cells[len(row.Cells)-1]), "page", m[1], "total",
				m[2], "count", strconv.Itoa(count))
			return
		}
	}
}
