// Package wordstest puts findings into words for the tests of other rooms.
package wordstest

import (
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// Said puts a finding into the words of the table, for tests of what is said.
func Said(f finding.Finding) *words.Said {
	s := words.Say(&f, words.Terminal)
	return &s
}

// Term puts a summand into words.
func Term(t finding.Term) string { return words.Term(t.Key, t.Values, words.Terminal) }
