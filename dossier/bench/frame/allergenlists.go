package frame

import (
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// AllergenLists are the lists of allergens to choose from, the one with more names first.
func AllergenLists(here string) []Choice {
	var list []Choice
	for _, key := range []string{ingredients.List2023, ingredients.List2003} {
		list = append(list, Choice{Value: key, Text: AllergenList(key), Here: key == here})
	}
	return list
}

// AllergenList is what a page calls a list of allergens; the key itself where it is none.
func AllergenList(key string) string {
	term := "allergens-" + key
	if !words.HasTerm(term) {
		return key
	}
	return words.Term(term, nil, words.Files)
}
