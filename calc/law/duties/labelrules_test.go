package duties

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows"
	"gallipot/calc/law/rows/rowstest"
	"gallipot/ingredients/exact"
)

func TestFaultyLabelRules(t *testing.T) {
	head := "id,part,market,rule,test,wording,above,up_to,value,unit,source,seen,note" + "\n"
	for _, c := range []struct{ row, want string }{
		{"X1,item,GB+US,a rule,,,,,,,src,seen,\n", `market: "US" is no market`},
		{"X1,item,GB+GB,a rule,,,,,,,src,seen,\n", `market: "GB" is no market, or stands twice`},
		{"X1,thing,GB,a rule,,,,,,,src,seen,\n", `part: "thing" is none of`},
		{"X1,item,GB,,,,,,,,src,seen,\n", "rule is empty"},
		{"X1,item,GB,a rule,,,50,50,2,mm,src,seen,\n", "above 50 is not below up_to 50"},
		{"X1,item,GB,a rule,,,,,2,,src,seen,\n", "value 2 has no unit"},
		{"X1,item,GB,a rule,,,,,2027-13-01,date,src,seen,\n", "2027-13-01"},
		{"X1,item,GB,a rule,,,,,,,,seen,\n", "source is empty"},
	} {
		_, err := ReadLabelRules("t.csv", head+c.row)
		require.ErrorContains(t, err, c.want, c.row)
	}
}

// Where a rule holds, above one figure and up to another, and until which day.
func TestLabelRules(t *testing.T) {
	row := rowstest.Cells{"id": "L1", "part": "figure-height", "market": "GB+NI", "rule": "height", "above": "50", "up_to": "200",
		"value": "3", "unit": "mm", "source": "act", "seen": "seen"}
	rules, err := ReadLabelRules("t.csv", rowstest.Table(LabelColumns, row,
		row.With("unit", "date").With("value", "2027-01-31").With("above", "").With("up_to", "")))
	require.NoError(t, err)
	require.Equal(t, "3", rules[0].Value.Exact())
	require.Nil(t, rules[0].Until)
	require.Equal(t, "2027-01-31", rules[1].Until.String())
	require.Nil(t, rules[1].Value)
	require.Equal(t, []bool{true, true, false}, []bool{rules[0].In(rows.GB), rules[0].In(rows.NI), rules[0].In(rows.EU)})
	for figure, holds := range map[int64]bool{0: false, 50: false, 51: true, 200: true, 201: false} {
		require.Equal(t, holds, rules[0].Holds(exact.Int(figure)), "%d", figure)
		require.True(t, rules[1].Holds(exact.Int(figure)))
	}
	rowstest.Refuses(t, ReadLabelRules, LabelColumns, row, [][3]string{
		{"market", "", "market is empty\nmarket: \"\" is no market, or stands twice"},
		{"market", "GB+US+GB", "market: \"US\" is no market, or stands twice\nmarket: \"GB\" is no market, or stands twice"},
		{"above", "200", "above 200 is not below up_to 200"},
	})
	rowstest.Refuses(t, ReadDossier, DossierColumns, rowstest.Cells{"id": "P1", "title": "t", "what_it_needs": "n",
		"who_provides": "maker", "when_required": "always", "source": "act", "seen": "seen"}, [][3]string{
		{"title", "", "title is empty"}, {"what_it_needs", "", "what_it_needs is empty"},
		{"when_required", "", "when_required is empty"}, {"who_provides", "", `who_provides: "" is none of maker`}})
}
