package frame

import (
	_ "embed"
	"encoding/csv"
	"strings"
)

// allergenLists names the lists that a supplier declares allergens against.
//
//go:embed allergenlists.csv
var allergenLists string

// AllergenLists are the lists of allergens to choose from, the one with more names first.
func AllergenLists(here string) (list []Choice) {
	rows, err := csv.NewReader(strings.NewReader(allergenLists)).ReadAll()
	if err != nil {
		return nil // a test reads it
	}
	for _, r := range rows[1:] {
		list = append(list, Choice{Value: r[0], Text: r[1], Here: r[0] == here})
	}
	return list
}

// AllergenList is what a page calls a list of allergens.
func AllergenList(key string) string {
	for _, c := range AllergenLists(key) {
		if c.Here {
			return c.Text
		}
	}
	return key
}
