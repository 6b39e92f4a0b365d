package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
)

// looseAllergen reads a row of a declaration without heads of columns.
func (s *declarer) looseAllergen(row *cells.Row) bool {
	texts := filledCells(row)
	if len(texts) < 2 {
		return false
	}
	cas, _, _, rest := numbers(joinCells(row))
	var hit *figure.Figure
	var at cells.Cell
	for _, c := range texts[1:] {
		if found, _, _, _ := numbers(c.Text); len(found) > 0 {
			continue
		}
		f, ok := s.fig.Parse(strings.ReplaceAll(c.Text, "\n", " "), lexicon.Unit{})
		if !ok {
			continue
		}
		if f.Unit.Divisor == 0 && f.Low != "" && s.unit.Divisor != 0 {
			f.Unit, f.Rules = s.unit, append(f.Rules, "unit-of-the-paper")
		}
		if hit != nil {
			return false
		}
		hit, at = &f, c
	}
	_ = rest
	name := cleanName(withoutNumberWords(texts[0].Text))
	if found, _, _, left := numbers(texts[0].Text); len(found) > 0 {
		name = cleanName(withoutNumberWords(left))
	}
	if _, known, _ := s.declared.find(name, cas); hit == nil || !known && len(cas) == 0 {
		return false
	}
	s.declare(s.allergen(name, cas, *hit, s.place(row.Place, at)), row.Place)
	return true
}
