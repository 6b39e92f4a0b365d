package limits_test

import (
	"testing"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
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
