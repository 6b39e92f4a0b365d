package calc_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
)

// limitsOfNames are the entries that bind a product, with their verdicts.
func limitVerdicts(r *calc.Result) []string {
	var out []string
	for _, c := range r.Limits {
		out = append(out, formula.EntryOf(c.Row)+" "+string(c.Verdict))
	}
	slices.Sort(out)
	return out
}

// One substance under two names on a paper is that substance: the same verdicts,
// the same label.
func TestPrintedAliases(t *testing.T) {
	for _, c := range []struct {
		plain string
		pct   string
		as    []string
	}{
		{"Aqua", "60", []string{"Aqua (Water)", "Water (Aqua)", "Aqua/Water/Eau", "Aqua / Water", "WATER",
			"Aqua [Water]", "Aqua (Purified Water)", "aqua."}},
		{"Tocopherol", "1", []string{"Tocopherol (Vitamin E)", "Tocopherol (E 306)", "TOCOPHEROL 99 %"}},
		{"Parfum", "1", []string{"Parfum (Fragrance)", "Fragrance (Parfum)", "Parfum/Fragrance", "Fragrance"}},
		{"Retinyl Palmitate", "2", []string{"Retinyl Palmitate (Vitamin A Palmitate)", "RETINYL PALMITATE."}},
		{"Phenoxyethanol", "2", []string{"Phenoxyethanol (99.5 %)", "2-Phenoxyethanol", "phenoxyethanol, cosmetic grade"}},
		{"Salicylic Acid", "3", []string{"Salicylic Acid (98-100 %)", "Salicylic acid BP", "SALICYLIC-ACID"}},
		{"Cocos Nucifera Oil", "20", []string{"Cocos Nucifera (Coconut) Oil", "Cocos nucifera (Coconut) Oil*",
			"Cocos Nucifera Oil (organic)"}},
		{"Sodium Laureth Sulfate", "20", []string{"Sodium Laureth Sulphate", "sodium laureth-sulfate"}},
	} {
		want := calctest.WithName(t, "body-lotion", c.plain, "", c.pct)
		for _, printed := range c.as {
			got := calctest.WithName(t, "body-lotion", printed, "", c.pct)
			assert.Equal(t, calctest.HardCodes(want), calctest.HardCodes(got), printed)
			assert.Equal(t, limitVerdicts(want), limitVerdicts(got), printed)
			assert.Equal(t, want.List.Line(), got.List.Line(), printed)
		}
	}
}

func TestJoinedNamesAreStopped(t *testing.T) {
	for _, joint := range []string{" (and) ", " & ", " / ", " + ", ", ", "; ", " and ", "/", " (&) "} {
		r := calctest.WithName(t, "body-lotion", "Methylchloroisothiazolinone"+joint+"Methylisothiazolinone", "", "0.01")
		assert.Contains(t, formulatest.Codes(r.Findings), "stop name-several", joint)
		assert.Contains(t, strings.Join(limitVerdicts(r), "; "), "V/57", "the limits of each are looked at")
		apart := formulatest.Sheet(t, "m", "Methylchloroisothiazolinone", "50", "Methylisothiazolinone", "50")
		apart.Functions = []string{"preservative"}
		want := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "m", "0.01"),
			&formula.Variant{}, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), apart)
		for _, code := range calctest.HardCodes(want) {
			assert.Contains(t, calctest.HardCodes(r), code, joint)
		}
	}
	r := calctest.WithName(t, "body-lotion", "Phenoxyethanol (and) Ethylhexylglycerin", "", "12")
	for _, s := range []string{"Phenoxyethanol", "Ethylhexylglycerin"} {
		require.NotNil(t, r.Whole().Find(s))
		assert.Equal(t, [3]string{"0", "6", "12"}, formulatest.ExactRange(r.Whole().Find(s).Pct), "each may be all of it")
	}
	assert.Contains(t, formulatest.Codes(r.Findings), "stop over-limit")
	// a list of three prints each name once
	three := calctest.WithName(t, "body-lotion", "Aqua, Glycerin, Xanthan Gum", "", "30")
	assert.Equal(t, "Squalane, Aqua, Glycerin, Xanthan Gum", three.List.Line())
	twice := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "m", "50", "water", "q.s."),
		&formula.Variant{}, "body-lotion", rows.EU, 20261125,
		formulatest.Sheet(t, "m", "Aqua, Glycerin, Xanthan Gum", "100"), formulatest.Sheet(t, "water", "Aqua", "100"))
	assert.Equal(t, 1, strings.Count(twice.List.Line(), "Aqua"))
}

