package headroom

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/calc/standards"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

func headroomOf(t testing.TB, hs []Headroom, name string) Headroom {
	t.Helper()
	for _, h := range hs {
		if h.Ingredient == name || h.Slot == name {
			return h
		}
	}
	require.Fail(t, "no headroom for "+name)
	return Headroom{}
}

// Worked by hand: a blend with 90 % phenoxyethanol, limit 1.0 % (Annex V/29):
// 1.0 / 0.9 = 10/9 %. A fragrance at 0.5 % with a certificate of 1.2 %. Water is
// q.s., so nothing else changes.
func TestHeadroomByHand(t *testing.T) {
	keeper := formulatest.Sheet(t, "keeper", "Phenoxyethanol", "90", "Ethylhexylglycerin", "10")
	keeper.Functions = []string{"preservative"}
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "keeper", "0.9", "fo", "0.5")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"), keeper,
		formulatest.Certified(t, formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023,
			"Linalool", "0.1"), "5A", "1.2"))
	hs := Headrooms(r)
	limit := roomOf(headroomOf(t, hs, "keeper"), ruleLimit)
	require.NotNil(t, limit)
	assert.Equal(t, "10/9", limit.AtMostPct.Exact())
	fo := headroomOf(t, hs, "fo")
	assert.Equal(t, "1.2", fo.AtMostPct.Exact())
	assert.Equal(t, "certificate of fo, category 5A", fo.Binding)
	// Linalool is 0.1 % of it and declared above 0.001 % in a leave-on product:
	// from 1 % of the fragrance on.
	assert.Contains(t, fo.Changes,
		LabelChange{AtPct: exact.Int(1), UsePct: formulatest.Num(t, "0.5"), What: "above it Linalool is declared"})
}

func roomOf(h Headroom, kind ruleKind) *RuleRoom {
	for i := range h.Rules {
		if h.Rules[i].Kind == kind {
			return &h.Rules[i]
		}
	}
	return nil
}

// Without a q.s. line the others give way in proportion. Worked by hand: oil 60,
// wax 30, butter 10; raising butter to u leaves (100 − u)/90 of the others.
// A certificate on wax is kept by raising butter; one on butter binds at its
// figure.
func TestHeadroomWithoutRest(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "oil", "60", "wax", "30", "fo", "10")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.GB, 20261125,
		formulatest.Sheet(t, "oil", "Squalane", "100"),
		formulatest.Certified(t, formulatest.ScentSheet("wax"), "5A", "45"),
		formulatest.Certified(t, formulatest.ScentSheet("fo"), "5A", "12"))
	fo := headroomOf(t, Headrooms(r), "fo")
	// screen: fo/12 + wax/45 = 1 with wax = 30 × (100 − u)/90
	//   u/12 + (100 − u)/135 = 1; (135 u + 1200 − 12 u)/1620 = 1; u = 420/123 = 140/41
	require.NotNil(t, fo.AtMostPct)
	assert.Equal(t, "140/41", fo.AtMostPct.Exact())
	assert.Equal(t, ruleScreen, fo.Rules[0].Kind)
	assert.Equal(t, "12", roomOf(fo, ruleCertificate).AtMostPct.Exact())
}

// TestHeadroomOnBothSides runs the checks again with each material at its answer
// and just above it: at the answer no rule it touches is broken, above it the
// binding one is.
func TestHeadroomOnBothSides(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	tested := 0
	for round := range 60 {
		productType := []string{"body-lotion", "shower-gel", "face-cream"}[round%3]
		category := map[string]string{"body-lotion": "5A", "shower-gel": "9", "face-cream": "5B"}[productType]
		sheets := []*ingredients.Sheet{formulatest.Sheet(t, "water", "Aqua", "100")}
		lines := []string{"water", "q.s."}
		add := func(s *ingredients.Sheet, pct exact.Num) {
			sheets = append(sheets, s)
			lines = append(lines, s.ID, pct.Exact())
		}
		keeper := formulatest.Sheet(t, "keeper", "Phenoxyethanol", "85-92", "Ethylhexylglycerin", "q.s.")
		keeper.Functions = []string{"preservative"}
		add(keeper, exact.Frac(int64(20+rng.IntN(120)), 100))
		sorbate := formulatest.Sheet(t, "sorbate", "Potassium Sorbate", "99-100", "Aqua", "q.s.")
		sorbate.Functions = []string{"preservative"}
		add(sorbate, exact.Frac(int64(1+rng.IntN(90)), 100))
		add(formulatest.Sheet(t, "extract", "Glycerin", "q.s.", "Phenoxyethanol", "0.5-1"),
			exact.Frac(int64(rng.IntN(90)+1), 10))
		for i := range 1 + rng.IntN(3) {
			s := formulatest.Certified(t, formulatest.ScentSheet(fmt.Sprintf("fo-%d", i)), category,
				exact.Frac(int64(5+rng.IntN(40)), 10).Exact())
			add(s, exact.Frac(int64(1+rng.IntN(120)), 100))
		}
		base := formulatest.WithFormula(t, formula.Percent, lines...)
		r := calctest.Assess(t, base, &formula.Variant{}, productType, rows.EU, 20261125, sheets...)
		for _, h := range Headrooms(r) {
			if h.AtMostPct == nil || h.Rules[0].Kind == RuleTotal || h.Rules[0].Kind == ruleMargin || h.Ingredient == "water" {
				continue
			}
			tested++
			touched := map[string]bool{}
			for _, rule := range h.Rules {
				touched[string(rule.Kind)+rule.Rule] = true
			}
			at := broken(calctest.Assess(t, withAmount(base, h.Ingredient, *h.AtMostPct), &formula.Variant{},
				productType, rows.EU, 20261125, sheets...))
			for rule := range at {
				require.False(t, touched[rule], "%s at %s breaks %s", h.Ingredient, h.AtMostPct.Exact(), rule)
			}
			above := h.AtMostPct.Mul(exact.Frac(1_000_001, 1_000_000))
			over := broken(calctest.Assess(t, withAmount(base, h.Ingredient, above), &formula.Variant{}, productType,
				rows.EU, 20261125, sheets...))
			require.True(t, over[string(h.Rules[0].Kind)+h.Binding], "%s above %s: %v", h.Ingredient, h.AtMostPct.Exact(), over)
		}
	}
	require.Greater(t, tested, 100)
}

