package law_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/law/table"
)

// Names and numbers of our own rows that the inventory corrected.
//
// Source: inventory of cosmetic ingredient names, editions 2006, 2020 and 2026.
func TestRowsCorrectedByTheInventory(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	assert.Contains(t, dict.Numbers("Hydrolyzed Oats"), "227025-08-3")
	assert.NotContains(t, dict.Numbers("Hydrolyzed Oats"), "151661-87-9", "the number of the protein")
	assert.Equal(t, []string{"223706-40-9"}, dict.Numbers("Sorbitan Olivate"))
	soaps := map[string][2]string{}
	for _, f := range tables.Fats {
		for _, s := range f.Soaps(false) {
			soaps[f.Key] = [2]string{s.INCI, ""}
		}
		for _, s := range f.Soaps(true) {
			soaps[f.Key] = [2]string{soaps[f.Key][0], s.INCI}
		}
	}
	assert.Equal(t, [2]string{"Sodium Rapeseedate", "Potassium Rapeseedate"}, soaps["rapeseed"])
	assert.Equal(t, [2]string{"Sodium Macadamiaseedate", "Potassium Macadamiate"}, soaps["macadamia"])
	for _, x := range tables.Tox {
		assert.False(t, x.CAS == "7429-90-5" && x.INCI[0] != "Aluminum Powder", "the number of the metal under %v", x.INCI)
	}
}
