package declaration

import (
	"strings"

	"gallipot/dossier/transcribe/cells"
	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
)

// Names says whether the first cell of a row is the name of a listed allergen and nothing
// else.
func (s *Reader) Names(row *cells.Row) bool {
	texts := desk.FilledCells(row)
	if len(texts) < 2 {
		return false
	}
	_, ok := s.Known.ByName(pieces.OneLine(texts[0].Text))
	return ok
}

// LooseAllergen reads a row of a declaration without heads of columns.
func (s *Reader) LooseAllergen(row *cells.Row) bool {
	texts := desk.FilledCells(row)
	if len(texts) < 2 {
		return false
	}
	if s.pairs(row, texts) {
		return true
	}
	cas, _, _, rest := pieces.Numbers(desk.JoinCells(row))
	var hit *figure.Figure
	var at cells.Cell
	for _, c := range texts[1:] {
		if found, _, _, _ := pieces.Numbers(c.Text); len(found) > 0 {
			continue
		}
		f, ok := s.Figures.Parse(strings.ReplaceAll(c.Text, "\n", " "), lexicon.Unit{})
		if !ok {
			continue
		}
		if f.Unit.Divisor == 0 && f.Low != "" && s.Unit.Divisor != 0 {
			f.Unit, f.Rules = s.Unit, append(f.Rules, "unit-of-the-paper")
		}
		if hit != nil {
			return false
		}
		hit, at = &f, c
	}
	_ = rest
	name := pieces.CleanName(pieces.WithoutNumberWords(texts[0].Text))
	if found, _, _, left := pieces.Numbers(texts[0].Text); len(found) > 0 {
		name = pieces.CleanName(pieces.WithoutNumberWords(left))
	}
	if _, known, _ := s.Known.Find(name, cas); hit == nil || !known && len(cas) == 0 {
		return false
	}
	s.Declare(s.Allergen(name, cas, *hit, s.Place(row.Place, at)), row.Place)
	return true
}

// pairs reads a row of several allergens side by side, each with its figure in the next
// cell.
func (s *Reader) pairs(row *cells.Row, texts []cells.Cell) bool {
	if len(texts) < 4 || len(texts)%2 != 0 {
		return false
	}
	for i := 0; i < len(texts); i += 2 {
		cas, _, _, left := pieces.Numbers(texts[i].Text)
		_, known, _ := s.Known.Find(pieces.CleanName(pieces.WithoutNumberWords(left)), cas)
		if _, ok := s.Figures.Parse(pieces.OneLine(texts[i+1].Text), lexicon.Unit{}); !ok || !known {
			return false
		}
	}
	for i := 0; i < len(texts); i += 2 {
		one := *row
		one.Cells = texts[i : i+2]
		s.LooseAllergen(&one)
	}
	return true
}
