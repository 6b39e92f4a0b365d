package otherlaw

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/calc/limits"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

var always = condition.Condition{Clauses: []condition.Clause{{Terms: []condition.Term{{Kind: "all"}}}}}

// of runs a body lotion that holds one content of a substance, as such or as a trace, and
// returns the run and the use of that substance.
func of(t *testing.T, content string, trace bool) (rules, *limits.LimitUse) {
	t.Helper()
	return ofType(t, "body-lotion", "Exemplum Acid", content, trace)
}

func ofType(t *testing.T, kind, name, content string, trace bool) (rules, *limits.LimitUse) {
	t.Helper()
	return under(t, formulatest.OfType(t, kind, formula.Adults, nil), name, content, trace)
}

func under(t *testing.T, in *formula.Input, name, content string, trace bool) (rules, *limits.LimitUse) {
	t.Helper()
	in.Market, in.Date, in.Variant = rows.EU, 20261129, &formula.Variant{}
	m := formulatest.Sheet(t, "m", name, content, "Squalane", "q.s.")
	if trace {
		m = formulatest.Impure(t, formulatest.Squalane(t), name, content)
		m.ID = "m"
	}
	in.Sheets = map[string]*ingredients.Sheet{"m": m}
	in.Materials = formula.PrepareAll(in.Sheets, in.Dict)
	comps := []*formula.Composition{formula.Compose(formula.Mixture{Shares: []formula.Share{{Ingredient: "m",
		Pct: formula.Hundred}}}, in.Materials)}
	run := rules{limits.GroundOf(in, comps).Run(in)}
	for u := range run.Every() {
		if u.S.INCI == name {
			return run, u
		}
	}
	require.Fail(t, "not there")
	return run, nil
}

func rule(t *testing.T, kind, about, limit string) *annex.OtherRule {
	o := &annex.OtherRule{Kind: kind, About: about, Area: "REACH", Subject: "acids", Markets: []rows.Market{rows.EU},
		Condition: always, Names: []string{"Exemplum Acid"}, FigureSeen: true}
	o.Row.Key, o.Row.Source, o.Row.Seen = "k", "an act", "seen"
	if limit != "" {
		o.LimitPct, o.Limit, o.Unit = formulatest.Ptr(formulatest.Num(t, limit)), limit, "%"
	}
	return o
}

// A rule of law at its figure and beside it, in force and to come, by hand: 1 % is allowed.
func TestRuleOfLaw(t *testing.T) {
	for _, c := range []struct {
		content string
		below   bool
		from    int
		verdict verdict
		said    string // severity, code and form
	}{
		{"0.9", false, 0, otherKept, ""},
		{"1", false, 0, otherKept, ""},
		{"1", true, 0, otherExceeded, "stop other-law "},
		{"0.9", true, 0, otherKept, ""},
		{"1.1", false, 0, otherExceeded, "stop other-law "},
		{"0.5-2", false, 0, otherOpen, "ask other-law-open "},
		{"1-2", true, 0, otherExceeded, "stop other-law "},
		{"1-2", false, 0, otherOpen, "ask other-law-open "},
		{"1.1", false, 20270101, otherExceeded, "ask other-law coming"},
		{"0.5-2", false, 20270101, otherOpen, "ask other-law-open coming"},
		{"1.1", false, 20261129, otherExceeded, "stop other-law "},
	} {
		run, u := of(t, c.content, false)
		o := rule(t, annex.KindLaw, annex.AboutSubstance, "1")
		o.Below, o.From = c.below, exact.Date(c.from)
		got, f, ok := run.otherRule(o, u)
		require.True(t, ok)
		assert.Equal(t, c.verdict, got.Verdict, c)
		assert.Equal(t, c.from > 20261129, got.Coming, c)
		said := ""
		if f != nil {
			said = f.Severity.String() + " " + f.Code + " " + f.Form
			content, _ := f.Values.Get("content")
			assert.Equal(t, finding.FourDigits, content.Round)
			assert.Equal(t, got.Content.Max.Exact(), f.Grade.Exact())
			_, strictly := f.Values.Get("strictly")
			assert.Equal(t, c.below, strictly)
			area, _ := f.Values.Get("area")
			assert.Equal(t, "REACH", area.Text)
			assert.NotEmpty(t, f.Sum)
			from, coming := f.Values.Get("from")
			assert.Equal(t, got.Coming, coming)
			if coming {
				assert.Equal(t, "law/substance/2027-01-01", f.Cause)
				assert.Equal(t, "2027-01-01", from.Date().String())
			} else {
				assert.Equal(t, "law/substance", f.Cause)
			}
			assert.Equal(t, []finding.Party{finding.TheMaker}, f.Who)
		}
		assert.Equal(t, c.said, said, c)
	}
	run, u := of(t, "1.1", false)
	o := rule(t, annex.KindLaw, annex.AboutClassification, "")
	c, f, ok := run.otherRule(o, u)
	assert.Equal(t, []any{otherApplies, true}, []any{c.Verdict, ok})
	assert.Nil(t, f)
	o.About = annex.AboutMixture
	c, f, ok = run.otherRule(o, u)
	assert.Equal(t, []any{otherOpen, true, "mixture"}, []any{c.Verdict, ok, f.Form})
	o.About = annex.AboutSubstance // without a figure it says nothing of a substance
	_, _, ok = run.otherRule(o, u)
	assert.False(t, ok)
	o = rule(t, annex.KindLaw, annex.AboutBeads, "1")
	_, _, ok = run.otherRule(o, u)
	assert.False(t, ok, "about particles")
	o = rule(t, annex.KindLaw, annex.AboutSubstance, "1")
	o.Condition = condition.Condition{Clauses: []condition.Clause{{Terms: []condition.Term{{Kind: "rinse-off"}}}}}
	_, _, ok = run.otherRule(o, u)
	assert.False(t, ok, "for what is rinsed off")
	// where it is not known whether it holds, the figure is asked about
	o.Condition = condition.Condition{Clauses: []condition.Clause{{Terms: []condition.Term{{Kind: "function",
		Value: "fragrance"}}}}}
	c, f, ok = run.otherRule(o, u)
	require.True(t, ok)
	assert.Equal(t, []any{otherOpen, "ask other-law-open"}, []any{c.Verdict, f.Severity.String() + " " + f.Code})
	// an impurity counts
	run, u = of(t, "1.1", true)
	c, _, _ = run.otherRule(rule(t, annex.KindLaw, annex.AboutSubstance, "1"), u)
	assert.Equal(t, otherExceeded, c.Verdict)
}

