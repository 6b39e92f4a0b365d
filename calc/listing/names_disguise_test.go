package listing

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients"
	"gallipot/ingredients/names"
)

// The botanical rule, on every CAS number that the inventory gives to more than one
// part or preparation of a plant: the number renames nothing, and counts nothing
// as an allergen of another part.
func TestPlantNumbersOfTheInventory(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	inv := dict.Names().Inventory()
	index := indexAllergens(formulatest.Session(tables), law.Allergens(tables, rows.EU, 20280101))
	numbers, checked := map[string][]string{}, 0
	for _, n := range inv.Names() {
		if dict.Names().Plant(n) == nil {
			continue
		}
		e, _ := inv.Entry(n)
		for _, cas := range e.CAS {
			numbers[cas] = append(numbers[cas], n)
		}
	}
	for cas, list := range numbers {
		if len(list) < 2 || len(inv.ByCAS(cas)) == 0 {
			continue
		}
		for _, n := range list {
			checked++
			plain, numbered := dict.Resolve(n, "", "").First(), dict.Resolve(n, cas, "").First()
			assert.Equal(t, plain.Name, numbered.Name, "%s with %s", n, cas)
			s := &formula.Substance{INCI: numbered.Name, CAS: cas, OtherNames: formula.OtherNames{Also: numbered.Also}}
			for _, row := range index.rowsOf(s) {
				assert.NotEqual(t, names.Unfits, bestFit(index, s, row), "%s is counted as %s by its number %s", n,
					row.LabelName, cas)
			}
		}
	}
	require.Greater(t, checked, 2000)
}

// bestFit is how well the names of a substance fit any member of a row, by plain
// comparison of part and preparation.
func bestFit(ix *allergenIndex, s *formula.Substance, row *annex.Allergen) names.Fit {
	best := names.Unfits
	for _, n := range s.AllNames() {
		for _, member := range append([]string{row.LabelName}, memberNames(row)...) {
			if ingredients.NameKey(n) == ingredients.NameKey(member) || ingredients.NameKey(ix.Dict.Canonical(member)) == ingredients.NameKey(n) {
				return names.Fits
			}
			best = min(best, names.FitsEntry(ix.Dict.Names().Plant(n), ix.Dict.Names().Plant(member)))
		}
	}
	return best
}
