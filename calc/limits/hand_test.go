package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/law/trade"
	"gallipot/calc/purpose"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// brought is a substance with its contents from raw materials, by composition.
func brought(t testing.TB, inci string, pairs ...string) *LimitUse {
	s := &formula.Substance{INCI: inci, MergeKey: ingredients.NameKey(inci)}
	for i := 0; i < len(pairs); i += 2 {
		pct := formulatest.Range(t, pairs[i+1])
		s.Total = s.Total.Add(pct)
		s.Pct = s.Pct.Add(pct)
		s.Contributions = append(s.Contributions,
			formula.Contribution{Ingredient: pairs[i], Pct: pct, Route: formula.ByComposition,
				LinePos: exact.Pos{File: "p", Line: i + 1}})
	}
	return &LimitUse{S: s, PerComp: []*formula.Substance{s}}
}

func handRun(t testing.TB, shares ...string) *Run {
	mix := formula.Mixture{}
	for i := 0; i < len(shares); i += 2 {
		mix.Shares = append(mix.Shares, formula.Share{Ingredient: shares[i], Pct: formulatest.Num(t, shares[i+1])})
	}
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	return &Run{In: in, Comps: []*formula.Composition{{Mixture: mix}}, Matcher: matcherOf(in.Session)}
}

// Two substances of one limit of 1 %, the second worth half, by hand: 0.8 and 0.6 × 0.5
// are 1.1. With their proportions 1.4 × 1 / 1.1 = 14/11 passes. Of the first material
// 0.8 × (1 − 0.3) / 0.8 = 0.7; of the second, 6 % with 10 % in it, 6 × 0.2 / 0.3 = 4.
func TestCountedByHand(t *testing.T) {
	run := handRun(t, "a", "0.8", "b", "6")
	row := &annex.Limit{Annex: "III", Entry: "1", MaxPct: formulatest.Ptr(formulatest.Num(t, "1")),
		Basis: annex.Basis{Text: "as acid"}}
	terms := []Term{{U: brought(t, "A", "a", "0.8"), Factor: exact.Int(1), Sure: true, Own: true},
		{U: brought(t, "B", "b", "0.6"), Factor: exact.Frac(1, 2), Sure: true, remark: "as told"}}
	c := run.Compare(LimitCheck{Row: row}, terms, nil, row.MaxPct, false)
	assert.Equal(t, LimitExceeded, c.Verdict)
	assert.Equal(t, "more than 1 % as acid in the product; as told", c.Reason)
	assert.Equal(t, "1.1", c.Content.Max.Exact())
	assert.Equal(t, "14/11", c.HighestPct.Exact())
	require.Len(t, c.Room(), 2)
	assert.Equal(t, []string{"a", "0.7", "0.8"},
		[]string{c.Room()[0].Ingredient, c.Room()[0].AtMostPct.Exact(), c.Room()[0].UsePct.Exact()})
	assert.Equal(t, []string{"b", "4", "6"},
		[]string{c.Room()[1].Ingredient, c.Room()[1].AtMostPct.Exact(), c.Room()[1].UsePct.Exact()})
	require.Len(t, c.Basis(), 2)
	assert.Equal(t, "0.8 % A as acid", wordstest.Term(c.Basis()[0]))
	assert.Equal(t, "0.6 % B × 0.5 = 0.3 % as acid (all of B is counted, the cautious reading of the row)",
		wordstest.Term(c.Basis()[1]))
	assert.Equal(t, "1.4", c.Shape.plain.Max.Exact())
	assert.Len(t, c.Contributions, 2)

	// one that may hold: kept either way, or open
	terms[1].Sure = false
	c = run.Compare(LimitCheck{Row: row}, terms, []string{law.MissingFunction}, row.MaxPct, false)
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.Contains(t, c.Reason, "more than 1 % as acid if all of it counts, which depends on ")
	assert.NotEmpty(t, c.Missing)
	terms[1].Factor = exact.Frac(1, 3) // 0.8 + 0.2 = 1
	c = run.Compare(LimitCheck{Row: row}, terms, nil, row.MaxPct, false)
	assert.Equal(t, LimitKept, c.Verdict)
	assert.True(t, c.Shape.either)
	assert.Equal(t, "kept either way: at most 1 % as acid even if it applies; as told", c.Reason)
	one := run.Compare(LimitCheck{Row: row}, terms[1:], nil, row.MaxPct, false)
	assert.Equal(t, "kept either way: at most 1 % as acid even if it applies; as told", one.Reason, "of one substance too")
	terms[1].Sure = true
	c = run.Compare(LimitCheck{Row: row}, terms, nil, row.MaxPct, false)
	assert.Equal(t, LimitKept, c.Verdict)
	assert.False(t, c.Shape.either)
	assert.Equal(t, "not more than 1 % as acid; as told", c.Reason)
	assert.Equal(t, CheckFigure, c.Shape.Kind)
	c = run.Compare(LimitCheck{Row: row}, terms, nil, row.MaxPct, true)
	assert.Equal(t, LimitExceeded, c.Verdict, "just at the figure where it must be below")
	assert.Contains(t, c.Reason, "more than just below 1 % as acid in the product")
	half := formulatest.Num(t, "1.5")
	c = run.Compare(LimitCheck{Row: row}, terms, nil, &half, true)
	assert.Equal(t, "below 1.5 %; as told", c.Reason)

	// what the table has no factor for is counted whole, and that alone breaks nothing
	terms[1].whole, terms[1].Factor = true, exact.Int(1)
	c = run.Compare(LimitCheck{Row: row}, terms, nil, row.MaxPct, false)
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.Equal(t, missingWords([]string{missingFactor}), c.Missing)
	assert.Contains(t, wordstest.Term(c.Basis()[1]), "no factor")

	// no figure
	c = run.Compare(LimitCheck{Row: row}, terms, nil, nil, false)
	assert.Equal(t, LimitNoFigure, c.Verdict)
	assert.Contains(t, c.Reason, "it applies and sets no figure")
	assert.Nil(t, c.HighestPct)
	terms[1].Sure = false
	c = run.Compare(LimitCheck{Row: row}, terms, []string{law.MissingFunction}, nil, false)
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.Contains(t, c.Reason, "it sets no figure; whether it applies depends on ")

	// one substance without a basis needs no arithmetic; several do
	plain := &annex.Limit{Annex: "III", Entry: "1"}
	c = run.Compare(LimitCheck{Row: plain}, terms[:1], nil, row.MaxPct, false)
	assert.Empty(t, c.Basis())
	assert.Equal(t, "not more than 1 %", c.Reason)
	c = run.Compare(LimitCheck{Row: plain}, terms, nil, row.MaxPct, false)
	assert.Len(t, c.Basis(), 2)
	// the others exceed it without the material: none of it passes
	over := run.Compare(LimitCheck{Row: plain},
		[]Term{{U: brought(t, "A", "a", "0.8", "b", "1.2"), Factor: exact.Int(1), Sure: true, Own: true}}, nil,
		row.MaxPct, false)
	require.Len(t, over.Room(), 2)
	assert.Nil(t, over.Room()[0].AtMostPct)
	assert.Equal(t, "1", over.Room()[1].AtMostPct.Exact()) // 6 × (1 − 0.8) / 1.2
}