// broken names the rules that an assessment finds broken, from its verdicts
// alone.
func broken(r *calc.Result) map[string]bool {
	out := map[string]bool{}
	for _, c := range r.Limits {
		if c.Verdict == limits.LimitExceeded {
			out[string(ruleLimit)+"annex "+c.Row.Annex+"/"+c.Row.Entry+", "+formula.JoinAnd(c.Substances)] = true
		}
	}
	for _, f := range r.Fragrances {
		if f.Status == standards.FragranceExceeded {
			out[string(ruleCertificate)+"certificate of "+f.Ingredient+", category "+f.Category] = true
		}
	}
	for _, s := range r.FragranceSums {
		if s.Count > 1 && exact.Int(1).Less(s.Ratio) {
			out[string(ruleScreen)+"several fragrances together, Σ use ÷ limit"] = true
		}
	}
	return out
}

func withAmount(p *formula.Product, ingredient string, amount exact.Num) *formula.Product {
	q := *p
	q.Formula.Phases = []formula.Phase{p.Formula.Phases[0]}
	q.Formula.Phases[0].Lines = append([]formula.Line(nil), p.Formula.Phases[0].Lines...)
	for i, l := range q.Formula.Phases[0].Lines {
		if l.Ingredient == ingredient {
			q.Formula.Phases[0].Lines[i].Amount = amount
		}
	}
	return &q
}

// The margin of safety binds where its own arithmetic says: at that content the
// margin is the target.
func TestHeadroomOfMargins(t *testing.T) {
	keeper := formulatest.Sheet(t, "keeper", "Phenoxyethanol", "100")
	keeper.Functions = []string{"preservative"}
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "keeper", "0.9")
	sheets := []*ingredients.Sheet{formulatest.Sheet(t, "water", "Aqua", "100"), keeper}
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125, sheets...)
	at := func(rule string) *calc.Result {
		for _, room := range headroomOf(t, Headrooms(r), "keeper").Rules {
			if room.Rule == rule {
				return calctest.Assess(t, withAmount(p, "keeper", *room.AtMostPct), &formula.Variant{}, "body-lotion",
					rows.EU, 20261125, sheets...)
			}
		}
		require.Fail(t, "no rule "+rule)
		return nil
	}
	margin := at("margin of safety of Phenoxyethanol").Margins[0]
	assert.Equal(t, "Phenoxyethanol", margin.INCI)
	assert.InEpsilon(t, margin.Target.Value, margin.MoS, 1e-9)
	aggregate := at("aggregate margin of Phenoxyethanol").Aggregates[0]
	assert.Equal(t, "Phenoxyethanol", aggregate.INCI)
	assert.InEpsilon(t, aggregate.Target.Value, aggregate.MoS, 1e-9)
}

// A filter that is there in nano form alone has the room that its aggregate margin leaves, as
// any other form has.
func TestHeadroomOfNano(t *testing.T) {
	filter := formulatest.Sheet(t, "filter", "Octocrylene", "100")
	filter.Functions = []string{"uv filter"}
	filter.Composition.Constituents[0].Nano = true
	formulatest.Tox(t, filter, "NOAEL", "100", "10", "")
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "filter", "5")
	r := calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"), filter)
	require.Len(t, r.Aggregates, 1)
	require.Equal(t, "Octocrylene (nano)", r.Aggregates[0].Name())
	require.NotNil(t, r.Aggregates[0].HighestPct)
	for _, room := range headroomOf(t, Headrooms(r), "filter").Rules {
		if room.Rule == "aggregate margin of Octocrylene" {
			assert.InEpsilon(t, *r.Aggregates[0].HighestPct, room.AtMostPct.Float(), 1e-9)
			return
		}
	}
	require.Fail(t, "no rule of the aggregate margin")
}

// A material that is all of the product has no room, nor has one of which there is none.
func TestNoRoom(t *testing.T) {
	assert.Empty(t, Headrooms(calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "100"),
		&formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t))))
	mix := formula.Mixture{Shares: []formula.Share{{Ingredient: "a", Pct: formulatest.Num(t, "100")}, {Ingredient: "b"}}}
	assert.Empty(t, moversOf(mix))
	mix = formula.Mixture{Shares: []formula.Share{{Ingredient: "a", Pct: formulatest.Num(t, "60"), Rest: true},
		{Ingredient: "b", Pct: formulatest.Num(t, "40"), Slot: "s"}, {Ingredient: "c", Slot: "s"}}}
	movers := moversOf(mix)
	require.Len(t, movers, 2)
	assert.Equal(t, []string{"b", "s"}, []string{movers[0].Ingredient, movers[1].Slot})
	assert.Equal(t, "100", movers[0].Room.Exact())
	assert.Equal(t, "0.025", movers[0].Rate["b"].Exact())
	assert.Equal(t, "-1/60", movers[0].Rate["a"].Exact())
}
