package calc

import (
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// said puts a finding into the words of the table, for tests of what is said.
func said(f ingredients.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}

// termText puts a summand into words.
func termText(t ingredients.Term) string { return words.Term(t.Key, t.Values, words.Terminal) }

// rowText puts what a finding rests on into words.
func rowText(source ingredients.Values) string {
	return words.Term(source[0].Text, source[0].List, words.Terminal)
}
