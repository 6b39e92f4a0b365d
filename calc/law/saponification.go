package law

import (
	"slices"

	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/ingredients"
)

// FatsOf returns the fats of a name, found by INCI name; several rows may have
// the same, such as olive oil and olive pomace oil.
func FatsOf(t *table.Tables, inci string) []*trade.Fat {
	keys := t.Names().Same(inci)
	var out []*trade.Fat
	for _, f := range t.Fats {
		if slices.ContainsFunc(f.Names(), func(n string) bool { return keys[ingredients.NameKey(n)] }) {
			out = append(out, f)
		}
	}
	return out
}
