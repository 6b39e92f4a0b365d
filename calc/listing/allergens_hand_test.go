package listing

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// Every member of every entry is found by its own name and by its CAS number.
func TestMembersOfEntriesAreFound(t *testing.T) {
	tables := table.Builtin()
	for _, market := range []rows.Market{rows.EU, rows.GB} {
		rows := law.Allergens(tables, market, 20261125)
		index := indexAllergens(&formula.Session{Law: table.Builtin(), Dict: tables.Dictionary()}, rows)
		for _, row := range rows {
			assert.Contains(t, index.rowsOf(&formula.Substance{INCI: row.LabelName}), row)
			for _, m := range row.Members {
				assert.Contains(t, index.rowsOf(&formula.Substance{INCI: m.Name}), row, m.Name)
				assert.Contains(t, index.rowsOf(&formula.Substance{INCI: tables.Dictionary().Canonical(m.Name)}), row, m.Name)
				if m.CAS != "" {
					assert.Contains(t, index.rowsOf(&formula.Substance{INCI: "a name of the maker's own", CAS: m.CAS}), row, m.CAS)
				}
			}
		}
		// an entry of two names is listed once under each
		for key, found := range index.ByName {
			seen := map[*annex.Allergen]bool{}
			for _, row := range found {
				assert.False(t, seen[row], key)
				seen[row] = true
			}
		}
		assert.Empty(t, index.byCAS[""])
	}
}