// An opinion never stops: it is said where the content is above its figure, where it found
// none, where it is not for sprays or not for children, and where it judged other products.
func TestOpinionByHand(t *testing.T) {
	for _, c := range []struct {
		name    string
		content string
		change  func(run rules, o *annex.OtherRule)
		verdict verdict
		form    string
	}{
		{"kept", "1", nil, otherKept, ""},
		{"above", "1.1", nil, otherExceeded, "above"},
		{"no figure", "1.1", func(_ rules, o *annex.OtherRule) { o.LimitPct = nil }, otherApplies, "no-level"},
		{"for adults, and it is", "1", func(_ rules, o *annex.OtherRule) { o.AdultsOnly = true }, otherKept, ""},
		{"for adults", "1", func(run rules, o *annex.OtherRule) {
			o.AdultsOnly, run.In.Product.IntendedFor = true, formula.ChildrenThree
		}, otherOpen, "adults"},
		{"for all", "1", func(run rules,
			_ *annex.OtherRule) {
			run.In.Product.IntendedFor = formula.ChildrenThree
		}, otherKept, ""},
		{"no spray", "1", func(_ rules, o *annex.OtherRule) { o.NotIn = "spray" }, otherKept, ""},
		{"of others", "0.1", func(_ rules, o *annex.OtherRule) {
			o.OthersNotJudged = true
			o.Condition = condition.Condition{Clauses: []condition.Clause{{Terms: []condition.Term{{Kind: "rinse-off"}}}}}
		}, otherOpen, "not-judged"},
	} {
		t.Run(c.name, func(t *testing.T) {
			run, u := of(t, c.content, false)
			o := rule(t, annex.KindOpinion, annex.AboutSubstance, "1")
			if c.change != nil {
				c.change(run, o)
			}
			checks, f := run.opinion([]*annex.OtherRule{o}, u)
			require.Len(t, checks, 1)
			assert.Equal(t, c.verdict, checks[0].Verdict)
			if c.form == "" {
				assert.Nil(t, f)
				return
			}
			require.NotNil(t, f)
			assert.Equal(t, []any{finding.Ask, "opinion", c.form}, []any{f.Severity, f.Code, f.Form})
			assert.Equal(t, "opinion/substance", f.Cause)
			content, _ := f.Values.Get("content")
			assert.Equal(t, finding.FourDigits, content.Round)
			_, area := f.Values.Get("area")
			assert.False(t, area)
			assert.Equal(t, []finding.Party{finding.TheAssessor}, f.Who)
		})
	}
	// of products that it did not judge and does not say so of, nothing is said
	run, u := of(t, "1", false)
	o := rule(t, annex.KindOpinion, annex.AboutSubstance, "1")
	o.Condition = condition.Condition{Clauses: []condition.Clause{{Terms: []condition.Term{{Kind: "rinse-off"}}}}}
	checks, f := run.opinion([]*annex.OtherRule{o}, u)
	assert.Empty(t, checks)
	assert.Nil(t, f)
	// a trace is its matter only where it is about one
	run, u = of(t, "1.1", true)
	o = rule(t, annex.KindOpinion, annex.AboutSubstance, "1")
	checks, _ = run.opinion([]*annex.OtherRule{o}, u)
	assert.Empty(t, checks)
	o.About = annex.AboutImpurity
	checks, _ = run.opinion([]*annex.OtherRule{o}, u)
	assert.Len(t, checks, 1)
	// what may be breathed in
	in := formulatest.OfType(t, "deodorant-spray", formula.Adults, nil)
	spray := rules{limits.GroundOf(in, []*formula.Composition{{Mixture: formula.Mixture{}}}).Run(in)}
	assert.True(t, spray.ComesAs("inhalable"))
	assert.False(t, run.ComesAs("spray"))
}

