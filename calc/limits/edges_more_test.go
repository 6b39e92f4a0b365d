package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/ageing"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/calc/purpose"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// A challenge test is passed only by what is shown for all organisms. ISO 11930 as in
// stability-micro.csv, rows C18 to C20.
func TestVerdictOfAChallenge(t *testing.T) {
	missing := []string{"E. coli"}
	for _, c := range []struct {
		r    ageing.ChallengeResult
		want string
	}{
		{ageing.ChallengeResult{A: ageing.MicroPass, B: ageing.MicroPass}, "A"},
		{ageing.ChallengeResult{A: ageing.MicroPass, B: ageing.MicroPass, Missing: missing}, "open"},
		{ageing.ChallengeResult{A: ageing.MicroFail, B: ageing.MicroPass}, "B"},
		{ageing.ChallengeResult{A: ageing.MicroFail, B: ageing.MicroPass, Missing: missing}, "open"},
		{ageing.ChallengeResult{A: ageing.MicroQuery, B: ageing.MicroPass}, "open"},
		{ageing.ChallengeResult{A: ageing.MicroFail, B: ageing.MicroQuery}, "open"},
		{ageing.ChallengeResult{A: ageing.MicroFail, B: ageing.MicroFail}, "fail"},
		{ageing.ChallengeResult{A: ageing.MicroFail, B: ageing.MicroFail, Missing: missing}, "fail"},
	} {
		assert.Equal(t, c.want, c.r.Verdict(), "%+v", c.r)
	}
}

// What conditions, words and rows that do not apply are read as.
func TestReadingOfFacts(t *testing.T) {
	assert.Equal(t, []string{"a", "b", "c", "d"}, NameWords("A B-C/d"))
	powder := formulatest.Material(t, "m", "emollient", "CI 77891", "100")
	powder.Form = "powder"
	in := &formula.Input{Session: formulatest.Session(table.Builtin()),
		Sheets: map[string]*ingredients.Sheet{"m": powder}, Materials: map[string]*formula.Material{}}
	s := brought(t, "CI 77891", "m", "1").S
	assert.Equal(t, []string{"other", purpose.Colorant}, purpose.Of(in, s).Main)
	assert.Equal(t, []string{"other", purpose.Colorant}, purpose.Of(in, s).All)
	assert.Equal(t, law.No, purpose.Situation(in, law.Situation{}, s).Massive)
	powder.Form = "solid"
	assert.Equal(t, law.Unknown, purpose.Situation(in, law.Situation{}, s).Massive)

	run := handRun(t, "a", "1")
	c := LimitCheck{Row: &annex.Limit{Annex: "III", Entry: "1", MaxPct: formulatest.Ptr(formulatest.Num(t, "1"))}}
	run.show(&c, []*LimitUse{brought(t, "A", "a", "2")})
	assert.Equal(t, "2", c.Content.Max.Exact())
	assert.Nil(t, c.HighestPct, "nothing is allowed or forbidden by a row that does not apply")
	assert.Empty(t, c.Room())
	c = run.prohibit(c, []Term{{U: brought(t, "A", "a", "2"), Factor: exact.Int(1), Own: true}},
		answer{Answer: law.Answer{Verdict: law.Undecided, Missing: []string{law.MissingFunction}}})
	assert.Equal(t, "2", c.Content.Max.Exact(), "what may hold counts too")
}
