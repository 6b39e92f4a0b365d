package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// joinBroken joins a row that only carries the one above it on: it has no name and no
// number, and its words finish what no figure is there: "not" over "detected".
func (s *walk) joinBroken(t *cells.Table) {
	kept := t.Rows[:0:0]
	for _, row := range t.Rows {
		if n := len(kept); n > 0 && !row.Hidden && s.carriesOn(t, kept[n-1], row) {
			above := &kept[n-1]
			above.Cells = append([]cells.Cell(nil), above.Cells...)
			for i, c := range row.Cells {
				if strings.TrimSpace(c.Text) != "" {
					above.Cells[i].Text = strings.TrimSpace(above.Cells[i].Text + "\n" + c.Text)
				}
			}
			continue
		}
		kept = append(kept, row)
	}
	t.Rows = kept
}

// carriesOn says whether each cell of a row finishes the one above it.
func (s *walk) carriesOn(t *cells.Table, above, row cells.Row) bool {
	filled := 0
	for i, c := range row.Cells {
		if strings.TrimSpace(c.Text) == "" {
			continue
		}
		filled++
		switch t.Columns[i].Role {
		case "content", "result", "spec", "typical", "low", "high", "limit", "lot", "test":
			if !s.finishes(above.Cells[i], c) {
				return false
			}
		default: // a name, a number, a remark
			return false
		}
	}
	return filled > 0
}

// finishes says whether two cells are one figure or word that neither is alone.
func (s *walk) finishes(above, below cells.Cell) bool {
	if strings.TrimSpace(above.Text) == "" {
		return false
	}
	if f, ok := s.CellFigure(above, lexicon.Unit{}); ok && f.Status != figure.NotStated {
		return false
	}
	joined := above
	joined.Text += "\n" + strings.TrimSpace(below.Text)
	_, ok := s.CellFigure(joined, lexicon.Unit{})
	return ok
}