func TestNanoInTheName(t *testing.T) {
	for _, printed := range []string{"Titanium Dioxide (nano)", "Titanium Dioxide [nano]",
		"Nano Titanium Dioxide", "Titanium Dioxide (Nano) (CI 77891)"} {
		m := formulatest.Sheet(t, "m", printed, "100")
		m.Functions = []string{"uv filter"}
		r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "m", "30"),
			&formula.Variant{}, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), m)
		flagged := formulatest.Sheet(t, "m", "Titanium Dioxide", "100")
		flagged.Functions, flagged.Composition.Constituents[0].Nano = []string{"uv filter"}, true
		want := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "m", "30"),
			&formula.Variant{}, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), flagged)
		assert.Equal(t, want.List.Line(), r.List.Line(), printed)
		assert.Contains(t, r.List.Line(), "(nano)")
		if !strings.Contains(printed, "CI") {
			assert.Equal(t, limitVerdicts(want), limitVerdicts(r), printed)
		}
	}
	r := calctest.WithName(t, "body-lotion", "Copper (nano)", "", "1")
	assert.Contains(t, limitVerdicts(r), "II/1726 exceeded", "copper in nano form is prohibited: Annex II of the EU")
}

// A plant's number never renames a material nor moves it to another part.
func TestPlantNumbers(t *testing.T) {
	for _, c := range []struct{ printed, cas, label string }{
		{"Rosa Canina Seed Oil", "84696-47-9", "Rosa Canina Seed Oil"},
		{"Rosa Canina Fruit Oil", "84696-47-9", "Rosa Canina Fruit Oil"},
		{"Rosehip Seed Oil", "84696-47-9", ""},
		{"Rosa Moschata Seed Oil", "84603-93-0", "Rosa Moschata Seed Oil"},
		{"Mentha Piperita Leaf Water", "84082-70-2", "Mentha Piperita Leaf Water"},
		{"Citrus Limon Peel Wax", "84929-31-7", "Citrus Limon Peel Wax"},
		{"Citrus Limon Fruit Water", "84929-31-7", "Citrus Limon Fruit Water"},
		{"Cinnamomum Cassia Bark Powder", "84961-46-6", "Cinnamomum Cassia Bark Powder"},
		{"Eugenia Caryophyllus Bud Powder", "84961-50-2", "Eugenia Caryophyllus Bud Powder"},
		{"Santalum Album Wood Powder", "84787-70-2", "Santalum Album Wood Powder"},
		{"Laurus Nobilis Leaf Powder", "84603-73-6", "Laurus Nobilis Leaf Powder"},
	} {
		r := calctest.WithName(t, "body-lotion", c.printed, c.cas, "1")
		if c.label != "" {
			assert.Contains(t, r.List.Line(), c.label, c.printed)
		}
		for _, a := range r.Allergens {
			assert.False(t, a.Row.Botanical && a.OnLabel(), "%s is declared as %s", c.printed, a.LabelName)
		}
		assert.NotContains(t, formulatest.Codes(r.Findings), "stop prohibited", c.printed)
	}
	for _, printed := range []string{"Laurus Nobilis Leaf Oil", "Laurus Nobilis Leaf Extract"} {
		r := calctest.WithName(t, "body-lotion", printed, "84603-73-6", "1")
		assert.NotContains(t, formulatest.Codes(r.Findings), "stop prohibited", "%s is not the oil of the seeds", printed)
	}
	seed := calctest.WithName(t, "body-lotion", "Laurus Nobilis Seed Oil", "84603-73-6", "1")
	assert.Contains(t, formulatest.Codes(seed.Findings), "stop prohibited")
}

// A toxicology entry under the name printed in the composition finds its
// substance, whatever that is renamed to.
func TestToxicologyUnderThePrintedName(t *testing.T) {
	for _, printed := range []string{"Exemplum Alcohol", "Benzyl Alcohol (Phenylmethanol)"} {
		m := formulatest.Sheet(t, "m", printed, "100")
		m.Composition.Constituents[0].CAS = "100-51-6"
		pod := exact.Int(4)
		m.Toxicology = []ingredients.Toxicology{{INCI: printed, PoD: &pod, PoDType: "NOAEL"}}
		r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "m", "1"),
			&formula.Variant{}, "body-lotion", rows.EU, 20261125, formulatest.Squalane(t), m)
		assert.NotContains(t, formulatest.Codes(r.Findings), "ask toxicology-unmatched", printed)
	}
}
