package law

import (
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

// said puts a finding into the words of the table, for tests of what is said.
func said(f ingredients.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}
