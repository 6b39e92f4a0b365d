package listing

import (
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The index finds a member by the name of the table and by the dictionary's.
func TestAllergenIndexOfMembers(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	rows := law.Allergens(tables, rows.EU, 20261125)
	ix := indexAllergens(&formula.Session{Law: table.Builtin(), Dict: dict}, rows)
	for _, row := range rows {
		for _, m := range row.Members {
			assert.Contains(t, ix.ByName[ingredients.NameKey(m.Name)], row, m.Name)
			assert.Contains(t, ix.ByName[ingredients.NameKey(dict.Canonical(m.Name))], row, m.Name)
		}
	}
	_, _, cas := totalOf([]member{{s: &formula.Substance{CAS: "5392-40-5"}}, {s: &formula.Substance{}},
		{s: &formula.Substance{CAS: "5392-40-5"}}, {s: &formula.Substance{CAS: "106-26-3"}}})
	assert.Equal(t, "5392-40-5, 106-26-3", cas)

	// 0.0004 known and at most 0.0006 of a silent scent: at the threshold of 0.001, not above
	gap := func(most string) (bool, *AllergenTotal) {
		total := &AllergenTotal{Worst: formulatest.Range(t, "0.0004")}
		return declGaps{{Ingredient: "a", Most: formulatest.Num(t, most)}}.Unknown(rows[0],
			formulatest.Num(t, "0.001"), total, nil), total
	}
	open, total := gap("0.0006")
	assert.False(t, open)
	assert.Empty(t, total.Uncovered)
	open, total = gap("0.0007")
	assert.True(t, open)
	assert.Equal(t, []string{"a"}, total.Uncovered)
}
