package ageing

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/table"
)

// NIST Statistical Reference Datasets, linear regression, Norris: 36
// observations, certified slope 1.00211681802045 with standard deviation
// 0.000429796848199937, intercept -0.262323073774029, residual standard deviation
// 0.884796396144373. The data and the certified values are typed from memory.
func TestTrendNorris(t *testing.T) {
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
		666.9, 338.0, 447.5, 11.6,
		556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	y := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
		668.8, 339.3, 448.9, 10.8,
		557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	tr, ok := FitTrend(x, y, table.Builtin())
	require.True(t, ok)
	assert.InDelta(t, 1.00211681802045, tr.Slope, 1e-11)
	assert.InDelta(t, -0.262323073774029, tr.Intercept, 1e-9)
	assert.InDelta(t, 0.884796396144373, tr.scatter, 1e-11)
	// t for 34 degrees of freedom: the table has 30, 2.042
	assert.InDelta(t, 2.042*0.000429796848199937, tr.HalfWidth, 1e-12)
	assert.True(t, tr.Moves())
}

// A pH of 5.0, 5.0, 5.1, 5.1 at 0, 4, 8, 12 weeks: slope 0.8/80 = 0.01 a week,
// residuals ±0.01 and ±0.03, s² = 0.002/2, half width 4.303 × √(0.001/80). By hand.
func TestTrendOfFewReadings(t *testing.T) {
	tr, ok := FitTrend([]float64{0, 4, 8, 12}, []float64{5.0, 5.0, 5.1, 5.1}, table.Builtin())
	require.True(t, ok)
	assert.InDelta(t, 0.01, tr.Slope, 1e-12)
	assert.InDelta(t, 4.99, tr.Intercept, 1e-12)
	assert.InDelta(t, 4.303*math.Sqrt(0.001/80), tr.HalfWidth, 1e-12)
	assert.False(t, tr.Moves())
	low, high, ok := tr.Reach(6) // at the mean: t × s / √n
	require.True(t, ok)
	assert.InDelta(t, 2*4.303*math.Sqrt(0.001/4), high-low, 1e-12)

	tr, ok = FitTrend([]float64{0, 4}, []float64{5.6, 5.5}, table.Builtin())
	require.True(t, ok)
	assert.InDelta(t, -0.025, tr.Slope, 1e-12)
	assert.True(t, math.IsNaN(tr.HalfWidth), "two readings fit any line")
	assert.False(t, tr.Moves())
	_, _, ok = tr.Reach(8)
	assert.False(t, ok)
	_, ok = FitTrend([]float64{4, 4, 4}, []float64{1, 2, 3}, table.Builtin())
	assert.False(t, ok)
	_, ok = FitTrend(nil, nil, table.Builtin())
	assert.False(t, ok)
}
