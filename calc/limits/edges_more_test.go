package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/table"
	"gallipot/calc/purpose"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

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