// What a rule rests on is told with its day where it is law, and marked where its figure was
// not read.
func TestSourceOfARule(t *testing.T) {
	run, _ := of(t, "1", false)
	names := func(o *annex.OtherRule) (out []string) {
		v := run.ruleSource(o)
		require.Len(t, v, 1)
		for _, x := range v[0].List {
			out = append(out, x.Name)
		}
		return out
	}
	o := rule(t, annex.KindLaw, annex.AboutSubstance, "1")
	o.From = 20270101
	assert.Equal(t, []string{"source", "markets", "from"}, names(o))
	o.FigureSeen = false
	assert.Equal(t, []string{"source", "markets", "from", "unverified"}, names(o))
	o.LimitPct = nil
	assert.Equal(t, []string{"source", "markets", "from"}, names(o))
	o.Row.Seen = "memory"
	assert.Equal(t, []string{"source", "markets", "from", "unverified"}, names(o))
	o.Kind = annex.KindOpinion
	assert.Equal(t, []string{"source", "markets", "unverified"}, names(o))
}

// A figure that counts an acid takes its salts by the factor of the annexes: sodium
// salicylate is 138.12 ÷ 160.10 = 0.8627 of it by its molar masses; without a basis, or
// without a factor, all of it counts.
func TestFiguresOnABasis(t *testing.T) {
	run, u := ofType(t, "body-lotion", "Sodium Salicylate", "1", false)
	o := rule(t, annex.KindLaw, annex.AboutSubstance, "0.9")
	o.Basis = "as acid"
	c, f, ok := run.otherRule(o, u)
	require.True(t, ok)
	assert.InDelta(t, 138.12/160.10, c.Content.Max.Float(), 1e-3)
	assert.Equal(t, otherKept, c.Verdict)
	assert.Nil(t, f)
	o.Basis = ""
	c, f, _ = run.otherRule(o, u)
	assert.Equal(t, []any{"1", otherExceeded}, []any{c.Content.Max.Exact(), c.Verdict})
	_, ok = f.Values.Get("basis")
	assert.False(t, ok)
	run, u = of(t, "1", false)
	o.Basis = "as acid"
	c, f, _ = run.otherRule(o, u)
	assert.Equal(t, "1", c.Content.Max.Exact(), "no factor is known for it")
	basis, _ := f.Values.Get("basis")
	assert.Equal(t, "as acid", basis.Text)
	// nothing is allowed: that is told as a figure too
	none := rule(t, annex.KindLaw, annex.AboutSubstance, "0")
	_, f, _ = run.otherRule(none, u)
	limit, ok := f.Values.Get("limit")
	assert.True(t, ok)
	assert.Equal(t, "0", limit.Text)
	_, ok = run.otherFinding(finding.Ask, "microplastics", none, u, nil).Values.Get("limit")
	assert.False(t, ok, "no figure of particles")
	// the day of what is no law is not told
	opinion := rule(t, annex.KindOpinion, annex.AboutSubstance, "1")
	opinion.From = 20270101
	_, ok = run.otherFinding(finding.Ask, "opinion", opinion, u, nil).Values.Get("from")
	assert.False(t, ok)
}

