package headroom

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

func changesOf(h Headroom) []string {
	var out []string
	for _, c := range h.Changes {
		out = append(out, c.AtPct.Exact()+": "+c.What)
	}
	return out
}

// Where the label changes, by hand. Water q.s. 97.5, glycerin 2, gum 0.5.
//
//	gum u: in order from 1 %; before glycerin above 2; water is 98 − u, so glycerin
//	comes before it above 96
//	glycerin u: in order from 1 %; water is 99.5 − u, before it above 49.75
func TestLabelChangesByHand(t *testing.T) {
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "glycerin", "2", "gum",
		"0.5"), &formula.Variant{}, "shower-gel", rows.GB, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"), formulatest.Sheet(t, "glycerin", "Glycerin", "100"),
		formulatest.Sheet(t, "gum", "Xanthan Gum", "100"))
	hs := Headrooms(r)
	require.Len(t, hs, 2, "the q.s. line has no room of its own")
	gum := headroomOf(t, hs, "gum")
	assert.Equal(t, []string{
		"1: from it on Xanthan Gum is 1 % and stands in order",
		"2: above it Xanthan Gum stands before Glycerin",
		"96: above it Glycerin stands before Aqua",
	}, changesOf(gum))
	assert.Equal(t, []string{
		"1: from it on Glycerin is 1 % and stands in order",
		"49.75: above it Glycerin stands before Aqua",
	}, changesOf(headroomOf(t, hs, "glycerin")))
	assert.Equal(t, "98", gum.AtMostPct.Exact()) // 0.5 and all of the water
	assert.Equal(t, "nothing else left in the formula", gum.Binding)
	assert.Equal(t, "0.5", gum.UsePct.Exact())
	assert.False(t, gum.Below)

	// a blend of half water brings half of what is raised
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "glycerin", "2", "gum",
		"0.5"), &formula.Variant{}, "shower-gel", rows.GB, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"), formulatest.Sheet(t, "glycerin", "Glycerin", "100"),
		formulatest.Sheet(t, "gum", "Xanthan Gum", "50", "Aqua", "50"))
	// gum u/2: 1 % at 2, glycerin's 2 at 4; water 98 − u/2 is 2 at 192, beyond the 98
	assert.Equal(t, []string{
		"2: from it on Xanthan Gum is 1 % and stands in order",
		"4: above it Xanthan Gum stands before Glycerin",
	}, changesOf(headroomOf(t, Headrooms(r), "gum")))
}

// Allergens come onto the label by the portion that reaches the threshold of 0.001 %
// first. By hand: Linalool is 0.05 % of fo and 0.2 % of gorse; fo reaches it at
// 0.001 / 0.05 % = 2 % of its portion, gorse at 0.001 / 0.2 % = 0.5 % of its own.
// The whole pack, half of each, would reach it at 0.8 %.
func TestLabelChangesOfPortions(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "0.05")
	gorse := formulatest.Declared(t, formulatest.ScentSheet("gorse"), ingredients.List2023, "Linalool", "0.2")
	v := &formula.Variant{Portions: []formula.Portion{{Name: "rose", SharePct: formulatest.Num(t, "50"),
		Fill: []formula.Fill{formulatest.Fill("scent", "fo")}},
		{Name: "yellow", SharePct: formulatest.Num(t, "50"), Fill: []formula.Fill{formulatest.Fill("scent", "gorse")}}}}
	linalool := func(scent, name string) []LabelChange {
		var of []LabelChange
		p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":scent", scent)
		for _, c := range headroomOf(t,
			Headrooms(calctest.Assess(t, p, v, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), fo, gorse)),
			name).Changes {
			if c.What == "above it Linalool is declared" {
				of = append(of, c)
			}
		}
		return of
	}
	yellow := func(scent string) []LabelChange {
		return []LabelChange{{AtPct: formulatest.Num(t, "0.5"), UsePct: formulatest.Num(t, scent),
			Portion: "yellow", What: "above it Linalool is declared"}}
	}
	// 1 % of scent: yellow has 0.002 and declares it, rose 0.0005
	assert.Equal(t, yellow("1"), linalool("1", "scent"))
	assert.Equal(t, yellow("1"), linalool("1", "gorse"))
	assert.Empty(t, linalool("1", "fo"), "gorse brings it onto the label anyway")
	// 3 %: each declares it without the other
	assert.Equal(t, yellow("3"), linalool("3", "scent"))
	assert.Empty(t, linalool("3", "gorse"))
	assert.Empty(t, linalool("3", "fo"))
	// 0.4 %: neither does; fo alone would at 2 % of its portion
	assert.Equal(t, yellow("0.4"), linalool("0.4", "gorse"))
	assert.Equal(t, []LabelChange{{AtPct: formulatest.Num(t, "2"), UsePct: formulatest.Num(t, "0.4"),
		Portion: "rose", What: "above it Linalool is declared"}}, linalool("0.4", "fo"))
	assert.Equal(t, yellow("0.4"), linalool("0.4", "scent"))
	// a scent without it never declares it, whatever the other does
	bare := fo
	fo = formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023)
	assert.Equal(t, yellow("0.4"), linalool("0.4", "scent"))
	assert.Empty(t, linalool("0.4", "fo"))
	// of 0.0009 % of it in the scent all of the portion would do, which there is no room for
	fo = formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "0.0009")
	assert.Empty(t, linalool("0.4", "fo"))
	fo = bare
	// exactly at the threshold is not above it: 0.5 % of scent leaves fo its 2 %
	assert.Len(t, linalool("0.5", "fo"), 1)
}

