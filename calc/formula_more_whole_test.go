package calc_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
)

// A declared content beside a listed one, bound by bound: of 1 % oil, listed 4 %,
// declared 3 to 6, 2 to 3 and 1 to 9 %.
func TestDeclaredBesideListed(t *testing.T) {
	for given, want := range map[string][3]string{
		"3-6": {"0.04", "0.045", "0.06"},
		"2-3": {"0.04", "0.04", "0.04"},
		"1-9": {"0.04", "0.05", "0.09"},
	} {
		oil := formulatest.Declared(t,
			formulatest.Sheet(t, "oil", "Juniperus Communis Fruit Oil", "q.s.", "Limonene", "4"), ingredients.List2023,
			"Limonene", given)
		oil.Functions = []string{"perfuming", "emollient"}
		r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "oil", "1"),
			&formula.Variant{}, "body-butter", rows.EU, 20261125, formulatest.Squalane(t), oil)
		s := r.Whole().Find("Limonene")
		assert.Equal(t, want, formulatest.ExactRange(s.Total), given)
		assert.Equal(t, [3]string{"0.04", "0.04", "0.04"}, formulatest.ExactRange(s.Pct))
		assert.Equal(t, []string{"perfuming", "emollient"}, s.Functions)
		declaredPart := s.ByRoute(formula.ByDeclaration)
		assert.Equal(t, formulatest.Range(t, given).Max.Quo(formula.Hundred).Exact(), declaredPart.Max.Exact())
	}
}
