package formula

import (
	"slices"

	"gallipot/ingredients/exact"
)

// Use is how much of one material a mixture holds, over all its lines.
type Use struct {
	Ingredient string
	Pct        exact.Num
}

// Uses is UseOf of the mixture, added up once; the caller leaves it as it is.
func (c *Composition) Uses() []Use {
	if c.uses == nil {
		return UseOf(c.Mixture)
	}
	return c.uses
}

// UseOf adds up lines of the same material: its composition is the same in all
// of them, so they vary together.
func UseOf(mix Mixture) []Use {
	uses := make([]Use, 0, len(mix.Shares))
	for _, s := range mix.Shares {
		i := slices.IndexFunc(uses, func(u Use) bool { return u.Ingredient == s.Ingredient })
		if i < 0 {
			uses = append(uses, Use{Ingredient: s.Ingredient})
			i = len(uses) - 1
		}
		uses[i].Pct = uses[i].Pct.Add(s.Pct)
	}
	return uses
}
