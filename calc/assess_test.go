package calc

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/listing"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// One run of the whole holds the findings of every part, each by one that the input
// must make.
func TestAssessHoldsTheFindingsOfEveryPart(t *testing.T) {
	blend := material(t, "blend", "", "Glycerin", "40-60", "Betaine", "40-60")
	hidden := material(t, "hidden", "", "Squalane", "40")
	hidden.Composition.Complete = false
	wrong := coded(material(t, "wrong", "", "Glycerin", "100"), "111-46-6") // the number of diethylene glycol
	r := limitCase{product: "nail-oil", change: func(p *formula.Product) { p.Formula.Phases[0].Lines[0].Rest = false }}.of(t, blend, "30", hidden, "20", wrong, "5")
	got := codes(r.Findings)
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
	silver := pure(t, "preservative", "Ammonium Silver Zinc Aluminium Silicate")
	in := limitCase{product: "deodorant-spray"}.of(t, silver, "1").Input
	rs := AssessMarkets(in, []rows.Market{rows.EU, rows.GB})
	require.Len(t, rs, 2)
	for i, m := range []rows.Market{rows.EU, rows.GB} {
		assert.Equal(t, m, rs[i].Input.Market)
		alone := *in
		alone.Market = m
		assert.Equal(t, codes(Assess(&alone).Findings), codes(rs[i].Findings), m)
	}
	assert.Equal(t, rows.EU, in.Market, "what was given stays as it is")
	assert.Len(t, rs[0].Aggregates, 1)
	assert.Empty(t, rs[1].Aggregates)
	assert.Contains(t, codes(rs[1].Findings), "stop not-listed-preservative")
	assert.NotContains(t, codes(rs[0].Findings), "stop not-listed-preservative")
}

// Members of a label name and materials that are silent on it. Linalool and the
// lavender oil that holds it; a scent declared against the list of 2003 says nothing of
// the names of 2023, one without a declaration of none; squalane is not asked.
func TestAllergenMembersAndSilentMaterials(t *testing.T) {
	old := declared(t, scentSheet("old"), ingredients.List2003, "Linalool", "1")
	newer := declared(t, scentSheet("newer"), ingredients.List2023, "Linalool", "1")
	p := withFormula(t, formula.Percent, "base", "q.s.", "old", "1", "newer", "1", "silent", "1")
	r := assessed(t, p, &formula.Variant{}, "body-lotion", rows.EU, today, squalane(t), old, newer, scentSheet("silent"))
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

// The index finds a member by the name of the table and by the dictionary's.
func TestAllergenIndexOfMembers(t *testing.T) {
	tables := table.Builtin()
	dict := tables.Dictionary()
	rows := law.Allergens(tables, rows.EU, today)
	ix := listing.IndexAllergens(&formula.Session{Law: table.Builtin(), Dict: dict}, rows)
	for _, row := range rows {
		for _, m := range row.Members {
			assert.Contains(t, ix.ByName[ingredients.NameKey(m.Name)], row, m.Name)
			assert.Contains(t, ix.ByName[ingredients.NameKey(dict.Canonical(m.Name))], row, m.Name)
		}
	}
	_, _, cas := listing.TotalOf([]*formula.Substance{{CAS: "5392-40-5"}, {}, {CAS: "5392-40-5"}, {CAS: "106-26-3"}})
	assert.Equal(t, "5392-40-5, 106-26-3", cas)

	// 0.0004 known and at most 0.0006 of a silent scent: at the threshold of 0.001, not above
	gap := func(most string) (bool, *listing.AllergenTotal) {
		total := &listing.AllergenTotal{Worst: rangeOf(t, "0.0004")}
		return listing.DeclGaps{{Ingredient: "a", Most: num(t, most)}}.Unknown(rows[0], num(t, "0.001"), total), total
	}
	open, total := gap("0.0006")
	assert.False(t, open)
	assert.Empty(t, total.Uncovered)
	open, total = gap("0.0007")
	assert.True(t, open)
	assert.Equal(t, []string{"a"}, total.Uncovered)
}

// A declared name that no list has is asked about, with the name that is near.
func TestUnlistedAllergenIsAsked(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linaloool", "1")
	fo.Allergens.Declared[0].CAS = "999-99-9"
	f := findingOf(t, limitCase{product: "body-lotion"}.of(t, fo, "1"), "unlisted-allergen")
	assert.Equal(t, finding.Ask, f.Severity, "it may be misspelt")
	assert.Equal(t, "did you mean Linalool? check the name and the CAS number against the supplier's document", said(f).Fix)
}
