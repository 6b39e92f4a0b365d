package finding

import "gallipot/ingredients/exact"

// Settled is what a person answerable has decided in writing about an ask. The
// finding is of kind Decided then, and stays on every list.
type Settled struct {
	Text  string     // what was decided, in that person's words
	By    string     // who decided
	Date  exact.Date // when
	Until exact.Date // the day it opens again; zero: none is named
	Pos   exact.Pos
}
