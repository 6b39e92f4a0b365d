package annex

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
)

func TestAllergens(t *testing.T) {
	row := rowstest.Cells{"key": "a", "label_name": "Citral", "annex_iii_entry": "70", "market": "EU", "regime": "2003-list",
		"substances": "Citral | 5392-40-5 | 226-394-6 ;Neral|106-26-3|-", "botanical": "no",
		"threshold_leave_on_pct": "0.001", "threshold_rinse_off_pct": "0.01", "applies_from": "2005-03-11",
		"prohibited": "no", "seen": "seen", "source": "act"}
	banned := row.With("threshold_leave_on_pct", "").With("threshold_rinse_off_pct", "").With("prohibited", "yes").
		With("market", "GB").With("botanical", "yes").With("substances", "Exemplum|-|-")
	allergens, err := ReadAllergens("t.csv", rowstest.Table(AllergenColumns, row, banned))
	require.NoError(t, err)
	require.Len(t, allergens, 2)
	assert.Equal(t, []Member{{"Citral", "5392-40-5", "226-394-6"}, {"Neral", "106-26-3", ""}}, allergens[0].Members)
	assert.Equal(t, []Member{{"Exemplum", "", ""}}, allergens[1].Members)
	assert.Equal(t, "0.001", allergens[0].Threshold(false).Exact(), "Regulation (EC) No 1223/2009, Annex III/70: leave-on")
	assert.Equal(t, "0.01", allergens[0].Threshold(true).Exact(), "rinse-off")
	assert.True(t, allergens[1].Threshold(true).IsZero(), "the presence of a prohibited one is a breach")
	assert.True(t, allergens[1].Botanical && !allergens[0].Botanical)
	rowstest.Refuses(t, ReadAllergens, AllergenColumns, row, [][3]string{
		{"label_name", "", "label_name is empty"},
		{"annex_iii_entry", "", "annex_iii_entry is empty"},
		{"regime", "", "regime is empty"},
		{"market", "EU+GB", `market: "EU+GB" is none of EU, GB`},
		{"threshold_leave_on_pct", "", "a row has both thresholds, or is prohibited and has none"},
		{"threshold_rinse_off_pct", "", "a row has both thresholds, or is prohibited and has none"},
		{"prohibited", "yes", "a row has both thresholds, or is prohibited and has none"},
		{"applies_from", "", "applies_from is empty"},
		{"substances", "", "substances is empty"},
		{"substances", "Citral|5392-40-5", "substances: \"Citral|5392-40-5\" is not name|CAS|EC\nsubstances is empty"},
		{"substances", "Citral|-|-|-;Citral|-|-", `substances: "Citral|-|-|-" is not name|CAS|EC`},
		{"substances", "-|5392-40-5|-", `substances: "-|5392-40-5|-" has no name`},
		{"substances", "A|5392-40-6|-", "cas: CAS number 5392-40-6 has check digit 6"},
		{"substances", "A|-|226-394-7", "ec: EC number 226-394-7 has check digit 7"},
	})
}
