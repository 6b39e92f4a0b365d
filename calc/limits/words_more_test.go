package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/rows"
	"gallipot/ingredients/exact"
)

// One substance under several names is one check; nano forms and traces stay apart.
func TestUsesByNumber(t *testing.T) {
	use := func(inci, cas string, nano, trace bool) *LimitUse {
		u := brought(t, inci, "m", "1")
		u.S.CAS, u.S.Nano = cas, nano
		if trace {
			u.S.Contributions[0].Route = formula.ByImpurity
		}
		return u
	}
	groups := func(uses ...*LimitUse) (out []string) {
		for _, g := range byNumber(uses) {
			text := ""
			for _, u := range g {
				text += u.S.INCI
			}
			out = append(out, text)
		}
		return out
	}
	assert.Equal(t, []string{"AC", "B", "D", "E", "F", "G"},
		groups(use("A", "64-17-5", false, false), use("B", "67-56-1", false, false),
			use("C", "64-17-5", false, false), use("D", "", false, false),
			use("E", "", false, false), use("F", "64-17-5", true, false), use("G", "64-17-5", false, true)))
}

// A prohibited substance: certain, as a trace, in a range that begins at 0, and where the
// condition is open.
func TestProhibitionsByHand(t *testing.T) {
	run := handRun(t, "a", "1")
	row := &annex.Limit{Annex: "II", Entry: "1"}
	check := func(u *LimitUse, a answer) LimitCheck {
		return run.prohibit(LimitCheck{Row: row}, []Term{{U: u, Factor: exact.Int(1), Sure: true, Own: true}}, a)
	}
	holds := answer{Answer: law.Answer{Verdict: law.Holds}}
	c := check(brought(t, "A", "a", "1"), holds)
	assert.Equal(t, LimitExceeded, c.Verdict)
	assert.Equal(t, "not permitted in any product", c.Reason)
	assert.Equal(t, CheckProhibited, c.Shape.Kind)
	assert.True(t, c.Shape.Certain)
	c = check(brought(t, "A", "a", "0-1"), holds)
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.Equal(t, "not permitted in any product; its range begins at 0, so it may not be there", c.Reason)
	assert.Equal(t, []string{"whether it is in the material at all"}, c.Missing)
	trace := brought(t, "A", "a", "1")
	trace.S.Contributions[0].Route = formula.ByImpurity
	c = check(trace, holds)
	assert.True(t, c.Shape.traces)
	assert.Equal(t, []string{"whether the trace can be avoided"}, c.Missing)
	assert.Equal(t, "not permitted, and present as a trace only: Article 17 allows small traces that cannot be avoided in good practice, if the product stays safe", c.Reason)
	c = check(brought(t, "A", "a", "1"),
		answer{Answer: law.Answer{Verdict: law.Undecided, Missing: []string{law.MissingFunction}}})
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.True(t, c.Shape.open)
	assert.Contains(t, c.Reason, "not permitted in any product; whether that applies depends on ")
	assert.Equal(t, []any{"not-permitted", []string{law.MissingFunction}}, []any{c.Shape.state, c.Shape.missing})
	// one substance by two names is there where it is by one of them, whichever comes first
	maybe, sure := Term{U: brought(t, "A", "a", "0-20"), Factor: exact.Int(1), Sure: true},
		Term{U: brought(t, "B", "b", "1"), Factor: exact.Int(1), Sure: true}
	for _, terms := range [][]Term{{maybe, sure}, {sure, maybe}} {
		assert.Equal(t, LimitExceeded, run.prohibit(LimitCheck{Row: row}, terms, holds).Verdict)
	}
	assert.Equal(t, LimitUndecided, run.prohibit(LimitCheck{Row: row}, []Term{maybe, maybe}, holds).Verdict)
	// nowhere in the whole, but in a portion
	portion := brought(t, "A", "a", "1")
	portion.PerComp = []*formula.Substance{nil, portion.S}
	run.Comps = append(run.Comps, run.Comps[0])
	assert.True(t, check(portion, holds).Shape.Certain)
	named := brought(t, "A", "a", "1")
	named.S.Contributions[0].Pct, named.S.Contributions[0].Present = formulatest.Range(t, "0-1"), true
	named.PerComp = []*formula.Substance{named.S, named.S}
	assert.True(t, check(named, holds).Shape.Certain, "its value names it together with others")

	// remarks on a reason
	terms := []Term{{remark: "counted whole"}, {}}
	c = LimitCheck{Reason: "kept", Row: &annex.Limit{Annex: "III", OnlyForm: "hair dyes"},
		Shape: checkShape{Doubt: "which entry"}}
	assert.Equal(t, "kept; counted whole; which entry; the row is for nothing but hair dyes", run.remarks(c, terms))
	c.Row = &annex.Limit{Annex: "IV", Own: true}
	c.Shape.Doubt = ""
	assert.Equal(t, "your own rule; kept", run.remarks(c, terms[1:]))
	c.Row = &annex.Limit{Annex: "III", Class: annex.ClassExamples}
	assert.Equal(t, "kept; the entry is a class and wider than the names listed", run.remarks(c, nil))
	assert.Equal(t, "just below 1 % as acid",
		limitText(&annex.Limit{Basis: annex.Basis{Text: "as acid"}}, exact.Int(1), true))
	assert.Equal(t, "1 %", limitText(&annex.Limit{}, exact.Int(1), false))
}

