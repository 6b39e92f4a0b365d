package listing

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
)

// Every member of every entry is found by its own name and by its CAS number.
func TestMembersOfEntriesAreFound(t *testing.T) {
	tables := table.Builtin()
	for _, market := range []rows.Market{rows.EU, rows.GB} {
		rows := law.Allergens(tables, market, 20261125)
		index := IndexAllergens(&formula.Session{Law: table.Builtin(), Dict: tables.Dictionary()}, rows)
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
			seen := map[*table.Allergen]bool{}
			for _, row := range found {
				assert.False(t, seen[row], key)
				seen[row] = true
			}
		}
		assert.Empty(t, index.byCAS[""])
	}
}

func TestContentsInWords(t *testing.T) {
	given := func(text, inMaterial string) string {
		return formula.GivenText(formula.Contribution{Given: text, InMaterial: rangeOf(t, inMaterial)})
	}
	assert.Equal(t, "q.s. (61 to 68 %)", given(" q.s.", "61-68"))
	assert.Equal(t, "Q.S. (50 %)", given("Q.S.", "50"))
	assert.Equal(t, "4-7 %", given("4-7", "4-7"))
	assert.Equal(t, "5-10 %", given("5-10", "5-10"))
	assert.Equal(t, "5-9 %", given("5-9", "5-9"))
	assert.Equal(t, "300 ppm", given("300 ppm", "0.03"))
	assert.Equal(t, "5.5 %", given("5.5 %", "5.5"))
	assert.Equal(t, "", given("", "5.5"))
	// four digits that count, halves upward
	assert.Equal(t, "12.35", formula.RangeText(rangeOf(t, "12.345")))
	assert.Equal(t, "1.234 to 56.79", formula.RangeText(rangeOf(t, "1.2344-56.785")))
	assert.Equal(t, "the product", formula.PlaceName(""))
	assert.Equal(t, "portion moss", formula.PlaceName("moss"))
	c := formula.Contribution{UsePct: num(t, "1.23456"), Ingredient: "fo", Given: "2", Pct: rangeOf(t, "0.0246912")}
	assert.Equal(t, "1.235 % of fo × 2 % in it = 0.02469 %", termText((&formula.Input{}).TermsOf([]formula.Contribution{c})[0]))
}
