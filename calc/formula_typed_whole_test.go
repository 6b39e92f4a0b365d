package calc_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
)

// The most on a line is said in the unit of that line as it is typed. By hand, for a
// limit of 1 % on phenoxyethanol (annex V/29):
//
//	percent, 4 parts added to 100: the line makes line ÷ 1.04 of the product; 1.04 makes 1 %
//	grams, 2 g of 100 g: x ÷ (98 + x) = 1 %, x = 98 ÷ 99 = 0.98989…, down to 0.9898
//	an addition of 2 parts: x ÷ (100 + x) = 1 %, x = 100 ÷ 99 = 1.0101…, down to 1.01
func TestMostOnALineAsTyped(t *testing.T) {
	keeper, water, stone := formulatest.Pure(t, "preservative", "Phenoxyethanol"),
		formulatest.Sheet(t, "water", "Aqua", "100"), formulatest.Sheet(t, "stone", "Kaolin", "100")
	for _, c := range []struct {
		name    string
		product *formula.Product
		add     []formula.Addition
		want    string
	}{
		{"before an addition", formulatest.WithFormula(t, formula.Percent, "water", "q.s.", keeper.ID, "1.2"),
			[]formula.Addition{{Ingredient: "stone", Parts: formulatest.Num(t, "4")}}, "1.04 % or less (now 1.2 %)"},
		{"in percent", formulatest.WithFormula(t, formula.Percent, "water", "q.s.", keeper.ID, "1.2"), nil,
			"1 % or less (now 1.2 %)"},
		{"in grams", formulatest.WithFormula(t, formula.Grams, "water", "98", keeper.ID, "2"), nil,
			"0.9898 g or less (now 2 g)"},
		{"as an addition", formulatest.WithFormula(t, formula.Percent, "water", "q.s."),
			[]formula.Addition{{Ingredient: keeper.ID, Parts: formulatest.Num(t, "2")}},
			"1.01 parts per 100 or less (now 2 parts per 100)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := calctest.Assess(t, c.product, &formula.Variant{ThenAdd: c.add}, "body-lotion", rows.GB, 20261125,
				keeper, water, stone)
			f := calctest.Finding(t, r, "over-limit")
			assert.Equal(t, "reduce "+keeper.ID+" to "+c.want, wordstest.Said(f).Fix)
			require.NotNil(t, f.Settle)
			assert.Equal(t, "amount", f.Settle.Key)
		})
	}
}
