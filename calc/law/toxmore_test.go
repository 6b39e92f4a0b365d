package law

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestToxMoreMasses recomputes the molar masses that come from a formula.
func TestToxMoreMasses(t *testing.T) {
	n := 0
	for _, x := range Builtin().toxMore {
		if x.Formula == "" || x.MW == nil {
			continue
		}
		n++
		require.InDelta(t, molarMass(t, x.Formula), x.MW.Value, 0.02, "%s %s", x.Substance, x.Formula)
	}
	require.Greater(t, n, 200)
}

// TestToxMoreTyped holds the typed study to the words it was typed from.
func TestToxMoreTyped(t *testing.T) {
	for _, x := range Builtin().toxMore {
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
	require.Len(t, Builtin().toxMore, 273)
}

// TestToxMoreApart: the two tables of values share no CAS number.
func TestToxMoreApart(t *testing.T) {
	first := map[string]bool{}
	for _, x := range Builtin().ToxRows() {
		if x.Typed == nil && x.CAS != "" {
			first[x.CAS] = true
		}
	}
	for _, x := range Builtin().toxMore {
		require.False(t, x.CAS != "" && first[x.CAS], "%s %s stands in both tables", x.Substance, x.CAS)
	}
}

func TestToxMoreFaults(t *testing.T) {
	head := "substance,inci,cas,pod_type,value_mg_per_kg_bw_d,at_least,species,route,days,study_kind,read_across,other_points," +
		"group_figure,study,mw,formula,logp,cramer_class,safe_intake,other,source,seen,note\n"
	good := "Exemplum,EXEMPLUM,,NOAEL,10,no,rat,oral,90,subchronic,,,no,\"rat, oral, 90 days\",,,,,,,some paper,seen,\n"
	_, err := readToxMore("t.csv", []byte(head+good))
	require.NoError(t, err)
	for _, c := range []struct{ name, old, new, want string }{
		{"value", ",10,", ",,", "value_mg_per_kg_bw_d is empty"},
		{"days", ",90,", ",9.5,", "no whole number"},
		{"species", ",rat,", ",cat,", "species"},
		{"kind", ",subchronic,", ",long,", "study_kind"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := readToxMore("t.csv", []byte(head+strings.Replace(good, c.old, c.new, 1)))
			require.ErrorContains(t, err, c.want)
		})
	}
}
