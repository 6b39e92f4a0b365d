package table

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

func num(t *testing.T, text string) exact.Num {
	t.Helper()
	n, err := exact.ParseNum(text)
	require.NoError(t, err)
	return n
}

// TestOtherLawUnits: 25 ppb are 0.0000025 %, 260 ppm 0.026 %.
func TestOtherLawUnits(t *testing.T) {
	for _, c := range []struct{ key, pct string }{{"reach-pfhxa-eu", "0.0000025"},
		{"opinion-dhhb-dnhexp-eu", "0.026"}, {"opinion-cannabidiol-eu", "0.19"}} {
		i := slices.IndexFunc(Builtin().OtherRules(), func(o *annex.OtherRule) bool { return o.Key == c.key })
		require.GreaterOrEqual(t, i, 0, c.key)
		require.True(t, Builtin().OtherRules()[i].LimitPct.Equal(num(t, c.pct)), "%s: %s", c.key,
			Builtin().OtherRules()[i].LimitPct)
	}
}

// TestOtherLawDates compares the days of the rules with the acts.
func TestOtherLawDates(t *testing.T) {
	in := func(key string, m rows.Market, on string) bool {
		for _, o := range Builtin().OtherRules() {
			if o.Key == key {
				return o.In(m, day(t, on))
			}
		}
		t.Fatalf("no rule %s", key)
		return false
	}
	for _, c := range []struct {
		key    string
		market rows.Market
		before string
		first  string
	}{
		{"reach-cyclohexasiloxane-eu", rows.EU, "2026-06-05", "2026-06-06"},        // Reg (EU) 2024/1328 recitals 17, 18
		{"reach-cyclohexasiloxane-eu-2", rows.EU, "2027-06-05", "2027-06-06"},      // the same, three years
		{"reach-microplastics-microbeads-eu", rows.EU, "2023-10-16", "2023-10-17"}, // Reg (EU) 2023/2055: no transition
		{"microbeads-microbeads-gb", rows.GB, "2018-06-18",
			"2018-06-19"}, // SI 2017/1312: six months after 19 December 2017
	} {
		require.False(t, in(c.key, c.market, c.before), "%s before", c.key)
		require.True(t, in(c.key, c.market, c.first), "%s first day", c.key)
	}
	require.True(t, in("reach-cyclohexasiloxane-eu", rows.NI, "2026-06-06"), "NI follows the EU")
	require.False(t, in("reach-cyclohexasiloxane-eu", rows.GB, "2026-06-06"))
}

func TestOtherRulesOf(t *testing.T) {
	keys := func(inci, cas string) (out []string) {
		for _, o := range Builtin().OtherRulesOf(inci, One(cas)) {
			out = append(out, o.Key)
		}
		return out
	}
	require.Contains(t, keys("Cyclohexasiloxane", ""), "reach-cyclohexasiloxane-eu")
	require.Contains(t, keys("a trade name", "540-97-6"), "reach-cyclohexasiloxane-eu", "by number")
	require.Contains(t, keys("D6", ""), "reach-cyclohexasiloxane-eu", "by the short name")
	require.Empty(t, keys("Aqua", "7732-18-5"))
}

func TestOtherLawFaults(t *testing.T) {
	head := "key,area,subject,kind,about,names,cas,condition,types,others_not_judged,limit,unit,compare,basis," +
		"figure_seen,applies_from,market,in_limits,not_in,impurity_of,age_note,source,seen,note\n"
	good := "k,REACH,silicones,law,substance,Exemplum,,all,,no,0.1,%,below,,yes,,EU,no,,,,some act,seen,\n"
	_, err := annex.ReadOtherLaw("t.csv", head+good)
	require.NoError(t, err)
	for _, c := range []struct{ name, old, new, want string }{
		{"unit", ",%,", ",,", "limit has no unit"},
		{"compare", ",below,", ",,", "go together"},
		{"names", "Exemplum", "", "names is empty"},
		{"condition", ",all,", ",washed,", "unknown condition"},
		{"kind", ",law,", ",rumour,", "is none of"},
		{"impurity", ",substance,", ",impurity,", "impurity_of goes with"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := annex.ReadOtherLaw("t.csv", head+strings.Replace(good, c.old, c.new, 1))
			require.ErrorContains(t, err, c.want)
		})
	}
}