// Portions, by hand: 60 % of the pack with 3 % scent, certificate 4 %. The whole has
// 1.8 % and could have 4: 2.22 times as much; the portion 1.33 times. Linalool, 0.05 %
// of the scent, is above 0.001 % of the whole from 2 % of scent on.
func TestHeadroomOfPortions(t *testing.T) {
	fo := formulatest.Certified(t,
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "0.05"), "5A", "4")
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":scent", "3")
	for _, c := range []struct {
		name  string
		order []int
	}{{"rose first", []int{0, 1}}, {"plain first", []int{1, 0}}} {
		portions := []formula.Portion{{Name: "rose", SharePct: formulatest.Num(t, "60"),
			Fill: []formula.Fill{formulatest.Fill("scent", "fo")}}, {Name: "plain", SharePct: formulatest.Num(t, "40")}}
		v := &formula.Variant{Portions: []formula.Portion{portions[c.order[0]], portions[c.order[1]]}}
		hs := Headrooms(calctest.Assess(t, p, v, "body-lotion", rows.GB, 20261125, formulatest.Squalane(t), fo))
		require.Len(t, hs, 2, "the scent and its slot, each once")
		for _, h := range hs {
			assert.Equal(t, "rose", h.Portion, c.name)
			assert.Equal(t, "3", h.UsePct.Exact())
			assert.Equal(t, "4", h.AtMostPct.Exact())
			assert.Equal(t, "certificate of fo, category 5A", h.Binding)
			assert.Contains(t, changesOf(h), "2: above it Linalool is declared", "% of the portion")
			var rules []string
			for _, rule := range h.Rules {
				if rule.Kind == ruleMargin {
					continue // of the tables' figures
				}
				rules = append(rules, rule.Portion+" "+rule.AtMostPct.Exact()+" of "+rule.UsePct.Exact()+" "+string(rule.Kind))
			}
			// in proportion: 4/3, 4/1.8, 100/3, 100/1.8
			assert.Equal(t, []string{"rose 4 of 3 certificate", " 4 of 1.8 certificate", "rose 100 of 3 total 100",
				" 100 of 1.8 total 100"}, rules)
		}
		assert.Equal(t, "fo", hs[0].Ingredient)
		assert.Equal(t, "scent", hs[1].Slot)
		assert.Equal(t, "", hs[1].Ingredient)
	}
}

