package ageing

import (
	"math"

	"gallipot/calc/law"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
)

// Trend is a straight line through readings over time, by least squares.
//
//	slope  = Σ (x − x̄)(y − ȳ) / Σ (x − x̄)²
//	half   = t(0.975, n − 2) × s / √Σ (x − x̄)²,  s² = Σ residual² / (n − 2)
//
// Units: x in weeks, y in the unit of the reading, slope in that per week.
// Basis: readings of equal weight, independent and scattered alike; a plain
// description of what was read, no model of ageing.
// Source: t from t-quantiles.csv; worked case NIST StRD Norris in trend_test.go.
type Trend struct {
	N         int
	Slope     float64
	Intercept float64 // at x = 0
	// HalfWidth is half the 95 % range of the slope: the slope is Slope ± HalfWidth.
	// NaN with two readings, which fit any line.
	HalfWidth float64
	meanX     float64
	sumXX     float64 // Σ (x − x̄)²
	scatter   float64 // s, standard deviation of the residuals
	t         float64
	Quantile  *safety.TQuantile // nil with two readings
}

// FitTrend fits a line. ok is false with fewer than two different times.
func FitTrend(x, y []float64, tables *table.Tables) (tr Trend, ok bool) {
	n := float64(len(x))
	if len(x) < 2 || len(x) != len(y) {
		return tr, false
	}
	var meanY float64
	for i := range x {
		tr.meanX += x[i] / n
		meanY += y[i] / n
	}
	var sumXY float64
	for i := range x {
		dx := x[i] - tr.meanX
		tr.sumXX += dx * dx
		sumXY += dx * (y[i] - meanY)
	}
	if tr.sumXX == 0 {
		return tr, false
	}
	tr.N, tr.Slope = len(x), sumXY/tr.sumXX
	tr.Intercept = meanY - tr.Slope*tr.meanX
	tr.HalfWidth = math.NaN()
	if tr.Quantile = law.TQuantile(tables, len(x)-2); tr.Quantile == nil {
		return tr, true
	}
	var squares float64
	for i := range x {
		r := y[i] - tr.At(x[i])
		squares += r * r
	}
	tr.t, tr.scatter = tr.Quantile.T975, math.Sqrt(squares/(n-2))
	tr.HalfWidth = tr.t * tr.scatter / math.Sqrt(tr.sumXX)
	return tr, true
}

// At returns the line's value at a time.
func (tr Trend) At(x float64) float64 { return tr.Intercept + tr.Slope*x }

// Moves says whether the slope differs from 0 by more than the readings scatter.
func (tr Trend) Moves() bool {
	return !math.IsNaN(tr.HalfWidth) && math.Abs(tr.Slope) > tr.HalfWidth
}

// Reach returns the 95 % range of the line itself at a time, which widens with
// the distance from the readings; ok is false with two readings.
func (tr Trend) Reach(x float64) (low, high float64, ok bool) {
	if tr.Quantile == nil {
		return 0, 0, false
	}
	dx := x - tr.meanX
	half := tr.t * tr.scatter * math.Sqrt(1/float64(tr.N)+dx*dx/tr.sumXX)
	return tr.At(x) - half, tr.At(x) + half, true
}