// always is the condition of a row that holds for every product.
var always = condition.Condition{Clauses: []condition.Clause{{Terms: []condition.Term{{Kind: "all"}}}}}

// known is a use with the rows that name it, each with the doubt about the match.
func known(t testing.TB, inci, pct string, doubts map[*annex.Limit]string) *LimitUse {
	u := brought(t, inci, "a", pct)
	u.certain, u.same = &law.Situation{}, true
	for row, doubt := range doubts {
		u.Matches = append(u.Matches, rowMatch{Row: row, by: "name", doubt: doubt})
	}
	return u
}

// Of one substance under two names the one that is sure to be prohibited speaks, whichever
// comes first; a match in doubt leaves it open where there is no other.
func TestProhibitedUnderTwoNames(t *testing.T) {
	run := handRun(t, "a", "1")
	row := &annex.Limit{Annex: "II", Entry: "1", Markets: []rows.Market{rows.EU}}
	row.MaxPct, row.Condition = new(exact.Num), always
	doubt := known(t, "A", "1", map[*annex.Limit]string{row: "which entry"})
	sure := known(t, "B", "0.5", map[*annex.Limit]string{row: ""})
	for _, uses := range [][]*LimitUse{{doubt, sure}, {sure, doubt}, {sure}} {
		c := run.oneCheck(row, uses, 20261125)
		assert.Equal(t, LimitExceeded, c.Verdict)
		assert.Empty(t, c.Shape.Doubt)
		assert.False(t, c.Shape.open)
	}
	c := run.oneCheck(row, []*LimitUse{doubt}, 20261125)
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.Equal(t, "which entry", c.Shape.Doubt)
	assert.True(t, c.Shape.Certain)
	// the name that is sure may not be there, the one in doubt is
	c = run.oneCheck(row, []*LimitUse{doubt, known(t, "B", "0-0.5", map[*annex.Limit]string{row: ""})}, 20261125)
	assert.Equal(t, LimitUndecided, c.Verdict)
	assert.False(t, c.Shape.Certain)
}

// An entry that a prohibition excepts lifts it where the substance is that entry's; where that
// is in doubt the prohibition is open.
func TestExceptionInDoubt(t *testing.T) {
	run := handRun(t, "a", "1")
	run.In.Market = rows.EU
	excepted := &annex.Limit{Annex: "III", Entry: "7", Markets: []rows.Market{rows.EU}}
	excepted.MaxPct = formulatest.Ptr(formulatest.Num(t, "2"))
	row := &annex.Limit{Annex: "II", Entry: "1", Markets: []rows.Market{rows.EU}, Excepted: []string{"III/7"}}
	row.MaxPct, row.Condition, excepted.Condition = new(exact.Num), always, always
	lifted := known(t, "A", "1", map[*annex.Limit]string{row: "", excepted: ""})
	a := lifted.judge(row, run, 20261125)
	assert.Equal(t, []any{law.DoesNot, "entry III/7 excepts this use"}, []any{a.Verdict, a.why})
	open := known(t, "A", "1", map[*annex.Limit]string{row: "", excepted: "its number fits two"})
	a = open.judge(row, run, 20261125)
	assert.Equal(t, law.Undecided, a.Verdict)
	assert.Equal(t, []string{missingMatch}, a.Missing)
	// an exception that is itself a prohibition, or of another entry, lifts nothing
	excepted.MaxPct = new(exact.Num)
	assert.Equal(t, law.Holds, lifted.judge(row, run, 20261125).Verdict)
	excepted.MaxPct, excepted.Entry = formulatest.Ptr(formulatest.Num(t, "2")), "8"
	assert.Equal(t, law.Holds, lifted.judge(row, run, 20261125).Verdict)
	excepted.Entry, excepted.Markets = "7", []rows.Market{rows.GB}
	assert.Equal(t, law.Holds, lifted.judge(row, run, 20261125).Verdict, "not in force here")
}
