package listing

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law/annex"
)

// AllergenMembers returns the substances of a composition that count for each
// label name of the market's list, by the key of the row: the parts of the totals
// that [Allergens] makes, for whoever wants to add them up again.
func AllergenMembers(in *formula.Input, c *formula.Composition) map[string][]*formula.Substance {
	index := allergenIndexOf(in)
	members := map[string][]*formula.Substance{}
	for _, s := range c.Substances {
		for _, row := range index.claimOf(s).rows {
			members[row.Key] = append(members[row.Key], s)
		}
	}
	return members
}

// SilentMaterials returns, by the key of each row of the market's list, the raw
// materialsNamed of a product from which an allergen declaration is expected and whose
// papers do not speak of the row, however little of them is used.
func SilentMaterials(in *formula.Input, comps []*formula.Composition) map[string][]string {
	index := allergenIndexOf(in)
	rows := index.rows
	silent := map[string][]string{}
	for _, u := range comps[0].Uses() {
		m := in.Materials[u.Ingredient]
		if m == nil || !mayHold(in, m, index) {
			continue
		}
		list := ""
		if d := m.Sheet.Allergens; d != nil {
			list = d.List
		}
		for _, row := range rows {
			if !formula.Covers(row, list) {
				silent[row.Key] = append(silent[row.Key], u.Ingredient)
			}
		}
	}
	return silent
}

// CountsIn returns a function that says whether the substance at a place of a composition
// counts for an allergen of the market on the day.
func CountsIn(in *formula.Input, c *formula.Composition) func(i int, row *annex.Allergen) bool {
	claims := allergenIndexOf(in).claimsIn(c)
	return func(i int, row *annex.Allergen) bool {
		return slices.ContainsFunc(claims[i].rows, func(r *annex.Allergen) bool { return r.Key == row.Key })
	}
}