// A limit on a residue: all of the substance within it keeps it; else it is asked for.
func TestResidueByHand(t *testing.T) {
	run := handRun(t, "a", "1")
	limit := formulatest.Num(t, "0.5")
	check := func(basis, content string) LimitCheck {
		kinds := map[string]annex.BasisKind{"residual monomer": annex.BasisResidue,
			"as peanut protein": annex.BasisResidue, "after mixing for use": annex.BasisMixture,
			"as percentage of the oil": annex.BasisShare}
		row := &annex.Limit{Annex: "III", Entry: "1", MaxPct: &limit, Basis: annex.Basis{Text: basis, Kind: kinds[basis]}}
		return run.Compare(LimitCheck{Row: row},
			[]Term{{U: brought(t, "A", "a", content), Factor: exact.Int(1), Sure: true, Own: true}}, nil, &limit, false)
	}
	c := check("residual monomer", "0.5")
	assert.Equal(t, LimitKept, c.Verdict)
	assert.Equal(t, "all of it is not more than 0.5 %, so the part that counts (residual monomer) is not either", c.Reason)
	assert.Equal(t, checkResidue, c.Shape.Kind)
	assert.Nil(t, c.HighestPct)
	c = check("residual monomer", "0.6")
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.Equal(t, []string{"the content that counts: residual monomer"}, c.Missing)
	assert.Equal(t, "the limit of 0.5 % counts not the substance but its residual monomer", c.Reason)
	assert.Equal(t, "part", c.Shape.state)
	c = check("as peanut protein", "0.6")
	assert.Equal(t, "the limit of 0.5 % counts not the substance but its peanut protein", c.Reason)
	c = check("after mixing for use", "0.6")
	assert.Equal(t, []string{"how it is mixed for use"}, c.Missing)
	assert.Equal(t, "mixed", c.Shape.state)
	assert.Equal(t, "the limit of 0.5 % counts the mixture the user makes; as sold it is more", c.Reason)
	c = check("as percentage of the oil", "0.1")
	assert.Equal(t, LimitUndecided, c.Verdict, "a share of something else is not settled by the content")
	for _, c := range []struct {
		as, name string
		want     bool
	}{
		{"*acid", "Benzoic Acid", true}, {"*phenol", "Exemplum Phenol", true},
		{"benzoic acid", "Benzoic Acid", true}, {"*acid", "Sodium Benzoate", false}, {"salt", "Table Salt", false},
		{"ammonia", "Ammonia", true}, {"*", "Anything", true}, {"zinc", "Zinc", true}, {"", "Zinc", false},
	} {
		assert.Equal(t, c.want, annex.Basis{As: formula.List(c.as)}.Is(c.name), "%s %s", c.as, c.name)
	}
}

