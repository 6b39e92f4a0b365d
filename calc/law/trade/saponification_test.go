package trade_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/trade"
)

func TestFats(t *testing.T) {
	row := rowstest.Cells{"key": "a", "oil_name": "An Oil", "inci": "Exemplum Oil / Exemplum Butter", "kind": "glyceride",
		"cas": "8001-25-0", "sv_min_mg_koh_g": "184", "sv_max_mg_koh_g": "184", "seen": "seen", "source": "book",
		"soap_inci_sodium": "Sodium Exemplate", "soap_inci_potassium": "Potassium A;Potassium B", "soap_shares_pct": "60-70;30-40"}
	fats, err := trade.ReadFats("t.csv", rowstest.Table(trade.FatColumns, row,
		rowstest.Cells{"key": "b", "oil_name": "Wax", "inci": "Cera", "kind": "wax", "seen": "seen", "source": "book"},
		row.With("sv_max_mg_koh_g", "").With("soap_inci_sodium", ""), row.With("sv_min_mg_koh_g", "")))
	require.NoError(t, err)
	require.Len(t, fats, 4)
	assert.Empty(t, fats[2].Soaps(false), "shares of the other soap's names")
	assert.Equal(t, []string{"Exemplum Oil", "Exemplum Butter"}, fats[0].Names())
	assert.Equal(t, []string{"Cera"}, fats[1].Names())
	one, two := fats[0].Soaps(false), fats[0].Soaps(true)
	require.Len(t, one, 1)
	assert.Equal(t, []string{"Sodium Exemplate", "100", "100"},
		[]string{one[0].INCI, one[0].Pct.Min.Exact(), one[0].Pct.Max.Exact()}, "the only soap is all of it")
	require.Len(t, two, 2)
	assert.Equal(t, []string{"Potassium A", "60", "70", "Potassium B", "30", "40"}, []string{two[0].INCI,
		two[0].Pct.Min.Exact(), two[0].Pct.Max.Exact(), two[1].INCI, two[1].Pct.Min.Exact(), two[1].Pct.Max.Exact()})
	assert.Empty(t, fats[1].Soaps(false), "no name is confirmed")
	assert.Nil(t, fats[1].SVMin)
	rowstest.Refuses(t, trade.ReadFats, trade.FatColumns, row, [][3]string{
		{"oil_name", "", "oil_name is empty"},
		{"inci", "", "inci is empty"},
		{"kind", "oil", `kind: "oil" is none of glyceride, acid, wax`},
		{"cas", "8001-25-1", "cas: CAS number 8001-25-1 has check digit 1, the rest of the number asks for 0"},
		{"sv_max_mg_koh_g", "183.9", "sv_min_mg_koh_g is above sv_max_mg_koh_g"},
		{"soap_shares_pct", "60", `"Potassium A;Potassium B" names 2 soaps, soap_shares_pct has 1 contents`},
		{"soap_inci_sodium", "A;B;C", `"A;B;C" names 3 soaps, soap_shares_pct has 2 contents`},
		{"soap_shares_pct", "60;x", `soap_shares_pct: "x" is not a number`},
	})
}
