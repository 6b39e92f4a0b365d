package limits

import (
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
)

// rowText puts what a finding rests on into words.
func rowText(source finding.Values) string {
	return words.Term(source[0].Text, source[0].List, words.Terminal)
}