// A slot of two scents is raised as one: 0.7 and 0.3 of it, certificates 3 and 0.9 %;
// the second allows 0.9 / 0.3 = 3, the first 3 / 0.7 = 30/7, the sum of both, u × (0.7/3 +
// 0.3/0.9) = 1, 30/17. A scent that may not be used has room for none.
func TestHeadroomOfASlot(t *testing.T) {
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", ":scent", "1")
	v := &formula.Variant{Fill: []formula.Fill{formulatest.Fill("scent", "fo-a", "70", "fo-b", "30")}}
	a, b := formulatest.Certified(t,
		formulatest.Declared(t, formulatest.ScentSheet("fo-a"), ingredients.List2023), "5A", "3"),
		formulatest.Certified(t, formulatest.Declared(t, formulatest.ScentSheet("fo-b"), ingredients.List2023), "5A", "0.9")
	hs := Headrooms(calctest.Assess(t, p, v, "body-lotion", rows.GB, 20261125, formulatest.Squalane(t), a, b))
	slot := headroomOf(t, hs, "scent")
	got := map[string]string{}
	for _, r := range slot.Rules {
		got[r.Rule] = r.AtMostPct.Exact()
	}
	assert.Equal(t, map[string]string{
		"certificate of fo-a, category 5A":           "30/7",
		"certificate of fo-b, category 5A":           "3",
		"several fragrances together, Σ use ÷ limit": "30/17",
		"nothing else left in the formula":           "100",
	}, got)
	assert.Equal(t, "1", slot.UsePct.Exact())
	// fo-a alone, 0.7 now: u/3 + 0.3/0.9 = 1 at 2; base and itself are 99.7
	alone := headroomOf(t, hs, "fo-a")
	assert.Equal(t, "2", alone.AtMostPct.Exact())
	assert.Equal(t, "99.7", alone.Rules[len(alone.Rules)-1].AtMostPct.Exact())

	b.FragranceLimits.Limits[0].NotPermitted = true
	hs = Headrooms(calctest.Assess(t, p, v, "body-lotion", rows.GB, 20261125, formulatest.Squalane(t), a, b))
	assert.Equal(t, "0", headroomOf(t, hs, "fo-b").AtMostPct.Exact())
	assert.Equal(t, "certificate of fo-b, category 5A", headroomOf(t, hs, "fo-b").Binding)
	for _, r := range headroomOf(t, hs, "fo-a").Rules {
		assert.NotEqual(t, ruleScreen, r.Kind, "one certificate is no sum")
	}
}

// A rule that is broken without the material leaves no room at all: phenoxyethanol
// 1.2 % from one material, 0.9 % from another, limit 1.0 % (Annex V/29).
func TestHeadroomOfABrokenRule(t *testing.T) {
	keeper, extract := formulatest.Material(t, "keeper", "preservative", "Phenoxyethanol", "100"),
		formulatest.Material(t, "extract", "preservative", "Phenoxyethanol", "12", "Glycerin", "88")
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "keeper", "0.9",
		"extract", "10"), &formula.Variant{}, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), keeper, extract)
	h := headroomOf(t, Headrooms(r), "keeper")
	limit := roomOf(h, ruleLimit)
	require.NotNil(t, limit)
	assert.Nil(t, limit.AtMostPct)
	assert.Nil(t, h.AtMostPct)
	assert.Equal(t, "annex V/29, Phenoxyethanol", h.Binding)
	// the extract: 0.9 of 1 is taken, 0.1 / 0.12 = 5/6 is left
	assert.Equal(t, "5/6", roomOf(headroomOf(t, Headrooms(r), "extract"), ruleLimit).AtMostPct.Exact())

	// exactly none left: 0 %, which is a figure
	keeper = formulatest.Material(t, "keeper", "preservative", "Phenoxyethanol", "100")
	extract = formulatest.Material(t, "extract", "preservative", "Phenoxyethanol", "10", "Glycerin", "90")
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "keeper", "0.9",
		"extract", "10"), &formula.Variant{}, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), keeper, extract)
	require.NotNil(t, roomOf(headroomOf(t, Headrooms(r), "keeper"), ruleLimit).AtMostPct)
	assert.Equal(t, "0", roomOf(headroomOf(t, Headrooms(r), "keeper"), ruleLimit).AtMostPct.Exact())
}

func TestOrderOfRooms(t *testing.T) {
	room := func(rule, most string) RuleRoom {
		r := RuleRoom{Rule: rule, UsePct: exact.Int(2)}
		if most != "" {
			r.AtMostPct = formulatest.Ptr(formulatest.Num(t, most))
		}
		return r
	}
	var got []string
	for _, r := range sortRooms([]RuleRoom{room("d", "5"), room("b", ""), room("c", "4"), room("a", ""), room("e", "5")}) {
		got = append(got, r.Rule)
	}
	assert.Equal(t, []string{"a", "b", "c", "d", "e"}, got)
	head := func(most string) Headroom {
		h := Headroom{UsePct: exact.Int(2)}
		if most != "" {
			h.AtMostPct = formulatest.Ptr(formulatest.Num(t, most))
		}
		return h
	}
	assert.True(t, ratioLess(head("3"), head("4")))
	assert.False(t, ratioLess(head("4"), head("4")))
	assert.True(t, ratioLess(head(""), head("4")))
	assert.False(t, ratioLess(head("4"), head("")))
	assert.False(t, ratioLess(head(""), head("")))
	assert.Equal(t, "0.5", exactOf(0.5).Exact())
}

