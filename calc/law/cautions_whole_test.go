package law_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
)

// TestCautions reads the table as makers meet it: each place has rows, and the
// rows that must stop an accident look at what they have to.
func TestCautions(t *testing.T) {
	tables := table.Builtin()
	for _, where := range []string{"making", "workplace", "batch-sheet", "stability", "microbiology", "effects"} {
		require.NotEmpty(t, law.Cautions(tables, where), where)
	}
	for _, c := range law.Cautions(tables, "making") {
		if c.Key != "H08" { // raised as a finding of its own
			require.NotEmpty(t, c.Trigger, c.Key)
		}
	}
	lye := law.Caution(tables, "H04")
	require.Len(t, lye.Trigger, 2)
	require.Equal(t, duties.Trigger{Kind: duties.TriggerINCI, Value: "Sodium Hydroxide",
		Bound: lye.Trigger[0][0].Bound}, lye.Trigger[0][0])
	require.Equal(t, "0.5", lye.Trigger[0][0].Bound.Exact())
	require.Panics(t, func() { law.Caution(tables, "H99") })
}

// TestTQuantiles integrates the density of Student's t up to each value of the
// table and wants 97.5 % below it, within what the three decimals can hold.
func TestTQuantiles(t *testing.T) {
	for _, q := range table.Builtin().TQuantiles {
		n := float64(q.Degrees)
		upper, _ := math.Lgamma((n + 1) / 2)
		lower, _ := math.Lgamma(n / 2)
		density := func(x float64) float64 {
			return math.Exp(upper-lower) / math.Sqrt(n*math.Pi) * math.Pow(1+x*x/n, -(n+1)/2)
		}
		const steps = 20000 // Simpson's rule from 0
		h := q.T975 / steps
		sum := density(0) + density(q.T975)
		for i := 1; i < steps; i++ {
			sum += float64(2+2*(i%2)) * density(float64(i)*h)
		}
		require.InDelta(t, 0.475, sum*h/3, 0.0006*density(q.T975)+1e-9, "%d degrees of freedom", q.Degrees)
	}
	require.Nil(t, law.TQuantile(table.Builtin(), 0))
	require.Equal(t, 30, law.TQuantile(table.Builtin(), 39).Degrees, "between rows the larger value")
	require.Equal(t, 100, law.TQuantile(table.Builtin(), 500).Degrees)
}

func TestSoapNames(t *testing.T) {
	find := func(inci string) []*trade.Fat { return law.FatsOf(table.Builtin(), inci) }
	require.Len(t, find("Olea Europaea Fruit Oil"), 2, "olive and olive pomace share a name")
	require.Len(t, find("Adeps Bovis"), 1)
	require.Empty(t, find("Aqua"))
	stearic := find("Stearic Acid")[0]
	require.Equal(t, trade.FatAcid, stearic.Kind)
	soaps := stearic.Soaps(false)
	require.Len(t, soaps, 2)
	// saponification.csv, row stearic: C18:0 40-60; C16:0 40-55
	require.Equal(t, "Sodium Stearate", soaps[0].INCI)
	require.Equal(t, "60", soaps[0].Pct.Max.Exact())
	require.Equal(t, "Sodium Palmitate", soaps[1].INCI)
	require.Equal(t, "55", soaps[1].Pct.Max.Exact())
	require.Equal(t, "Potassium Cocoate", find("Cocos Nucifera Oil")[0].Soaps(true)[0].INCI)
	require.Empty(t, find("Rosa Canina Seed Oil")[0].Soaps(false), "no confirmed name")
	for _, key := range []string{"jojoba", "beeswax", "candelilla", "carnauba", "lanolin"} {
		for _, f := range table.Builtin().Fats {
			if f.Key == key {
				require.Equal(t, trade.FatWax, f.Kind, key)
			}
		}
	}
}
