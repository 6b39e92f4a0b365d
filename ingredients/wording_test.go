package ingredients_test

import (
	"gallipot/dossier/words"
	. "gallipot/ingredients"
	"gallipot/ingredients/finding"
)

func init() {
	Say = func(f finding.Finding) SaidFinding {
		s := words.Say(&f, words.Terminal)
		return SaidFinding{Message: s.Message, Fix: s.Fix}
	}
}
