package workshop_test

import (
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// said puts a finding into the words of the table, for tests of what is said.
func said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}