// An opinion that leaves sprays out says so of a spray, whatever the content.
func TestOpinionNotForSprays(t *testing.T) {
	run, u := ofType(t, "deodorant-spray", "Exemplum Acid", "0.1", false)
	o := rule(t, annex.KindOpinion, annex.AboutSubstance, "1")
	o.NotIn = "inhalable"
	checks, f := run.opinion([]*annex.OtherRule{o}, u)
	require.NotNil(t, f)
	assert.Equal(t, []any{otherOpen, "not-in"}, []any{checks[0].Verdict, f.Form})
	form, _ := f.Values.Get("form")
	assert.Equal(t, "inhalable", form.Text)
}

// What a rule on particles is about, by the kind of polymer.
func TestKindsOfParticles(t *testing.T) {
	run, u := of(t, "1", false)
	about := func(about, kind string) bool {
		return run.aboutParticle(&annex.OtherRule{About: about}, &trade.Polymer{Kind: kind}, u)
	}
	for _, c := range []struct {
		about string
		want  [3]bool // beads, capsules, glitter
	}{{annex.AboutBeads, [3]bool{true, false, false}}, {annex.AboutCapsules, [3]bool{false, true, false}},
		{annex.AboutGlitter, [3]bool{false, false, true}}, {annex.AboutParticles, [3]bool{true, false, true}},
		{annex.AboutLabel, [3]bool{true, false, true}}, {annex.AboutSubstance, [3]bool{}}} {
		assert.Equal(t, c.want, [3]bool{about(c.about, trade.PolymerBead), about(c.about, trade.PolymerCapsule),
			about(c.about, trade.PolymerGlitter)}, c.about)
	}
	o := rule(t, annex.KindLaw, annex.AboutSubstance, "1")
	o.Row.Note = "read twice"
	list := run.ruleSource(o)[0].List
	assert.Equal(t, []string{"remark", "read twice"}, []string{list[len(list)-1].Name, list[len(list)-1].Text})
}

// A proposal is considered for what is in the product other than as a trace.
func TestProposalsByTheTable(t *testing.T) {
	run, u := ofType(t, "body-lotion", "Talc", "1", false)
	checks, fs := run.otherOf(u)
	require.Len(t, checks, 1)
	assert.Equal(t, otherApplies, checks[0].Verdict)
	assert.Equal(t, []string{"ask proposal"}, formulatest.Codes(fs))
	run, u = ofType(t, "body-lotion", "Talc", "1", true)
	checks, fs = run.otherOf(u)
	assert.Empty(t, checks)
	assert.Empty(t, fs)
	run, u = ofType(t, "shampoo", "Cyclohexasiloxane", "0.05", false)
	checks, fs = run.otherOf(u)
	require.Len(t, checks, 1, "kept is considered too, and not what is for leave-on products")
	assert.NotNil(t, checks[0].Rule)
	assert.Empty(t, fs)
	// an opinion: tea tree oil, at most 2 % in shampoo (SCCS/1681/25)
	run, u = ofType(t, "shampoo", "Melaleuca Alternifolia Leaf Oil", "2.1", false)
	checks, fs = run.otherOf(u)
	exceeded := 0
	for _, c := range checks {
		if c.Verdict == otherExceeded && c.Rule.Kind == annex.KindOpinion {
			exceeded++
		}
	}
	assert.Equal(t, 1, exceeded)
	assert.Contains(t, formulatest.Codes(fs), "ask opinion")
}

// The factor of a basis is that of the row of Annex V that has one: not that of another
// annex, and not of a row that counts the substance as it is.
func TestFactorOfABasis(t *testing.T) {
	row := func(which, as, factor string) *annex.Limit {
		l := &annex.Limit{Annex: which, Entry: "900", Names: []string{"Exemplum Salt"}, Markets: []rows.Market{rows.EU},
			Condition: always, Row: rows.Row{Key: which + factor, File: "more.csv"}}
		if as != "" {
			l.Basis = annex.Basis{Text: "as " + as, As: []string{as},
				Factors: []annex.Factor{{Name: "Exemplum Salt", Factor: formulatest.Num(t, factor)}}}
		}
		return l
	}
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	in.Session = formula.NewSession(in.Law.WithLimits([]*annex.Limit{row("III", "metal", "0.2"), row("V", "", ""),
		row("V", "acid", "0.75")}))
	run, u := under(t, in, "Exemplum Salt", "2", false)
	o := rule(t, annex.KindLaw, annex.AboutSubstance, "1")
	o.Basis = "as acid"
	assert.Equal(t, "1.5", run.check(o, u, otherKept).Content.Max.Exact())
	o.Basis = ""
	assert.Equal(t, "2", run.check(o, u, otherKept).Content.Max.Exact())
}
