package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// Triethanolamine: purity of 99 %, a secondary amine of at most 0.5 % in the raw
// material, nitrosamine of at most 50 µg/kg, in containers free of nitrite. Annex III
// entry 62. One finding asks the supplier of each material for all of it.
func TestCriteriaAreAskedOnceOfEachSupplier(t *testing.T) {
	tea := formulatest.Supplied(formulatest.Material(t, "tea", "buffering", "Triethanolamine", "100"),
		"Alder Supplies (invented)", "T-9")
	second := formulatest.Supplied(formulatest.Material(t, "tea-mix", "buffering", "Triethanolamine", "50",
		"Aqua", "50"), "Birch Supplies (invented)", "")
	c := calctest.Case{Product: "body-lotion", Market: rows.EU}
	r := c.Of(t, tea, "1", second, "1")
	fs := calctest.Findings(r, "criterion")
	require.Len(t, fs, 2)
	asked := map[string]finding.Finding{}
	for _, f := range fs {
		assert.Equal(t, finding.Ask, f.Severity)
		asked[wordstest.Said(f).Ask] = f
	}
	f := asked["Alder Supplies (invented)"]
	assert.Contains(t, wordstest.Said(f).Message, "no document on file shows that it meets these criteria")
	assert.Contains(t, wordstest.Said(f).Text(), "secondary amine")
	assert.Contains(t, wordstest.Said(f).Text(), "for Triethanolamine")
	assert.Equal(t, "ask Alder Supplies (invented) for a statement on tea (code T-9), and enter it as a document of kind purity", wordstest.Said(f).Fix)
	assert.Contains(t, wordstest.Said(asked["Birch Supplies (invented)"]).Message,
		"no document on file shows that it meets ")

	tea.Documents = []ingredients.Document{{Kind: "purity", File: "evidence/tea.txt"}}
	r = c.Of(t, tea, "1")
	f = calctest.Finding(t, r, "criterion")
	assert.Equal(t, finding.Note, f.Severity)
	assert.Equal(t, "", wordstest.Said(f).Ask)
	assert.Equal(t, "check that evidence/tea.txt shows it", wordstest.Said(f).Fix)
	assert.Contains(t, wordstest.Said(f).Message, "evidence/tea.txt should show that it meets ")
}

// criteriaOf lists what a product's rows ask, as material and text.
func criteriaOf(r *calc.Result) []string {
	var out []string
	for _, c := range limits.Criteria(r.Input, r.Compositions) {
		out = append(out, c.Ingredient+": "+c.Text)
	}
	return out
}

// Criteria by the rows that ask them: the nano form has its own (VI/29), a row that
// leaves it out asks that it is none (VI/27), a residue that decides is asked for (III/60,
// III/306) where the row has criteria at all (III/66 has none). A trace is asked nothing.
func TestWhatRowsAsk(t *testing.T) {
	of := func(product, functions, name, pct string, nano bool) []string {
		s := formulatest.Material(t, "m", functions, name, "100")
		s.Composition.Constituents[0].Nano = nano
		return criteriaOf(calctest.Case{Product: product}.Of(t, s, pct))
	}
	const no = "m: not a nanomaterial, by a statement of particle sizes"
	assert.NotContains(t, of("sunscreen", "UV filter", "Tris-Biphenyl Triazine", "5", false), "m: purity at least 98 %")
	assert.Contains(t, of("sunscreen", "UV filter", "Tris-Biphenyl Triazine", "5", true), "m: purity at least 98 %")
	assert.Contains(t, of("sunscreen", "UV filter", "Titanium Dioxide", "5", false), no)
	assert.NotContains(t, of("sunscreen", "UV filter", "Titanium Dioxide", "5", true), no)

	amine := "m: the content that the limit of 0.5 % counts: secondary amine content of the finished product"
	assert.Contains(t, of("shower-gel", "foam boosting", "Cocamide DEA", "3", false), amine)
	assert.NotContains(t, of("shower-gel", "foam boosting", "Cocamide DEA", "0.5", false), amine,
		"all of it is within the limit")
	assert.Len(t, of("body-lotion", "emollient", "Arachis Hypogaea Oil", "5", false), 2)
	assert.Empty(t, of("body-lotion", "film forming", "Polyacrylamide", "1", false))

	// a pH is asked of the product, of no material
	assert.Equal(t, []string{": pH below 11"}, of("shampoo", "pH adjuster", "Sodium Hydroxide", "0.3", false))

	base := formulatest.Pure(t, "humectant", "Glycerin")
	assert.Empty(t, criteriaOf(calctest.Case{Product: "body-lotion"}.Of(t,
		formulatest.Impure(t, base, "Triethanolamine", "0.1"), "5")))
	s := &formula.Substance{Contributions: []formula.Contribution{{Ingredient: "a"}, {Ingredient: "a"},
		{Ingredient: "b", Route: formula.ByImpurity}, {Ingredient: "c"}}}
	assert.Equal(t, []string{"a", "c"}, limits.SortedMaterials(s))

	// one criterion alone is asked too: peroxide of limonene, III/88
	r := calctest.Case{Product: "body-lotion"}.Of(t, formulatest.Pure(t, "solvent", "Limonene"), "0.5")
	assert.Contains(t, wordstest.Said(calctest.Finding(t, r, "criterion")).Text(), "peroxide value below 20 mmol/L")
}

// The pH of the specification against what hydroxides ask, below 11 (III/15a): where
// it points, and its words. What is kept is not mentioned.
func TestPHFindingByHand(t *testing.T) {
	at := func(ph string, line int) *calc.Result {
		return calctest.Case{Product: "shampoo", Change: func(p *formula.Product) {
			p.Pos.Line = 2
			if ph != "" {
				a, err := exact.ParseAmount(ph)
				require.NoError(t, err)
				a.Pos = exact.Pos{Line: line}
				if line > 0 {
					a.Pos.File = "products/test.yaml"
				}
				p.Evidence.PH = &a
			}
		}}.Of(t, formulatest.Pure(t, "pH adjuster", "Sodium Hydroxide"), "0.3")
	}
	f := calctest.Finding(t, at("10-11.5", 7), "ph-limit")
	assert.Equal(t, "the pH is 10 to 11.5, which is only partly within what Sodium Hydroxide requires: pH below 11", wordstest.Said(f).Message)
	assert.Equal(t, "narrow the pH range of the specification", wordstest.Said(f).Fix)
	assert.Equal(t, 7, f.Pos.Line)
	assert.Equal(t, 2, calctest.Finding(t, at("10-11.5", 0), "ph-limit").Pos.Line)
	f = calctest.Finding(t, at("", 0), "ph-limit")
	assert.Equal(t, "no pH is entered; with Sodium Hydroxide it must be: pH below 11", wordstest.Said(f).Message)
	for _, f := range at("5-6", 7).Findings {
		assert.NotEqual(t, "", f.Code)
	}
}