// The rules of limits as headroom counts them: sodium benzoate 0.5 / 0.8475 = 200/339 %
// leave-on (V/1), and no rule of rinse-off products; benzyl alcohol that may preserve, 1 %
// (V/34); a substance that may not be there at all (II/1370).
func TestHeadroomOfLimits(t *testing.T) {
	limits := func(r *calc.Result, id string) map[string]string {
		out := map[string]string{}
		for _, rule := range headroomOf(t, Headrooms(r), id).Rules {
			if rule.Kind == ruleLimit {
				out[rule.Rule] = "none"
				if rule.AtMostPct != nil {
					out[rule.Rule] = rule.AtMostPct.Exact()
				}
			}
		}
		return out
	}
	c := calctest.Case{Product: "body-lotion"}
	salt := formulatest.Material(t, "salt", "preservative", "Sodium Benzoate", "100")
	assert.Equal(t, map[string]string{"annex V/1, Sodium Benzoate": "200/339"}, limits(c.Of(t, salt, "0.5"), "salt"))
	assert.Equal(t, map[string]string{"annex V/34, Benzyl Alcohol (if it applies)": "1"},
		limits(c.Of(t, formulatest.Material(t, "ba", "", "Benzyl Alcohol", "100"), "1.5"), "ba"))
	deg := limits(c.Of(t, formulatest.Material(t, "deg", "solvent", "Diethylene Glycol", "100"), "0.05"), "deg")
	assert.Equal(t, "0", deg["annex II/1370, Diethylene Glycol"])

	// the mixture of isothiazolinones counts its own share alone: 0.0015 / 1.5 % = 0.1
	mix := formulatest.Material(t, "mix", "preservative", "Aqua", "98.5", "Methylchloroisothiazolinone", "1.125",
		"Methylisothiazolinone", "0.375")
	mi := formulatest.Material(t, "mi", "preservative", "Aqua", "90", "Methylisothiazolinone", "10")
	r := calctest.Case{Product: "shampoo"}.Of(t, mix, "0.2", mi, "0.001")
	for rule, most := range limits(r, "mix") {
		if rule == "annex V/39, Methylchloroisothiazolinone and Methylisothiazolinone" {
			assert.Equal(t, "0.1", most)
		}
	}
	assert.NotContains(t, limits(r, "mi"), "annex V/39, Methylchloroisothiazolinone and Methylisothiazolinone")

	// a portion without the substance has no rule of it
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", ":keep", "1")
	p.IntendedFor = formula.Adults
	v := &formula.Variant{Portions: []formula.Portion{{Name: "plain", SharePct: formulatest.Num(t, "40"),
		Fill: []formula.Fill{formulatest.Fill("keep", "water")}},
		{Name: "top", SharePct: formulatest.Num(t, "60"), Fill: []formula.Fill{formulatest.Fill("keep", "salt")}}}}
	r = calctest.Assess(t, p, v, "body-lotion", rows.EU, today,
		formulatest.Material(t, "water", "solvent", "Aqua", "100"), salt)
	assert.Equal(t, map[string]string{"annex V/1, Sodium Benzoate": "200/339"}, limits(r, "salt"))
}

// Colourants stand last whatever their content, and declared allergens stand beside
// nothing: neither changes its place.
func TestLabelChangesLeaveOutColourAndAllergens(t *testing.T) {
	fo := formulatest.Certified(t,
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "30"), "5A", "10")
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "5", "white",
		"0.5", "gum", "0.4"), &formula.Variant{}, "body-lotion", rows.GB, 20261125,
		formulatest.Squalane(t), fo, formulatest.Material(t, "white", "colour", "CI 77891", "100"),
		formulatest.Sheet(t, "gum", "Xanthan Gum", "100"))
	for _, h := range Headrooms(r) {
		for _, c := range h.Changes {
			assert.NotContains(t, c.What, "CI 77891")
			assert.NotContains(t, c.What, "stands before Linalool")
			assert.NotContains(t, c.What, "Linalool is 1 %")
		}
	}
}

