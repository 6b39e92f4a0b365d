package profile_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/dossier/document"
	"gallipot/dossier/profile"
)

// A filed declaration of allergens answers what is expected of a fragrance compound; the
// count is that of the declaration, one name here, and its list and day stand beside it.
func TestDeclaredAllergens(t *testing.T) {
	cells := func(t *testing.T, declared string) (stated, open string) {
		t.Helper()
		v := view(t, "body-lotion", "-- ingredients/keeper.yaml",
			"-- ingredients/scent.yaml --\nid: scent\nname: Scent (invented)\nlabel_as: parfum\n"+
				declared+"-- ingredients/keeper.yaml", "- {ingredient: keeper, amount: 1}",
			"- {ingredient: keeper, amount: 1}\n        - {ingredient: scent, amount: 0.2}")
		for _, row := range profile.ExpectedTable(v).Rows {
			if row.Cells[0].Text == "Scent (invented)" {
				stated, open = row.Cells[1].Text, row.Cells[2].Text
			}
		}
		full := profile.ExpectedInFull(v).Blocks[0].(*document.Table)
		for _, row := range full.Rows {
			if row.Cells[0].Text == "Scent (invented)" && row.Cells[2].Text == "Declarable allergens" {
				assert.Equal(t, declared != "", row.Cells[4].Text != "not stated")
			}
		}
		return stated, open
	}
	const one = "declared: [{name: Linalool, cas: 78-70-6, pct: 1.5}]}\n"
	t.Run("on file", func(t *testing.T) {
		stated, open := cells(t, "allergens: {list: 2023-1545, dated: 2026-05-04, "+one)
		assert.Equal(t, "Declarable allergens (1 by list 2023-1545 of 2026-05-04)", stated)
		assert.NotContains(t, open, "Declarable allergens")
		assert.Contains(t, open, "CMR substances", "the declaration answers nothing else")
	})
	t.Run("of the shorter list, undated", func(t *testing.T) {
		stated, _ := cells(t, "allergens: {list: 2003-15, "+one)
		assert.Equal(t, "Declarable allergens (1 by list 2003-15, undated)", stated)
	})
	t.Run("none on file", func(t *testing.T) {
		stated, open := cells(t, "")
		assert.Equal(t, "–", stated)
		assert.Contains(t, open, "Declarable allergens")
	})
}
