package calc

import (
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/limits"
	"gallipot/calc/plaintest"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

// TestLimitsAgainstThePlainRules compares the engine with the plain reading of
// the table on generated products: matching, dates, exceptions, basis and sums.
func TestLimitsAgainstThePlainRules(t *testing.T) {
	tableRows, rules := plaintest.RawTable(t, "limits.csv"), &plaintest.Rules{Asked: formulatest.PlainAsked()}
	pool := rules.Pool(tableRows)
	groups := plaintest.Groups(tableRows, pool)
	require.Greater(t, len(pool), 400)
	require.Greater(t, len(groups), 25)
	r := rand.New(rand.NewPCG(3, 1223))
	compared, exceeded := 0, 0
	for range testdata.Cases(200, 1000) {
		p := plaintest.Random(r, tableRows, formulatest.PlainKinds(), pool, groups)
		in, comps := formulatest.PlainInput(t, p, -1, nil)
		run := limits.GroundOf(in, comps).Run(in)
		got := map[string]string{}
		for _, c := range run.Checks(in.Date) {
			key := c.Row.Key
			if c.Row.Sum.Kind != annex.SumAll {
				key += "|" + c.Substances[0]
			}
			got[key] = string(c.Verdict)
		}
		for key, want := range rules.Verdicts(tableRows, tableRows, p) {
			require.Equal(t, want, got[key], "%s in %+v", key, p)
			compared++
			if want == "exceeded" {
				exceeded++
			}
		}
	}
	t.Logf("%d rows compared, %d exceeded", compared, exceeded)
	require.Greater(t, compared, testdata.Cases(600, 3000))
	require.Greater(t, exceeded, testdata.Cases(60, 300))
}

// Raising a content never turns exceeded into kept, and never takes a stop away.
func TestRaisingNeverHelps(t *testing.T) {
	tableRows, rules := plaintest.RawTable(t, "limits.csv"), &plaintest.Rules{Asked: formulatest.PlainAsked()}
	pool := rules.Pool(tableRows)
	groups := plaintest.Groups(tableRows, pool)
	r := rand.New(rand.NewPCG(7, 7))
	raised := 0
	for range 800 {
		p := plaintest.Random(r, tableRows, formulatest.PlainKinds(), pool, groups)
		in, comps := formulatest.PlainInput(t, p, -1, nil)
		before := limits.GroundOf(in, comps).Run(in).Checks(in.Date)
		which := r.IntN(len(p.Uses))
		in2, comps2 := formulatest.PlainInput(t, p, which, big.NewRat(int64(101+r.IntN(300)), 100))
		if comps2[0].Find("Aqua") == nil || comps2[0].Find("Aqua").Total.Max.Sign() <= 0 {
			continue // nothing left for the water
		}
		after := map[string]limits.LimitCheck{}
		for _, c := range limits.GroundOf(in2, comps2).Run(in2).Checks(in.Date) {
			after[rowAndNames(c)] = c
		}
		for _, c := range before {
			now, ok := after[rowAndNames(c)]
			if c.Verdict == limits.LimitExceeded {
				require.True(t, ok && now.Verdict == limits.LimitExceeded, "%s %v in %+v: %s", c.Row.Key, c.Substances, p,
					now.Verdict)
				raised++
			}
			if ok && now.Verdict == c.Verdict { // an undecided row counts what is in doubt too
				require.False(t, nearer(&now, &c), "%s %v", c.Row.Key, c.Substances)
			}
		}
	}
	require.Greater(t, raised, 500)
}

// nearer says whether less counts in one check of a row than in another, as a
// share of its figure: a row with a figure for each and one for the sum shows the
// worse of them.
func nearer(a, b *limits.LimitCheck) bool {
	if a.LimitPct == nil || b.LimitPct == nil || a.LimitPct.Sign() == 0 || b.LimitPct.Sign() == 0 {
		return a.Content.Max.Less(b.Content.Max)
	}
	return a.Content.Max.Quo(*a.LimitPct).Less(b.Content.Max.Quo(*b.LimitPct))
}

func rowAndNames(c limits.LimitCheck) string {
	names := slices.Clone(c.Substances)
	slices.Sort(names)
	return c.Row.Key + "|" + strings.Join(names, "|")
}

// What counts in a pack of two portions is never less than in the whole of it.
func TestPortionsCountAtLeastTheWhole(t *testing.T) {
	tableRows, rules := plaintest.RawTable(t, "limits.csv"), &plaintest.Rules{Asked: formulatest.PlainAsked()}
	pool := rules.Pool(tableRows)
	groups := plaintest.Groups(tableRows, pool)
	r := rand.New(rand.NewPCG(11, 2))
	for range 300 {
		p := plaintest.Random(r, tableRows, formulatest.PlainKinds(), pool, groups)
		in, comps := formulatest.PlainInput(t, p, -1, nil)
		share := exact.Int(int64(5 + r.IntN(90)))
		half := &formula.Mixture{Name: "one", SharePct: share, Shares: comps[0].Mixture.Shares}
		other := formula.Mixture{Name: "other", SharePct: formula.Hundred.Sub(share),
			Shares: []formula.Share{{Ingredient: "water", Pct: formula.Hundred}}}
		whole := formula.Mixture{SharePct: formula.Hundred}
		for _, m := range []*formula.Mixture{half, &other} {
			for _, s := range m.Shares {
				s.Pct = s.Pct.Pct(m.SharePct)
				whole.Add(s)
			}
		}
		var all []*formula.Composition
		for _, m := range []formula.Mixture{whole, *half, other} {
			all = append(all, formula.Compose(m, in.Materials))
		}
		alone := limits.GroundOf(in, all[:1]).Run(in).Checks(in.Date)
		split := limits.GroundOf(in, all).Run(in).Checks(in.Date)
		require.Equal(t, len(alone), len(split))
		for i := range alone {
			if alone[i].Verdict == limits.LimitUndecided && split[i].Verdict == limits.LimitExceeded {
				continue // worse; it shows what is sure, where an undecided row counts what is in doubt too
			}
			require.False(t, nearer(&split[i], &alone[i]), "%s", alone[i].Row.Key)
			if alone[i].Verdict == limits.LimitExceeded {
				require.Equal(t, limits.LimitExceeded, split[i].Verdict, alone[i].Row.Key)
			}
		}
	}
}