// Parts of a substance by raw material: a declaration counts with what it has beyond
// the composition of its own line.
func TestPartsByHand(t *testing.T) {
	at := func(line int) exact.Pos { return exact.Pos{File: "p", Line: line} }
	k := func(ingredient string, line int, route formula.Route, pct string) formula.Contribution {
		return formula.Contribution{Ingredient: ingredient, LinePos: at(line), Route: route, Pct: formulatest.Range(t, pct)}
	}
	parts := func(cs ...formula.Contribution) (out []string) {
		for _, p := range PartsOf(&formula.Substance{Contributions: cs}) {
			out = append(out, p.Ingredient+" "+formula.RangeText(p.Pct)+" line "+formula.Itoa(p.pos.Line))
		}
		return out
	}
	assert.Equal(t, []string{"oil 0.06 line 1", "fo 0.05 line 2"},
		parts(k("oil", 1, formula.ByComposition, "0.04"), k("oil", 1, formula.ByDeclaration, "0.06"),
			k("fo", 2, formula.ByDeclaration, "0.05")))
	assert.Equal(t, []string{"oil 0.04 line 1"},
		parts(k("oil", 1, formula.ByComposition, "0.04"), k("oil", 1, formula.ByDeclaration, "0.03")))
	assert.Equal(t, []string{"oil 0.07 line 1"},
		parts(k("oil", 1, formula.ByComposition, "0.04"), k("oil", 2, formula.ByDeclaration, "0.03")), "another line")
	assert.Equal(t, []string{"oil 0.05 line 1"},
		parts(k("oil", 1, formula.ByComposition, "0.02"), k("oil", 1, formula.ByComposition, "0.03"),
			k("oil", 1, formula.ByDeclaration, "0.05")))
	assert.Equal(t, []string{"oil 0.05 line 1", "fo 0.06 line 1"},
		parts(k("oil", 1, formula.ByImpurity, "0.05"), k("fo", 1, formula.ByDeclaration, "0.06")))
	assert.Equal(t, []string{"oil 0.05 line 1", "fo 0.06 line 1"},
		parts(k("oil", 1, formula.ByComposition, "0.05"), k("fo", 1, formula.ByDeclaration, "0.06")),
		"two materials of one slot")
	assert.Equal(t, []string{"oil 0.1 line 1"},
		parts(k("oil", 1, formula.ByComposition, "0.04"), k("oil", 1, formula.ByDeclaration, "0.05"),
			k("oil", 1, formula.ByComposition, "0.02"), k("oil", 1, formula.ByDeclaration, "0.05")),
		"two lines at one place: each declaration beside its own composition")

	two := brought(t, "A", "a", "1", "b", "2")
	assert.Equal(t, "3", Term{U: two, Factor: exact.Int(1)}.in(0).Max.Exact())
	assert.Equal(t, "4", Term{U: two, Factor: exact.Int(2), Only: map[string]bool{"b": true}}.in(0).Max.Exact())
	assert.Equal(t, "0", Term{U: &LimitUse{PerComp: []*formula.Substance{nil}}, Factor: exact.Int(2)}.in(0).Max.Exact())
	terms := []Term{{U: two, Factor: exact.Int(1), Sure: true}, {U: two, Factor: exact.Int(1)},
		{U: two, Factor: exact.Int(1), Sure: true, whole: true}}
	assert.Equal(t, []string{"9", "3"}, []string{total(terms, 0, false).Max.Exact(), total(terms, 0, true).Max.Exact()})
	assert.Len(t, sureTerms(terms), 1)
}

