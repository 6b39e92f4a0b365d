package source_test

import (
	"gallipot/dossier/words"
	"gallipot/ingredients/finding"
	. "gallipot/ingredients/source"
)

func init() {
	Say = func(f finding.Finding) SaidFinding {
		s := words.Say(&f, words.Terminal)
		return SaidFinding{Message: s.Message, Fix: s.Fix}
	}
}
