package law

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/ingredients/exact"
	"gallipot/testdata/published"
)

// TestOtherLawCases wants a row for each rule outside the annexes that was read at a
// source: by its name and by each of its numbers, of that market alone, with that
// figure and first day, for those product types and not for others. Expected values:
// other_law_cases.csv, source per row.
func TestOtherLawCases(t *testing.T) {
	cases := published.Rows(t, "other_law_cases.csv")
	require.GreaterOrEqual(t, len(cases), 60)
	for _, c := range cases {
		t.Run(c["id"]+" "+c["name"], func(t *testing.T) {
			require.Equal(t, "seen", c["seen"], "what was not read does not count")
			ways := [][]*annex.OtherRule{}
			if c["name"] == "" {
				ways = append(ways, table.Builtin().OtherRules())
			} else {
				ways = append(ways, table.Builtin().OtherRulesOf(c["name"], nil))
			}
			for _, cas := range strings.FieldsFunc(c["cas"], func(r rune) bool { return r == ';' }) {
				ways = append(ways, table.Builtin().OtherRulesOf("a material of the rule", []string{cas}))
			}
			for i, found := range ways {
				require.True(t, slices.ContainsFunc(found, func(o *annex.OtherRule) bool { return isOtherCase(t, o, c) }),
					"way %d: none of %d rows", i, len(found))
			}
		})
	}
}

// isOtherCase says whether a row is the rule of a case.
func isOtherCase(t *testing.T, o *annex.OtherRule, c map[string]string) bool {
	market, other := rows.Market(c["market"]), rows.GB
	if market == rows.GB {
		other = rows.EU
	}
	if o.Kind != c["kind"] || o.About != c["about"] || !o.For(market) || o.For(other) {
		return false
	}
	if c["figure_pct"] == "" {
		if o.LimitPct != nil {
			return false
		}
	} else if want, err := exact.ParseNum(c["figure_pct"]); err != nil || o.LimitPct == nil || !want.Equal(*o.LimitPct) {
		return false
	}
	if c["first_day"] == "" {
		if !o.From.IsZero() {
			return false
		}
	} else if day, err := exact.ParseDate(c["first_day"]); err != nil || o.From != day {
		return false
	}
	if c["facts"] != "" { // a rule for an age group is not for adults
		adults := map[string]string{"facts": "ages=adults"}
		if len(typesOf(t, o, adults, c["fits"])) > 0 {
			return false
		}
	}
	return slices.Equal(typesOf(t, o, c, c["fits"]),
		rows.SplitList(c["fits"])) && len(typesOf(t, o, c, c["fits_not"])) == 0
}

// typesOf are those of a list of product types that a rule is for, in the situation
// of a case.
func typesOf(t *testing.T, o *annex.OtherRule, c map[string]string, list string) (out []string) {
	for _, key := range rows.SplitList(list) {
		s := situationOfCase(t, map[string]string{"product_type": key, "facts": c["facts"]})
		if Fits(o, key, s).Verdict == Holds {
			out = append(out, key)
		}
	}
	return out
}
