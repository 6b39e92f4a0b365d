package exposure_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/testdata/published"
)

// TestUsesPerDay compares uses a day with uses a year in another edition of the data
// set: a year has 365 days, and the table keeps three figures. Expected values:
// exposure_readings.csv.
func TestUsesPerDay(t *testing.T) {
	for _, c := range published.Rows(t, "exposure_readings.csv") {
		e, ok := law.Exposure(table.Builtin(), c["key"])
		require.True(t, ok, c["key"])
		require.Contains(t, e.Source, c["code"], c["key"])
		year, err := strconv.ParseFloat(c["uses_per_year"], 64)
		require.NoError(t, err)
		assert.InEpsilon(t, year/365, e.PerDay.Value, 0.005, c["key"])
	}
}
