package trade_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/trade"
)

func TestFacts(t *testing.T) {
	row := rowstest.Cells{"key": "a", "value": "0.5", "unit": "g", "seen": "seen", "source": "book"}
	facts, err := trade.ReadFacts("t.csv", rowstest.Table(trade.FactColumns, row, row.With("value", "1/8"),
		rowstest.Cells{"key": "b", "value": "2027-05-01", "unit": "date", "seen": "seen", "source": "book"}))
	require.NoError(t, err)
	assert.Equal(t, "0.5", facts[0].Number.Exact())
	assert.InDelta(t, 0.5, facts[0].Float(), 0)
	assert.Equal(t, "0.125", facts[1].Number.Exact())
	assert.Equal(t, "2027-05-01", facts[2].Date.String())
	assert.True(t, facts[2].Number.IsZero())
	rowstest.Refuses(t, trade.ReadFacts, trade.FactColumns, row, [][3]string{
		{"key", "", "the row has no key"},
		{"unit", "", "unit is empty"},
		{"value", "1/0", `value: "1/0" is no quotient`},
		{"value", "1/x", `value: "1/x" is no quotient`},
		{"value", "x/2", `value: "x" is not a number: write a plain decimal`},
		{"unit", "date", `value: "0.5" is not a date`},
	})
}
