package safety_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/testdata/published"
)

// TestToxMoreMasses recomputes the molar masses that come from a formula.
func TestToxMoreMasses(t *testing.T) {
	n := 0
	for _, x := range table.Builtin().ToxMore {
		if x.Formula == "" || x.MW == nil {
			continue
		}
		n++
		require.InDelta(t, published.MolarMass(t, x.Formula), x.MW.Value, 0.011, "%s %s", x.Substance, x.Formula)
	}
	require.Greater(t, n, 200)
}

// TestToxMoreTyped holds the typed study to the words it was typed from.
func TestToxMoreTyped(t *testing.T) {
	for _, x := range table.Builtin().ToxMore {
		words := strings.ToLower(x.Study)
		require.True(t, strings.HasPrefix(words, x.Typed.Species), x.Substance)
		switch x.Typed.Route {
		case "unstated":
			require.Contains(t, words, "route not stated", x.Substance)
		default:
			require.Contains(t, words, x.Typed.Route, x.Substance)
		}
		if x.Typed.Days == 0 {
			require.NotRegexp(t, `\d+ days`, words, x.Substance)
		}
		for _, o := range x.Typed.Others {
			require.GreaterOrEqual(t, o.Value, 0.0, x.Substance)
		}
	}
	require.Len(t, table.Builtin().ToxMore, 273)
}

// TestToxMoreApart: the two tables of values share no CAS number.
func TestToxMoreApart(t *testing.T) {
	first := map[string]bool{}
	for _, x := range table.Builtin().Tox {
		if x.Typed == nil && x.CAS != "" {
			first[x.CAS] = true
		}
	}
	for _, x := range table.Builtin().ToxMore {
		require.False(t, x.CAS != "" && first[x.CAS], "%s %s stands in both tables", x.Substance, x.CAS)
	}
}

// TestToxReadings compares values and lengths of studies with a second printing of
// the authority's reference points. Expected values: tox_readings.csv.
func TestToxReadings(t *testing.T) {
	of := map[string]*safety.Tox{}
	for _, x := range table.Builtin().ToxMore {
		for _, n := range x.INCI {
			of[n] = x
		}
	}
	for _, c := range published.Rows(t, "tox_readings.csv") {
		want, err := strconv.ParseFloat(c["value_mg_per_kg_bw_d"], 64)
		require.NoError(t, err)
		for _, n := range strings.Split(c["names"], ";") {
			x := of[n]
			require.NotNil(t, x, n)
			require.Contains(t, x.Source, c["opinion"], n)
			require.Equal(t, c["pod_type"], x.PoDType, n)
			require.InDelta(t, want, x.PoD.Value, 0, n)
			require.Equal(t, c["days"], strconv.Itoa(x.Typed.Days), n)
		}
	}
}

// TestToxValueReadings compares values of tox-values.csv with the authority's reference
// points, read a second time under the authority's own names of substances. Expected
// values: tox_value_readings.csv.
func TestToxValueReadings(t *testing.T) {
	of := map[string]*safety.Tox{}
	for _, x := range table.Builtin().Tox {
		if x.Typed == nil {
			of[x.Substance] = x
		}
	}
	for _, c := range published.Rows(t, "tox_value_readings.csv") {
		want, err := strconv.ParseFloat(c["value_mg_per_kg_bw_d"], 64)
		require.NoError(t, err)
		x := of[c["substance"]]
		require.NotNil(t, x, c["substance"])
		require.Contains(t, x.Source, c["opinion"], c["substance"])
		require.Equal(t, c["pod_type"], x.PoDType, c["substance"])
		require.InDelta(t, want, x.PoD.Value, 0, "%s, read as %s", c["substance"], c["read_as"])
	}
}
