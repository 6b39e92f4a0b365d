package calc

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/testdata"
)

// plainPool lists names of substances that a generated product may hold.
func plainPool(rows []map[string]string, dict *ingredients.Dictionary) []plainUse {
	var pool []plainUse
	seen := map[string]bool{}
	for _, r := range rows {
		if plainSkip(r) || r["class"] != "" {
			continue
		}
		for n := range strings.SplitSeq(r["inci_names"], ";") {
			n = strings.TrimSpace(n)
			sub := dict.Lookup(n)
			if sub == nil || sub.INCI != n || seen[n] || formula.IsBotanical(table.Builtin(), n) || formula.IsCI(n) || strings.Contains(n, "(") || strings.Contains(n, " and ") || strings.Contains(n, "preparations") {
				continue
			}
			seen[n] = true
			pool = append(pool, plainUse{name: n, cas: sub.CAS})
		}
	}
	return pool
}

// generate makes a product of a few substances, two of them often from one sum
// group, with contents around the figures of their rows.
func generate(r *rand.Rand, tableRows []map[string]string, pool []plainUse, groups [][]plainUse) plainProduct {
	types := law.ProductTypes(table.Builtin())
	p := plainProduct{kind: types[r.IntN(len(types))].Key, market: rows.EU,
		day:  []string{"2024-06-01", "2026-05-01", "2026-11-25", "2027-01-01", "2028-01-01"}[r.IntN(5)],
		ages: []string{"adults", "children-3-plus", "under-3"}[r.IntN(3)]}
	if r.IntN(2) == 0 {
		p.market = rows.GB
	}
	from := pool
	if r.IntN(2) == 0 {
		from = groups[r.IntN(len(groups))]
	}
	seen := map[string]bool{}
	for range 1 + r.IntN(4) {
		u := from[r.IntN(len(from))]
		if r.IntN(4) == 0 {
			u = pool[r.IntN(len(pool))]
		}
		if seen[u.name] {
			continue
		}
		seen[u.name] = true
		u.function = []string{"preservative", "other", "fragrance", "uv-filter", "ph-adjuster", "peroxide-stabiliser"}[r.IntN(6)]
		u.pct = around(r, tableRows, u)
		p.uses = append(p.uses, u)
	}
	return p
}

// around picks a content at, just above, or somewhere near a figure of a row
// that names the substance, at most 20 %.
func around(r *rand.Rand, rows []map[string]string, u plainUse) *big.Rat {
	var figures []string
	for _, row := range rows {
		if row["max_pct"] != "" && row["max_pct"] != "0" && slices.Contains(strings.Split(row["inci_names"], ";"), u.name) {
			figures = append(figures, row["max_pct"])
		}
	}
	pct := big.NewRat(1, 10)
	if len(figures) > 0 {
		pct, _ = new(big.Rat).SetString(figures[r.IntN(len(figures))])
	}
	pct = new(big.Rat).Mul(pct, []*big.Rat{big.NewRat(1, 3), big.NewRat(1, 2), big.NewRat(9, 10), big.NewRat(1, 1), big.NewRat(1001, 1000), big.NewRat(13, 10), big.NewRat(2, 1)}[r.IntN(7)])
	if pct.Cmp(big.NewRat(20, 1)) > 0 {
		return big.NewRat(20, 1)
	}
	return pct
}

// input turns a generated product into the engine's input; scale multiplies the
// content of one substance.
func (p plainProduct) input(t testing.TB, scaled int, scale *big.Rat) (*formula.Input, []*formula.Composition) {
	t.Helper()
	tables := table.Builtin()
	pt, _ := law.ProductType(tables, p.kind)
	day, err := exact.ParseDate(p.day)
	require.NoError(t, err)
	no := false
	product := &formula.Product{ID: "generated", IntendedFor: formula.Audience(p.ages), Professional: &no, Formula: formula.Formula{Basis: formula.Percent, Phases: []formula.Phase{{ID: "A"}}}}
	byID := map[string]*ingredients.Sheet{"water": formulatest.Material(t, "water", "solvent", "Aqua", "100")}
	add := func(id string, amount exact.Num, rest bool) {
		line := formula.Line{Ingredient: id, Amount: amount, Rest: rest, Pos: exact.Pos{File: "products/generated.yaml", Line: 10 + len(byID), Col: 5}}
		product.Formula.Phases[0].Lines = append(product.Formula.Phases[0].Lines, line)
	}
	add("water", exact.Num{}, true)
	for i, u := range p.uses {
		id := fmt.Sprintf("m%d", i)
		byID[id] = formulatest.Material(t, id, plainFunctions[u.function], u.name, "100")
		byID[id].Form = "powder"
		pct := u.pct
		if i == scaled {
			pct = new(big.Rat).Mul(pct, scale)
		}
		add(id, exact.Frac(pct.Num().Int64(), pct.Denom().Int64()), false)
	}
	dict := tables.Dictionary()
	in := &formula.Input{Product: product, Variant: &formula.Variant{}, Type: pt, Sheets: byID, Materials: formula.PrepareAll(byID, dict), Market: p.market, Date: day, Session: formulatest.Session(tables)}
	recipe, _ := formula.Resolve(product, in.Variant, exact.Int(0))
	var comps []*formula.Composition
	for _, mix := range recipe.Mixtures() {
		comps = append(comps, formula.Compose(mix, in.Materials))
	}
	return in, comps
}

