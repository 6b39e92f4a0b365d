package formula

import (
	"gallipot/calc/law/annex"
	"gallipot/ingredients"
)

// Covers says whether a declaration against a list answers for an entry.
func Covers(row *annex.Allergen, list string) bool {
	switch list {
	case ingredients.List2023:
		return true
	case ingredients.List2003:
		return row.Regime == "2003-list"
	}
	return false
}