// When the wording of a row is due, by its columns.
func TestWhenWordingIsDue(t *testing.T) {
	lotion, _ := law.ProductType(table.Builtin(), "body-lotion")
	baby, _ := law.ProductType(table.Builtin(), "baby-lotion")
	run := handRun(t, "a", "1")
	due := func(pt *trade.ProductType, verdict LimitVerdict, duty annex.LabelDuty, content string) labelDue {
		u := brought(t, "A", "a", "1")
		situation := law.SituationOf(pt).Complete()
		u.certain = &situation
		c := LimitCheck{Row: &annex.Limit{LabelText: "avoid <name>", Label: duty}, Verdict: verdict,
			Content: formulatest.Range(t, content), Shape: checkShape{Uses: []*LimitUse{u}}}
		return run.label(&c)
	}
	where := func(text string) *condition.Condition {
		c, err := condition.Parse(text)
		require.NoError(t, err)
		return &c
	}
	var always annex.LabelDuty
	assert.Equal(t, labelCertain, due(lotion, LimitKept, always, "1"))
	assert.Equal(t, labelMaybe, due(lotion, LimitUndecided, always, "1"))
	assert.Equal(t, labelNone, due(lotion, LimitNotApplicable, always, "1"))
	above := annex.LabelDuty{AbovePct: formulatest.Ptr(formulatest.Num(t, "0.05"))}
	assert.Equal(t, labelNone, due(lotion, LimitKept, above, "0.05"))
	assert.Equal(t, labelMaybe, due(lotion, LimitKept, above, "0.01-0.06"))
	assert.Equal(t, labelCertain, due(lotion, LimitKept, above, "0.06"))
	assert.Equal(t, labelMaybe, due(lotion, LimitUndecided, above, "0.06"))
	upTo := annex.LabelDuty{NotUpToPct: formulatest.Ptr(formulatest.Num(t, "0.05"))}
	assert.Equal(t, labelMaybe, due(lotion, LimitKept, upTo, "0.05"))
	assert.Equal(t, labelCertain, due(lotion, LimitKept, upTo, "0.06"))
	assert.Equal(t, labelMaybe, due(lotion, LimitUndecided, upTo, "0.06"))
	assert.Equal(t, labelNone, due(lotion, LimitKept, annex.LabelDuty{Condition: where("product=toothpaste")}, "1"))
	assert.Equal(t, labelCertain, due(lotion, LimitKept, annex.LabelDuty{Condition: where("product=body-lotion")}, "1"))
	assert.Equal(t, labelMaybe, due(lotion, LimitKept, annex.LabelDuty{Open: true}, "1"))
	assert.Equal(t, labelCertain, due(lotion, LimitKept, annex.LabelDuty{When: "with others of its kind"}, "1"),
		"words alone decide nothing")
	young := annex.LabelDuty{Condition: where("leave-on & population=under-3"), Alone: true}
	wash, _ := law.ProductType(table.Builtin(), "shower-gel")
	assert.Equal(t, labelNone, due(wash, LimitKept, young, "1"))
	assert.Equal(t, labelMaybe, due(lotion, LimitNotApplicable, young, "1"), "whom it is for is not stated")
	assert.Equal(t, labelCertain, due(baby, LimitNotApplicable, young, "1"), "by its own condition, whatever the row says")

	assert.Equal(t, []labelDue{labelCertain, labelMaybe, labelNone},
		[]labelDue{dueOf(law.Holds), dueOf(law.Undecided), dueOf(law.DoesNot)})

	row := func(text, when string) *annex.Limit {
		return &annex.Limit{LabelText: text, Label: annex.LabelDuty{When: when}, Row: rows.Row{Key: text}}
	}
	check := func(r *annex.Limit, l labelDue, names ...string) LimitCheck {
		return LimitCheck{Row: r, Substances: names, Shape: checkShape{label: l}}
	}
	first, second := row("contains <name>", "Label it"), row("avoid the eyes", "")
	again := row("avoid the eyes", "Label sometimes")
	texts := LabelTexts([]LimitCheck{check(first, labelCertain, "A$1", "B"), check(second, labelMaybe, "A"),
		check(first, labelNone, "X"), check(again, labelCertain, "A", "C"), check(second, labelMaybe, "D")})
	require.Len(t, texts, 2)
	assert.Equal(t, "contains A$1 and B", texts[0].Text)
	assert.Equal(t, "Label it", texts[0].When)
	assert.Equal(t, []string{"A", "C", "D"}, texts[1].Substances)
	assert.True(t, texts[1].Certain, "one row decides")
	assert.Same(t, again, texts[1].Row)
	assert.Equal(t, "Label sometimes", texts[1].When)
	fs := run.labelFindings([]LimitCheck{check(first, labelMaybe, "A"), check(second, labelCertain, "B")}, 20261125)
	require.Equal(t, []string{"note label-wording", "note label-wording"}, formulatest.Codes(fs))
	assert.Equal(t, "the label may need the words “contains A”, which are printed as the cautious choice",
		wordstest.Said(fs[0]).Message)
	assert.Equal(t, "let the assessor say whether they are required; the row says: Label it", wordstest.Said(fs[0]).Fix)
	assert.Equal(t, "the label needs the words “avoid the eyes”", wordstest.Said(fs[1]).Message)
	assert.Equal(t, "print the words on label and pack", wordstest.Said(fs[1]).Fix)
}

