package calc_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/calc/purpose"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

func TestNatural(t *testing.T) {
	assert.True(t, formula.IsBotanical(table.Builtin(), "Citrus Limon Peel Oil"))
	assert.True(t, formula.IsBotanical(table.Builtin(), "Rosa Damascena Flower Water"))
	assert.False(t, formula.IsBotanical(table.Builtin(), "Mineral Oil"))
	assert.False(t, formula.IsBotanical(table.Builtin(), "Aqua"))
	r := calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Declared(t, formulatest.Material(t, "oil", "fragrance", "Rosa Damascena Flower Oil", "100"),
			ingredients.List2023, "Methyl Eugenol", "1"), "0.1")
	s := r.Whole().Find("Methyl Eugenol")
	require.NotNil(t, s)
	assert.Equal(t, law.Yes, purpose.NaturalOf(r.Input, s))
}

// The highest butadiene of the materials that bring a gas in decides its bans (II/464,
// II/465: 0.1 % or more); one paper that is silent leaves it open.
func TestButadieneOfMaterials(t *testing.T) {
	gas := func(id string, pairs ...string) *ingredients.Sheet {
		return formulatest.Traced(t, formulatest.Sheet(t, id, "Butane", "100"), pairs...)
	}
	of := func(sheets ...*ingredients.Sheet) *exact.Num {
		in, s := &formula.Input{Session: formulatest.Session(table.Builtin()),
			Sheets: map[string]*ingredients.Sheet{}}, &formula.Substance{INCI: "Butane"}
		for _, x := range sheets {
			in.Sheets[x.ID] = x
			s.Contributions = append(s.Contributions, formula.Contribution{Ingredient: x.ID})
		}
		return purpose.Situation(in, law.Situation{}, s).ButadienePct
	}
	require.NotNil(t, of(gas("a", "1,3-Butadiene", "0.05")))
	assert.Equal(t, "0.05", of(gas("a", "1,3-Butadiene", "0.05")).Exact())
	assert.Equal(t, "0.08", of(gas("a", "1,3-Butadiene", "0.05"),
		gas("b", "Sulfur", "0.2", "1,3-Butadiene", "0.08")).Exact())
	assert.Nil(t, of(gas("a", "1,3-Butadiene", "0.05"), gas("b", "Sulfur", "0.2")))
}
