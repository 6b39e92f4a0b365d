package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
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
