package formula

import (
	"slices"

	"gallipot/calc/law/rows"
	"gallipot/ingredients"
)

// Scents says whether a sheet names a function of scenting.
func (s *Session) Scents(sheet *ingredients.Sheet) bool {
	return slices.ContainsFunc(sheet.Functions, s.Law.Words(rows.WordsScenting).In)
}

// SharesOf returns the lines of a mixture that bring a material.
func SharesOf(mix Mixture, id string) []Share {
	return slices.DeleteFunc(slices.Clone(mix.Shares), func(s Share) bool { return s.Ingredient != id })
}
