package standards

import (
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/trade"
	"gallipot/calc/limits"
	"gallipot/ingredients"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A ban on a fragrance ingredient is for the assessor where plants bring it in, or where
// it may be absent.
func TestBansOfStandards(t *testing.T) {
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	run := limits.GroundOf(in, []*formula.Composition{{}}).Run(in)
	run.In.Materials = map[string]*formula.Material{}
	for _, s := range []*ingredients.Sheet{formulatest.Sheet(t, "plant", "Exemplum Flower Oil", "100"),
		formulatest.Sheet(t, "plain", "Exemplum", "100")} {
		run.In.Materials[s.ID] = formula.Prepare(s, ingredients.NewDictionary())
	}
	ban := func(basis, material, content string) StandardCheck {
		c := StandardCheck{Row: &trade.FragranceStandard{Basis: basis}, Content: formulatest.Range(t, content)}
		pct := c.Content
		s := &formula.Substance{INCI: "Exemplum", Total: pct, Pct: pct, Contributions: []formula.Contribution{
			{Ingredient: material, Pct: pct, Route: formula.ByComposition}}}
		standardBan(run, &c, []*limits.LimitUse{{S: s, PerComp: []*formula.Substance{s}}})
		assert.Equal(t, StandardProhibited, c.Verdict)
		return c
	}
	const says, soft = "not to be used as a fragrance ingredient",
		"; here it comes in with natural materials or may be absent, which is for the assessor"
	c := ban(says, "plain", "1")
	assert.Equal(t, says, c.Reason)
	assert.False(t, c.Soft)
	c = ban("sensitiser", "plain", "1")
	assert.Equal(t, says+": sensitiser", c.Reason)
	assert.False(t, c.natural)
	c = ban("sensitiser", "plant", "1")
	assert.Equal(t, says+": sensitiser"+soft, c.Reason)
	assert.True(t, c.Soft && c.natural)
	c = ban(says, "plain", "0-1")
	assert.Equal(t, says+soft, c.Reason)
	assert.True(t, c.Soft)
}
