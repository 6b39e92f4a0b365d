package table_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
)

// TestMaterialsDoNotContradict: no constituent of the common materials may be
// taken for a wrong name or number.
func TestMaterialsDoNotContradict(t *testing.T) {
	tables := table.Builtin()
	checked := 0
	for _, m := range law.Materials(tables) {
		for _, c := range m.Constituents {
			if c.CAS == "" {
				continue
			}
			checked++
			ok, others := tables.CASFits(c.INCI, c.CAS)
			require.True(t, ok, "%s: %s %s stands for %v", m.Key, c.INCI, c.CAS, others)
			require.NotEmpty(t, others)
		}
	}
	require.Greater(t, checked, 400)
}
