package trade_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/trade"
)

func TestMaterials(t *testing.T) {
	row := rowstest.Cells{"key": "a", "generic_name": "An Oil", "form": "liquid", "phase": "oil", "seen": "memory",
		"source": "book", "constituents": "Exemplum Oil| - |98|95|100;Linalool|78-70-6|0|5"}
	materials, err := trade.ReadMaterials("t.csv", rowstest.Table(trade.MaterialColumns, row,
		row.With("constituents", "Exemplum|56-81-5|100|100|100").With("counts_asked", "yes")))
	require.NoError(t, err)
	require.Len(t, materials, 2)
	oil, linalool := materials[0].Constituents[0], materials[0].Constituents[1]
	assert.Equal(t, []string{"Exemplum Oil", "", "98", "95", "100"},
		[]string{oil.INCI, oil.CAS, oil.Typ.Exact(), oil.Min.Exact(), oil.Max.Exact()})
	assert.False(t, oil.Inside)
	assert.Equal(t, []string{"Linalool", "78-70-6", "0", "5"},
		[]string{linalool.INCI, linalool.CAS, linalool.Min.Exact(), linalool.Max.Exact()})
	assert.Nil(t, linalool.Typ)
	assert.True(t, linalool.Inside, "it counts for allergens and limits, and not for the list")
	assert.False(t, materials[0].CountsAsked)
	assert.True(t, materials[1].CountsAsked)
	rowstest.Refuses(t, trade.ReadMaterials, trade.MaterialColumns, row, [][3]string{
		{"generic_name", "", "generic_name is empty"},
		{"form", "", "form is empty"},
		{"phase", "", "phase is empty"},
		{"constituents", "A|-|1", `constituents: "A|-|1" is neither name|CAS|typical|min|max nor name|CAS|min|max`},
		{"constituents", "A|-|1|1|1|1",
			`constituents: "A|-|1|1|1|1" is neither name|CAS|typical|min|max nor name|CAS|min|max`},
		{"constituents", "A|78-70-7|1|2", "cas: CAS number 78-70-7 has check digit 7, the rest of the number asks for 6"},
		{"constituents", "A|-|2|1", `constituents: "A|-|2|1": the contents are not in order`},
		{"constituents", "A|-|99|100.1", `constituents: "A|-|99|100.1": the contents are not in order`},
		{"constituents", "A|-|1|2|3", `constituents: "A|-|1|2|3": the contents are not in order`},
		{"constituents", "A|-|4|2|3", `constituents: "A|-|4|2|3": the contents are not in order`},
		{"constituents", "A|-|x|3",
			`constituents: "A|-|x|3": "x" is not a number: write a plain decimal`},
	})
}
