package calc

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/listing"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// One run of the whole holds the findings of every part, each by one that the input
// must make.
func TestAssessHoldsTheFindingsOfEveryPart(t *testing.T) {
	blend := formulatest.Material(t, "blend", "", "Glycerin", "40-60", "Betaine", "40-60")
	hidden := formulatest.Material(t, "hidden", "", "Squalane", "40")
	hidden.Composition.Complete = false
	wrong := formulatest.Coded(formulatest.Material(t, "wrong", "", "Glycerin", "100"),
		"111-46-6") // the number of diethylene glycol
	r := limitCase{product: "nail-oil",
		change: func(p *formula.Product) { p.Formula.Phases[0].Lines[0].Rest = false }}.of(t, blend, "30", hidden,
		"20", wrong, "5")
	got := formulatest.Codes(r.Findings)
	for _, want := range []string{
		"stop not-100",             // of the formula
		"ask undeclared-remainder", // of the materials
		"ask cas-contradicts",
		"ask open-order",  // of the list: glycerin 12 + 5 against betaine 18
		"ask no-exposure", // of the exposure
	} {
		assert.Contains(t, got, want)
	}
	assert.Len(t, r.Findings, len(Unique(slices.Clone(r.Findings))), "each once")
}

// Two markets in one run: each result is that of its own market. Ammonium silver zinc
// aluminium silicate is a preservative of the EU alone (V/61).
func TestAssessMarketsByMarket(t *testing.T) {
	silver := formulatest.Pure(t, "preservative", "Ammonium Silver Zinc Aluminium Silicate")
	in := limitCase{product: "deodorant-spray"}.of(t, silver, "1").Input
	rs := AssessMarkets(in, []rows.Market{rows.EU, rows.GB})
	require.Len(t, rs, 2)
	for i, m := range []rows.Market{rows.EU, rows.GB} {
		assert.Equal(t, m, rs[i].Input.Market)
		alone := *in
		alone.Market = m
		assert.Equal(t, formulatest.Codes(Assess(&alone).Findings), formulatest.Codes(rs[i].Findings), m)
	}
	assert.Equal(t, rows.EU, in.Market, "what was given stays as it is")
	assert.Len(t, rs[0].Aggregates, 1)
	assert.Empty(t, rs[1].Aggregates)
	assert.Contains(t, formulatest.Codes(rs[1].Findings), "stop not-listed-preservative")
	assert.NotContains(t, formulatest.Codes(rs[0].Findings), "stop not-listed-preservative")
}

// Members of a label name and materials that are silent on it. Linalool and the
// lavender oil that holds it; a scent declared against the list of 2003 says nothing of
// the names of 2023, one without a declaration of none; squalane is not asked.
func TestAllergenMembersAndSilentMaterials(t *testing.T) {
	old := formulatest.Declared(t, formulatest.ScentSheet("old"), ingredients.List2003, "Linalool", "1")
	newer := formulatest.Declared(t, formulatest.ScentSheet("newer"), ingredients.List2023, "Linalool", "1")
	p := formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "old", "1", "newer", "1", "silent", "1")
	r := assessed(t, p, &formula.Variant{}, "body-lotion", rows.EU, today, formulatest.Squalane(t), old, newer,
		formulatest.ScentSheet("silent"))
	key := func(name string) string {
		for _, a := range r.Allergens {
			if a.LabelName == name {
				return a.Row.Key
			}
		}
		t.Fatal("no row of " + name)
		return ""
	}
	members := listing.AllergenMembers(r.Input, r.Whole())
	require.Len(t, members[key("Linalool")], 1)
	assert.Equal(t, "Linalool", members[key("Linalool")][0].INCI)
	assert.Empty(t, members[key("Citral")])
	silent := listing.SilentMaterials(r.Input, r.Compositions)
	assert.Equal(t, []string{"silent"}, silent[key("Linalool")])
	assert.Equal(t, []string{"old", "silent"}, silent[key("Vanillin")])
}

// A declared name that no list has is asked about, with the name that is near.
func TestUnlistedAllergenIsAsked(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linaloool", "1")
	fo.Allergens.Declared[0].CAS = "999-99-9"
	f := findingOf(t, limitCase{product: "body-lotion"}.of(t, fo, "1"), "unlisted-allergen")
	assert.Equal(t, finding.Ask, f.Severity, "it may be misspelt")
	assert.Equal(t, "did you mean Linalool? check the name and the CAS number against the supplier's document",
		wordstest.Said(f).Fix)
}