// Names of entries and plants.
func TestNamesOfEntries(t *testing.T) {
	assert.Equal(t, []int{0, 1, 2, 3, -1}, []int{rank("name"), rank("plant"), rank("cas"), rank("ec"), rank("")})
	assert.Equal(t, "own rule-1", formula.EntryOf(&annex.Limit{Annex: "own", Entry: "rule-1"}))
	assert.Equal(t, "III/98", formula.EntryOf(&annex.Limit{Annex: "III", Entry: "98"}))
	assert.Nil(t, formula.List(""))
	assert.Equal(t, []string{"x"}, formula.List("x"))
	a, b := &annex.Limit{Annex: "III", Entry: "1", Names: []string{"A"}, Row: rows.Row{Key: "a"}},
		&annex.Limit{Annex: "III", Entry: "2", Names: []string{"B"}, Row: rows.Row{Key: "b"}}
	twin := &annex.Limit{Annex: "III", Entry: "3", Names: []string{"A"}}
	a.CAS, b.CAS, twin.CAS = []string{"1"}, []string{"1"}, []string{"1"}
	const fits = "its number fits more than one entry; the plant part and the preparation decide"
	got := decidePreparation([]rowMatch{{a, "cas", "", nil, 0}, {b, "cas", "", nil, 0}})
	assert.Equal(t, []rowMatch{{a, "cas", fits, nil, 0}, {b, "cas", fits, nil, 0}}, got)
	assert.Equal(t, []rowMatch{{a, "name", "", nil, 0}},
		decidePreparation([]rowMatch{{a, "name", "", nil, 0}, {b, "cas", "", nil, 0}}), "the name decides")
	assert.Equal(t, []rowMatch{{a, "cas", "", nil, 0}, {twin, "cas", "", nil, 0}},
		decidePreparation([]rowMatch{{a, "cas", "", nil, 0}, {twin, "cas", "", nil, 0}}), "entries of one meaning")
	assert.Equal(t, []rowMatch{{a, "cas", "", nil, 0}}, decidePreparation([]rowMatch{{a, "cas", "", nil, 0}}))
	assert.Equal(t, []rowMatch{{a, "cas", "other", nil, 0}, {b, "ec", fits, nil, 0}},
		decidePreparation([]rowMatch{{a, "cas", "other", nil, 0}, {b, "ec", "", nil, 0}}))
	// a colour is permitted, whatever else its number stands for; what the name has found is not
	// in doubt, though the entry has other rows that the number finds
	colour := &annex.Limit{Annex: "IV", Entry: "1", Names: []string{"C"}}
	assert.Equal(t, []rowMatch{{colour, "cas", "", nil, 0}, {a, "cas", "", nil, 0}},
		decidePreparation([]rowMatch{{colour, "cas", "", nil, 0}, {a, "cas", "", nil, 0}}))
	named := &annex.Limit{Annex: "III", Entry: "1", Names: []string{"A"}}
	assert.Equal(t, []rowMatch{{named, "name", "", nil, 0}, {a, "cas", fits, nil, 0}, {b, "cas", fits, nil, 0}},
		decidePreparation([]rowMatch{{named, "name", "", nil, 0}, {a, "cas", "", nil, 0}, {b, "cas", "", nil, 0}}))
	r := &annex.Limit{Names: []string{"A", "B"}}
	assert.Same(t, a, narrower(r, []*annex.Limit{r, a}))
	assert.Nil(t, narrower(a, []*annex.Limit{b, r}))
	u, v := brought(t, "A", "a", "1"), brought(t, "B", "b", "1")
	assert.Equal(t, []*LimitUse{u}, without([]*LimitUse{u, v}, []*LimitUse{v}))
	assert.Equal(t, map[string]bool{"a": true, "b": true}, materialsOf([]*LimitUse{u, v}))
	assert.Equal(t, []string{"A", "B"}, NamesOf([]*LimitUse{u, v}))
	v.S.Nano = true
	assert.Equal(t, "B (nano)", v.Name())
	assert.True(t, u.isCertain())
	assert.False(t, brought(t, "A", "a", "0-1").isCertain())
	u.S.Contributions[0].Route = formula.ByImpurity
	assert.False(t, u.isCertain())
}

// TestRolesOfUses: a use has a role surely, maybe or not at all.
func TestRolesOfUses(t *testing.T) {
	u := brought(t, "Exemplum", "plain", "1")
	s := purpose.Situation(formulatest.OfType(t, "body-lotion", formula.Adults, nil), law.Situation{}, u.S)
	assert.Equal(t, law.No, s.Natural)
	assert.Equal(t, law.No, s.Nano)
	u.Roles = purpose.Roles{Main: []string{"a"}, All: []string{"a", "b"}, Known: true}
	for f, want := range map[string][2]bool{"a": {true, true}, "b": {false, true}, "c": {false, false}} {
		sure, may := u.HasRole(f)
		assert.Equal(t, want, [2]bool{sure, may}, f)
	}
	u.Roles.Known = false
	_, may := u.HasRole("c")
	assert.True(t, may)
	u.Roles = purpose.Roles{Main: []string{"a"}, Known: true}
	_, may = u.HasRole("a")
	assert.True(t, may)
}
