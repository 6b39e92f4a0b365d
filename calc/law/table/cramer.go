package table

import (
	"gallipot/ingredients"
)

func (t *Tables) buildCramerPlaces() placesOf {
	p := newPlaces()
	for i, c := range t.Cramer {
		enter(p.byName, ingredients.NameKey(c.INCI), i)
		if c.CAS != "" {
			enter(p.byCAS, c.CAS, i)
		}
	}
	return p
}
