package table_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
)

// TestShelfLifeFigureIsTheRules keeps the words of the durability rules and the
// figure that decides between them together.
func TestShelfLifeFigureIsTheRules(t *testing.T) {
	months := law.Fact(table.Builtin(), "shelf-life-pao-over").Number.Exact()
	require.Contains(t, table.Builtin().LabelRule("L30").Rule, "up to "+months+" months")
	require.Contains(t, table.Builtin().LabelRule("L32").Rule, "more than "+months+" months")
}

// TestUnitTypesExist follows the product types that the unit rules name.
func TestUnitTypesExist(t *testing.T) {
	seen := map[string]string{}
	for _, row := range table.Builtin().LabelRules(table.LabelUnit) {
		for _, key := range row.Wording {
			_, ok := law.ProductType(table.Builtin(), key)
			require.True(t, ok, "%s names %q", row.Key, key)
			require.Empty(t, seen[key], "%s stands in %s and %s", key, row.Key, seen[key])
			seen[key] = row.Key
		}
	}
}
