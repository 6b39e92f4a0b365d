package law

import (
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
)

// ToxUses returns how the row of a substance may be used under a label name: the
// readings of the whole row, then those of the name. The substance is that of
// [Tox.Substance], or an INCI name.
func ToxUses(t *table.Tables, substance, inci string) []*safety.ToxUse {
	var whole, named []*safety.ToxUse
	look := t.Lookups()
	for _, u := range look.ToxUse[ingredients.NameKey(substance)] {
		switch {
		case u.INCI == "":
			whole = append(whole, u)
		case t.Names().Same(inci)[look.ToxUseName[u]]:
			named = append(named, u)
		}
	}
	return append(whole, named...)
}