// What is prohibited and in the product as a trace alone leaves nothing by its own rule, which says
// what it is about; the other rules stay. Phenoxyethanol 1 % of the product, of 50 % in the blend.
//
// Source: Regulation (EC) 1223/2009 Article 17 (traces), Annex II/343 (dioxane), Annex V/29 (1 %).
func TestHeadroomOfATrace(t *testing.T) {
	blend := formulatest.Impure(t, formulatest.Sheet(t, "blend", "Phenoxyethanol", "50", "Aqua", "50"), "Dioxane", "0.001")
	of := func(sheet *ingredients.Sheet) Headroom {
		return headroomOf(t, Headrooms(calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "water", "q.s.",
			"blend", "1"), &formula.Variant{}, "shower-gel", rows.GB, 20261125,
			formulatest.Sheet(t, "water", "Aqua", "100"), sheet)), "blend")
	}
	h := of(blend)
	assert.Equal(t, "0", h.AtMostPct.Exact())
	assert.Equal(t, []string{"Dioxane"}, h.Trace)
	assert.Equal(t, "annex II/343, Dioxane (a trace)", h.Binding)
	assert.Empty(t, h.Rules[1].Trace)
	assert.Equal(t, "2", h.Rules[1].AtMostPct.Exact())
	// a content is no trace
	h = of(formulatest.Sheet(t, "blend", "Phenoxyethanol", "50", "Aqua", "49", "Dioxane", "1"))
	assert.Equal(t, "0", h.AtMostPct.Exact())
	assert.Empty(t, h.Trace)
	assert.NotContains(t, h.Binding, "trace")
}

// A room that is none comes before one that is some, by whatever name; a change at the
// very start and one at the very end of what is possible are said. Gum of another line is
// 1 % already; of 99 % oil, the rest is 1 %.
func TestEdgesOfHeadroom(t *testing.T) {
	some, none := RuleRoom{Rule: "a", UsePct: exact.Int(1), AtMostPct: formulatest.Ptr(formulatest.Num(t, "4"))},
		RuleRoom{Rule: "z", UsePct: exact.Int(1)}
	for _, rooms := range [][]RuleRoom{{some, none}, {none, some}} {
		assert.Equal(t, "z", sortRooms(rooms)[0].Rule)
	}
	what := "from it on Xanthan Gum is 1 % and stands in order"
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "gum-a", "1", "gum-b",
		"0.5"), &formula.Variant{}, "shower-gel", rows.GB, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"), formulatest.Sheet(t, "gum-a", "Xanthan Gum", "100"),
		formulatest.Sheet(t, "gum-b", "Xanthan Gum", "100"))
	assert.Contains(t, changesOf(headroomOf(t, Headrooms(r), "gum-b")), "0: "+what)
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "water", "q.s.", "oil", "99", "gum",
		"0.5"), &formula.Variant{}, "shower-gel", rows.GB, 20261125,
		formulatest.Sheet(t, "water", "Aqua", "100"), formulatest.Squalane(t),
		formulatest.Sheet(t, "oil", "Squalane", "100"), formulatest.Sheet(t, "gum", "Xanthan Gum", "100"))
	assert.Contains(t, changesOf(headroomOf(t, Headrooms(r), "gum")), "1: "+what)
	// linalool of one scent is just at 0.001 %: any of the other puts it on the label
	a := formulatest.Declared(t, formulatest.ScentSheet("fo-a"), ingredients.List2003, "Linalool", "0.1")
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo-a", "1", "fo-b",
		"0.5"), &formula.Variant{}, "body-lotion", rows.GB, 20261125,
		formulatest.Squalane(t), a, formulatest.Declared(t, formulatest.ScentSheet("fo-b"), ingredients.List2003,
			"Linalool", "0.1"))
	assert.Contains(t, changesOf(headroomOf(t, Headrooms(r), "fo-b")), "0: above it Linalool is declared")
	// and of another it is so where the scent is all there is room for, 98 and 2 %
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "oil", "98", "base", "q.s.", "fo", "1"),
		&formula.Variant{}, "body-lotion", rows.GB, 20261125,
		formulatest.Squalane(t), formulatest.Sheet(t, "oil", "Squalane", "100"),
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "0.05"))
	assert.Contains(t, changesOf(headroomOf(t, Headrooms(r), "fo")), "2: above it Linalool is declared")
}

// What fats and lye become is moved by no line of the formula, and has no headroom.
func TestNoHeadroomOfAReaction(t *testing.T) {
	hs := Headrooms(calctest.PotashSoap(t, nil))
	require.NotEmpty(t, hs)
	for _, h := range hs {
		assert.NotContains(t, h.Ingredient, "lye reaction")
	}
}