// poolGroups gathers the pool by sum group.
func poolGroups(rows []map[string]string, pool []plainUse) [][]plainUse {
	var names []string
	by := map[string][]plainUse{}
	for _, r := range rows {
		for _, u := range pool {
			if r["sum_group"] != "" && slices.Contains(strings.Split(r["inci_names"], ";"), u.name) {
				if by[r["sum_group"]] == nil {
					names = append(names, r["sum_group"])
				}
				by[r["sum_group"]] = append(by[r["sum_group"]], u)
			}
		}
	}
	var out [][]plainUse
	for _, n := range names {
		out = append(out, by[n])
	}
	return out
}

// TestLimitsAgainstThePlainRules compares the engine with the plain reading of
// the table on generated products: matching, dates, exceptions, basis and sums.
func TestLimitsAgainstThePlainRules(t *testing.T) {
	rows, dict := rawLimits(t), table.Builtin().Dictionary()
	pool := plainPool(rows, dict)
	groups := poolGroups(rows, pool)
	require.Greater(t, len(pool), 400)
	require.Greater(t, len(groups), 25)
	r := rand.New(rand.NewPCG(3, 1223))
	compared, exceeded := 0, 0
	for range testdata.Cases(200, 1000) {
		p := generate(r, rows, pool, groups)
		in, comps := p.input(t, -1, nil)
		run := limits.NewRun(in, comps)
		got := map[string]string{}
		for _, c := range run.Checks(in.Date) {
			key := c.Row.Key
			if c.Row.Sum.Kind != annex.SumAll {
				key += "|" + c.Substances[0]
			}
			got[key] = string(c.Verdict)
		}
		for key, want := range plainVerdicts(rows, rows, p, dict) {
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
	rows, dict := rawLimits(t), table.Builtin().Dictionary()
	pool := plainPool(rows, dict)
	groups := poolGroups(rows, pool)
	r := rand.New(rand.NewPCG(7, 7))
	raised := 0
	for range 800 {
		p := generate(r, rows, pool, groups)
		in, comps := p.input(t, -1, nil)
		before := limits.NewRun(in, comps).Checks(in.Date)
		which := r.IntN(len(p.uses))
		in2, comps2 := p.input(t, which, big.NewRat(int64(101+r.IntN(300)), 100))
		if comps2[0].Find("Aqua") == nil || comps2[0].Find("Aqua").Total.Max.Sign() <= 0 {
			continue // nothing left for the water
		}
		after := map[string]limits.LimitCheck{}
		for _, c := range limits.NewRun(in2, comps2).Checks(in.Date) {
			after[rowAndNames(c)] = c
		}
		for _, c := range before {
			now, ok := after[rowAndNames(c)]
			if c.Verdict == limits.LimitExceeded {
				require.True(t, ok && now.Verdict == limits.LimitExceeded, "%s %v in %+v: %s", c.Row.Key, c.Substances, p, now.Verdict)
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
	rows, dict := rawLimits(t), table.Builtin().Dictionary()
	pool := plainPool(rows, dict)
	groups := poolGroups(rows, pool)
	r := rand.New(rand.NewPCG(11, 2))
	for range 300 {
		p := generate(r, rows, pool, groups)
		in, comps := p.input(t, -1, nil)
		share := exact.Int(int64(5 + r.IntN(90)))
		half := &formula.Mixture{Name: "one", SharePct: share, Shares: comps[0].Mixture.Shares}
		other := formula.Mixture{Name: "other", SharePct: formula.Hundred.Sub(share), Shares: []formula.Share{{Ingredient: "water", Pct: formula.Hundred}}}
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
		alone := limits.NewRun(in, all[:1]).Checks(in.Date)
		split := limits.NewRun(in, all).Checks(in.Date)
		require.Equal(t, len(alone), len(split))
		for i := range alone {
			require.False(t, nearer(&split[i], &alone[i]), "%s", alone[i].Row.Key)
			if alone[i].Verdict == limits.LimitExceeded {
				require.Equal(t, limits.LimitExceeded, split[i].Verdict, alone[i].Row.Key)
			}
		}
	}
}
