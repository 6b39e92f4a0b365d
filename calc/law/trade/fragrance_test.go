package trade_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/trade"
)

// The rows of one category are counted, since it may have several.
func TestFragranceCategories(t *testing.T) {
	row := rowstest.Cells{"category": "5A", "description": "lotions", "product_types": "body lotion;cream",
		"rinse_off": "no", "seen": "seen", "source": "book"}
	categories, err := trade.ReadFragranceCategories("t.csv", rowstest.Table(trade.CategoryColumns, row, row.With("category", "9"), row))
	require.NoError(t, err)
	var keys []string
	for _, c := range categories {
		keys = append(keys, c.Key)
	}
	assert.Equal(t, []string{"5A/1", "9/1", "5A/2"}, keys)
	assert.Equal(t, []string{"body lotion", "cream"}, categories[0].ProductTypes)
	rowstest.Refuses(t, trade.ReadFragranceCategories, trade.CategoryColumns, row, [][3]string{
		{"category", "", "category is empty"},
		{"description", "", "description is empty"},
		{"rinse_off", "", `rinse_off: "" is none of yes, no, mixed`},
	})
}

func TestFragranceStandards(t *testing.T) {
	row := rowstest.Cells{"substance": "Exemplum", "cas": "5392-40-5", "standard_type": "restriction",
		"category": "5A;5B", "max_pct_finished_product": "0.6", "entries": "III/70", "seen": "seen", "source": "book"}
	standards, err := trade.ReadFragranceStandards("t.csv", rowstest.Table(trade.StandardColumns, row,
		row.With("max_pct_finished_product", "No restriction"), row.With("max_pct_finished_product", ""),
		row.With("category", "all").With("phototoxic", "yes"), row.With("newer_unread", "yes")))
	require.NoError(t, err)
	require.Len(t, standards, 5)
	s := standards[0]
	assert.Equal(t, "Exemplum/5A;5B", s.Key)
	assert.Equal(t, "0.6", s.MaxPct.Exact())
	assert.Equal(t, []string{"III/70"}, s.Entries)
	assert.False(t, s.Unrestricted || s.Phototoxic || s.NewerUnread)
	assert.True(t, s.Covers("5B"))
	assert.False(t, s.Covers("5"))
	assert.True(t, standards[1].Unrestricted)
	assert.Nil(t, standards[1].MaxPct)
	assert.False(t, standards[2].Unrestricted, "nothing stated is no freedom")
	assert.Nil(t, standards[2].MaxPct)
	assert.True(t, standards[3].Phototoxic)
	assert.True(t, standards[3].Covers("12"))
	assert.True(t, standards[4].NewerUnread)
	rowstest.Refuses(t, trade.ReadFragranceStandards, trade.StandardColumns, row, [][3]string{
		{"substance", "", "substance is empty"},
		{"category", "", "category is empty"},
		{"cas", "5392-40-6", "cas: CAS number 5392-40-6 has check digit 6, the rest of the number asks for 5"},
		{"standard_type", "ban", `standard_type: "ban" is none of restriction, prohibition, specification, none`},
		{"max_pct_finished_product", "101", "max_pct_finished_product: 101 is above 100 %"},
		{"phototoxic", "no", `phototoxic: "no" is none of , yes`},
		{"entries", "VII/1", `entries: "VII/1" is no entry: write annex and number, such as III/14`},
	})
}
