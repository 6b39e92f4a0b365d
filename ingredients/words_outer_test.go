package ingredients_test

import (
	"gallipot/dossier/words"
	"gallipot/ingredients"
)

func init() {
	ingredients.Say = func(f ingredients.Finding) ingredients.SaidFinding {
		s := words.Say(&f, words.Terminal)
		return ingredients.SaidFinding{Message: s.Message, Fix: s.Fix}
	}
}
