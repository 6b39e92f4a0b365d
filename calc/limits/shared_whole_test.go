package limits_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/limits"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// brought is a substance with its contents from raw materials, by composition.
func brought(t testing.TB, inci string, pairs ...string) *limits.LimitUse {
	s := &formula.Substance{INCI: inci, MergeKey: ingredients.NameKey(inci)}
	for i := 0; i < len(pairs); i += 2 {
		pct := formulatest.Range(t, pairs[i+1])
		s.Total = s.Total.Add(pct)
		s.Pct = s.Pct.Add(pct)
		s.Contributions = append(s.Contributions,
			formula.Contribution{Ingredient: pairs[i], Pct: pct, Route: formula.ByComposition,
				LinePos: exact.Pos{File: "p", Line: i + 1}})
	}
	return &limits.LimitUse{S: s, PerComp: []*formula.Substance{s}}
}

func handRun(t testing.TB, shares ...string) *limits.Run {
	mix := formula.Mixture{}
	for i := 0; i < len(shares); i += 2 {
		mix.Shares = append(mix.Shares, formula.Share{Ingredient: shares[i], Pct: formulatest.Num(t, shares[i+1])})
	}
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	return &limits.Run{In: in, Comps: []*formula.Composition{{Mixture: mix}}, Matcher: limits.MatcherOf(in.Session)}
}

func verdictOfRow(t testing.TB, r *calc.Result, key string) limits.LimitVerdict {
	t.Helper()
	return checkOf(t, r, key).Verdict
}

// ownRules reads rules of the maker's own, each the first cells of a row: key, annex, entry,
// market, names, CAS, EC, condition and highest content.
func ownRules(t testing.TB, rules ...string) []*annex.Limit {
	t.Helper()
	text := "key,annex,entry,market,inci_names,cas,ec,condition,max_pct,basis,sum_group,sum_rule,required_label_text,colorant_field,applies_from,applies_until,source,seen,note\n"
	for _, r := range rules {
		text += r + ",,,,,,,,our own rule,seen,\n"
	}
	out, faults := annex.ReadOwn("limits/house.csv", []byte(text))
	require.Empty(t, faults)
	return out
}
