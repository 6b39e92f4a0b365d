package safety_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/rows/rowstest"
	"gallipot/calc/law/safety"
)

func TestExposureRows(t *testing.T) {
	row := rowstest.Cells{"key": "a", "product_type": "A", "group": "leave-on face", "rinse_off": "no",
		"retention_factor": "1", "source": "guidance", "seen": "seen"}
	all, err := safety.ReadExposure("t.csv", rowstest.Table(safety.ExposureColumns, row, row.With("retention_factor", "0").
		With("population_mean", "yes"), row.With("source", "").With("note", "none found")))
	require.NoError(t, err, "a row may say that nothing was found")
	assert.Equal(t, []bool{false, true}, []bool{all[0].PopulationMean, all[1].PopulationMean})
	assert.Nil(t, all[0].DailyG)
	rowstest.Refuses(t, safety.ReadExposure, safety.ExposureColumns, row, [][3]string{
		{"product_type", "", "product_type is empty"},
		{"group", "", "group is empty"},
		{"rinse_off", "", `rinse_off: "" is none of yes, no, mixed`},
		{"retention_factor", "1.01", "retention_factor 1.01 is not between 0 and 1"},
		{"retention_factor", "-0.01", "retention_factor -0.01 is not between 0 and 1"},
	})
	for _, col := range []string{"daily_amount_g", "daily_exposure_g", "relative_daily_exposure_mg_per_kg_bw"} {
		rowstest.Refuses(t, safety.ReadExposure, safety.ExposureColumns, row.With(col, "1"),
			[][3]string{{"source", "", "an amount stands without a source"}})
	}
}

func TestMolarMassRows(t *testing.T) {
	row := rowstest.Cells{"inci": "Exemplum", "mw": "18.015", "formula": "H2O", "source": "computed", "seen": "seen"}
	all, err := safety.ReadMolarMasses("t.csv", rowstest.Table(safety.MolarMassColumns, row))
	require.NoError(t, err)
	assert.InDelta(t, 18.015, all[0].MW.Value, 0)
	rowstest.Refuses(t, safety.ReadMolarMasses, safety.MolarMassColumns, row, [][3]string{
		{"inci", "", "inci is empty\nthe row has no key"}, {"formula", "", "formula is empty"}, {"mw", "", "mw is empty"}})
}

func TestStabilityRows(t *testing.T) {
	row := rowstest.Cells{"id": "C1", "topic": "challenge A", "item": "E. coli, day 7", "value": "1000", "weeks": "1;2.5",
		"bound_open": "yes", "source": "standard", "seen": "seen"}
	all, err := safety.ReadStability("t.csv", rowstest.Table(safety.StabilityColumns, row, row.With("value", "absent").With("bound_open", "")))
	require.NoError(t, err)
	assert.Equal(t, "1000", all[0].Number.Exact())
	assert.Equal(t, []string{"1", "2.5"}, []string{all[0].Weeks[0].Exact(), all[0].Weeks[1].Exact()})
	assert.True(t, all[0].BoundOpen && !all[1].BoundOpen)
	assert.Nil(t, all[1].Number, "a word is no number")
	rowstest.Refuses(t, safety.ReadStability, safety.StabilityColumns, row, [][3]string{
		{"topic", "", "topic is empty"},
		{"item", "", "item is empty"},
		{"value", "1234567890.1234567", `value: "1234567890.1234567" has more than 15 digits`},
		{"weeks", "1;x", `weeks: "x" is not a number`},
		{"low_risk", "yes", `low_risk: "yes" is none of`},
	})
}

func TestToxUseRows(t *testing.T) {
	row := rowstest.Cells{"key": "a", "substance": "Exemplum", "dermal": "default", "source": "opinion", "seen": "seen"}
	all, err := safety.ReadToxUse("t.csv", rowstest.Table(safety.ToxUseColumns, row, row.With("dermal", "insoluble"), row.With("dermal", "").
		With("use", "no-threshold").With("reason", "r"), row.With("use", "not-needed").With("reason", "r")))
	require.NoError(t, err)
	assert.Equal(t, []bool{true, false, false}, []bool{all[0].DermalUnfit, all[1].DermalUnfit, all[2].DermalUnfit})
	assert.Equal(t, []bool{false, true, false}, []bool{all[0].Insoluble, all[1].Insoluble, all[2].Insoluble})
	const together = "reason goes with use no-threshold and not-needed"
	rowstest.Refuses(t, safety.ReadToxUse, safety.ToxUseColumns, row, [][3]string{
		{"substance", "", "substance is empty"}, {"reason", "r", together}, {"use", "no-threshold", together},
		{"use", "not-needed", together}, {"use", "never", `use: "never" is none of`}, {"dermal", "full", `dermal: "full" is none of`},
		{"absorption_seen", "often", `absorption_seen: "often" is none of`}})
}

// Degrees of freedom rise from row to row.
func TestTQuantileRows(t *testing.T) {
	row := rowstest.Cells{"degrees_of_freedom": "1", "t_975": "12.706", "source": "handbook table", "seen": "seen"}
	all, err := safety.ReadTQuantiles("t.csv", rowstest.Table(safety.TColumns, row, row.With("degrees_of_freedom", "2").With("t_975", "4.303")))
	require.NoError(t, err)
	assert.InDelta(t, 4.303, all[1].T975, 0)
	for _, second := range []string{"1", "0", "x", "1.5"} {
		_, err := safety.ReadTQuantiles("t.csv", rowstest.Table(safety.TColumns, row, row.With("degrees_of_freedom", second)))
		require.ErrorContains(t, err, `t.csv:3: degrees_of_freedom: "`+second+`" is no whole number above the row before`)
	}
	rowstest.Refuses(t, safety.ReadTQuantiles, safety.TColumns, row, [][3]string{{"degrees_of_freedom", "0", `degrees_of_freedom: "0" is no whole`},
		{"degrees_of_freedom", "-1", `degrees_of_freedom: "-1" is no whole`}, {"degrees_of_freedom", "2x", `degrees_of_freedom: "2x" is no whole`},
		{"t_975", "", "t_975 is empty"}})
}
