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
	"gallipot/ingredients/finding"
)

func messages(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Severity.String()+" "+wordstest.Said(f).Message)
	}
	return out
}

// Retinol 0.1 % in an EU body lotion: no limit before 2025-11-01, then 0.05 %;
// stock placed before is not made available from 2027-05-01 (Reg (EU) 2024/996).
func TestRuleBeforeAndAfterItsDay(t *testing.T) {
	retinol := formulatest.Pure(t, "skin conditioning", "Retinol")
	before := calctest.Case{Product: "body-lotion", Day: 20251031}.Of(t, retinol, "0.1")
	assert.NotContains(t, limitCodes(before), "stop over-limit")
	coming := calctest.Finding(t, before, "coming-limit")
	assert.Equal(t, finding.Ask, coming.Severity)
	assert.Contains(t, wordstest.Said(coming).Message, "from 2025-11-01: 0.1 % of the product")
	assert.Contains(t, wordstest.Said(coming).Fix, "before 2025-11-01: reduce retinol to 0.05 % or less (now 0.1 %)")
	label := calctest.Finding(t, before, "coming-label")
	assert.Equal(t, finding.Note, label.Severity)
	assert.Contains(t, wordstest.Said(label).Message, "Contains Vitamin A.")

	after := calctest.Case{Product: "body-lotion", Day: 20251101}.Of(t, retinol, "0.1")
	f := calctest.Finding(t, after, "over-limit")
	assert.Contains(t, wordstest.Said(f).Why, "from 2025-11-01; stock already on the market may be sold until 2027-04-30")
	assert.Empty(t, calctest.Findings(after, "coming-limit"))
	assert.NotContains(t, wordstest.Said(calctest.Finding(t,
		calctest.Case{Product: "body-lotion", Day: 20270501}.Of(t, retinol, "0.1"), "over-limit")).Why, "stock already")

	gb := calctest.Case{Product: "body-lotion", Day: 20251101, Market: rows.GB}.Of(t, retinol, "0.1")
	assert.NotContains(t, limitCodes(gb), "stop over-limit")
	ni := calctest.Case{Product: "body-lotion", Day: 20251101, Market: rows.NI}.Of(t, retinol, "0.1")
	assert.Contains(t, limitCodes(ni), "stop over-limit") // the EU annexes hold there
}

// An older rule that is milder says so before it ends, and one that ends says
// that nothing stops the product from then on.
func TestRuleThatEnds(t *testing.T) {
	// Benzophenone-3 in GB: 6 % to 2026-01-20, from then 2.2 % on the body.
	b3 := formulatest.Pure(t, "UV filter", "Benzophenone-3")
	r := calctest.Case{Product: "sunscreen", Market: rows.GB, Day: 20260120}.Of(t, b3, "3")
	assert.NotContains(t, limitCodes(r), "stop over-limit")
	assert.Contains(t, wordstest.Said(calctest.Finding(t, r, "coming-limit")).Message, "from 2026-01-21: ")
	// Silver zinc zeolite in the EU: closed list from 2026-05-18 opens deodorant sprays.
	z := formulatest.Pure(t, "preservative", "Ammonium Silver Zinc Aluminium Silicate")
	r = calctest.Case{Product: "deodorant-aerosol", Day: 20260517}.Of(t, z, "0.5")
	assert.Contains(t, limitCodes(r), "stop not-listed-preservative")
	assert.Contains(t, messages(calctest.Findings(r, "coming-limit")),
		"note from 2026-05-18 no rule in the tables stops it any more")
}

// Required wording: certain, by a content above a figure, by type, and open.
func TestLabelTexts(t *testing.T) {
	texts := func(r *calc.Result) map[string]bool {
		out := map[string]bool{}
		for _, l := range limits.LabelTexts(r.Limits) {
			out[l.Text] = l.Certain
		}
		return out
	}
	ammonia := func(pct string) map[string]bool {
		return texts(calctest.Case{Product: "hair-mask"}.Of(t, formulatest.Pure(t, "pH adjuster", "Ammonia"), pct))
	}
	assert.Equal(t, map[string]bool{}, ammonia("2")) // III/4: label above 2 %
	assert.Equal(t, map[string]bool{"Contains ammonia": true}, ammonia("2.1"))

	fluoride := texts(calctest.Case{Product: "toothpaste"}.Of(t,
		formulatest.Pure(t, "oral care", "Sodium Fluoride"), "0.2"))
	assert.Equal(t, map[string]bool{"Contains Sodium Fluoride": true}, fluoride)

	// Triclocarban in the EU: on toothpaste only (V/23).
	tcc := formulatest.Pure(t, "preservative", "Triclocarban")
	assert.Equal(t, map[string]bool{}, texts(calctest.Case{Product: "shower-gel"}.Of(t, tcc, "0.1")))
	assert.NotEmpty(t, texts(calctest.Case{Product: "toothpaste"}.Of(t, tcc, "0.1")))

	// Parabens of V/12a on leave-on products for children under 3.
	pp := formulatest.Pure(t, "preservative", "Propylparaben")
	assert.Equal(t, map[string]bool{"Do not use on the nappy area": true},
		texts(calctest.Case{Product: "baby-lotion", Audience: formula.UnderThree}.Of(t, pp, "0.1")))
	assert.Equal(t, map[string]bool{}, texts(calctest.Case{Product: "body-lotion"}.Of(t, pp, "0.1")))

	// Salicylic acid as preservative: depends on who might use it (V/3).
	sa := calctest.Case{Product: "face-cream"}.Of(t, formulatest.Pure(t, "preservative", "Salicylic Acid"), "0.3")
	require.Len(t, limits.LabelTexts(sa.Limits), 1)
	assert.False(t, limits.LabelTexts(sa.Limits)[0].Certain)
	assert.Contains(t, limits.LabelTexts(sa.Limits)[0].When, "products that children under 3 might use")
	assert.Contains(t, wordstest.Said(calctest.Finding(t, sa, "label-wording")).Message, "may need")

	// Formaldehyde released: the wording is open until it is measured.
	dmdm := calctest.Case{Product: "shampoo"}.Of(t, formulatest.Pure(t, "preservative", "DMDM Hydantoin"), "0.3")
	assert.Equal(t, map[string]bool{"releases formaldehyde": false}, texts(dmdm))
	assert.Equal(t, "have the released formaldehyde measured or calculated",
		wordstest.Said(calctest.Finding(t, dmdm, "limit-undecided")).Fix)
	free := formulatest.Impure(t, formulatest.Pure(t, "preservative", "DMDM Hydantoin"), "Formaldehyde",
		"1") // 0.003 % is there as such
	assert.Equal(t, map[string]bool{"releases formaldehyde": true},
		texts(calctest.Case{Product: "shampoo"}.Of(t, free, "0.3")))
}

// Each raw material is asked once for all of its criteria; a purity statement on
// file makes it a note.
func TestCriteriaOfRawMaterials(t *testing.T) {
	pine := formulatest.Declared(t,
		formulatest.Material(t, "pine", "fragrance", "Pinus Sylvestris Leaf Oil", "100"), ingredients.List2023,
		"Limonene", "5", "Terpinolene", "1")
	r := calctest.Case{Product: "shower-gel"}.Of(t, pine, "0.5")
	list := limits.Criteria(r.Input, r.Compositions)
	require.Len(t, list, 3)
	assert.Equal(t, "Pinus Sylvestris Leaf Oil", list[1].Substance)
	f := calctest.Finding(t, r, "criterion")
	assert.Equal(t, finding.Ask, f.Severity)
	for _, c := range list {
		assert.Contains(t, wordstest.Said(f).Text(), c.Substance)
		assert.Contains(t, wordstest.Said(f).Why, "row "+c.Row.Key)
	}
	pine.Documents = []ingredients.Document{{Kind: "coa", File: "evidence/pine.pdf"}}
	assert.Equal(t, finding.Note, calctest.Finding(t, calctest.Case{Product: "shower-gel"}.Of(t, pine, "0.5"),
		"criterion").Severity)
}

// Reg (EU) 2023/1545: from 2026-08-01 newly placed products name more allergens;
// stock placed before may be sold until 2028-07-31. GB keeps the older list.
func TestComingAllergens(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "2",
		"Linalyl Acetate", "3", "Vanillin", "0.001")
	before := calctest.Case{Product: "body-lotion", Day: 20260731}.Of(t, fo, "1")
	f := calctest.Finding(t, before, "coming-allergen")
	assert.Equal(t, finding.Note, f.Severity)
	assert.Equal(t, "from 2026-08-01 its EU label must also name Linalyl Acetate", wordstest.Said(f).Message)
	assert.Contains(t, wordstest.Said(f).Why, "2028-07-31")
	assert.Empty(t, calctest.Findings(before, "old-stock"))

	after := calctest.Case{Product: "body-lotion", Day: 20260801}.Of(t, fo, "1")
	assert.Empty(t, calctest.Findings(after, "coming-allergen"))
	assert.Equal(t, "stock placed on the EU market before 2026-08-01 without all of its allergens on the label may be sold until 2028-07-31: Linalyl Acetate", wordstest.Said(calctest.Finding(t, after, "old-stock")).Text())
	assert.Empty(t, calctest.Findings(calctest.Case{Product: "body-lotion", Day: 20280801}.Of(t, fo, "1"), "old-stock"))

	gb := calctest.Case{Product: "body-lotion", Day: 20260731, Market: rows.GB}.Of(t, fo, "1")
	assert.Empty(t, calctest.Findings(gb, "coming-allergen"))

	old := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool",
		"2") // says nothing of the newer names
	f = calctest.Finding(t, calctest.Case{Product: "body-lotion", Day: 20260731}.Of(t, old, "1"), "coming-allergen")
	assert.Contains(t, wordstest.Said(f).Message, "of them are not stated in the documents of fo")
}

// A rule that is only drafted says so.
func TestDraftSaysSo(t *testing.T) {
	s := formulatest.Pure(t, "skin conditioning", "N,N-Methylenebisacrylamide")
	r := calctest.Case{Product: "face-cream", Market: rows.GB}.Of(t, s, "0.01")
	f := calctest.Finding(t, r, "draft-law")
	assert.Equal(t, finding.Ask, f.Severity, "a draft stops nothing")
	from, _ := f.Values.Get("from")
	assert.Equal(t, "2027-03-23", from.Date().String())

	r = calctest.Case{Product: "eau-de-toilette", Market: rows.GB, Day: 20261129}.Of(t,
		formulatest.Pure(t, "fragrance", "Hexyl Salicylate"), "3")
	assert.Equal(t, finding.Ask, calctest.Finding(t, r, "draft-law").Severity, "the draft of November 2025")
	assert.Empty(t, calctest.Findings(r, "over-limit"))
	r = calctest.Case{Product: "eau-de-toilette", Market: rows.EU, Day: 20261129}.Of(t,
		formulatest.Pure(t, "fragrance", "Hexyl Salicylate"), "3")
	assert.Equal(t, finding.Stop, calctest.Finding(t, r, "over-limit").Severity,
		"Reg (EU) 2026/78: 2 % in hydroalcoholic fragrances")
}

// Petrolatum needs its refining history (II/904); a purity statement answers.
func TestRefiningHistory(t *testing.T) {
	s := formulatest.Pure(t, "emollient", "Petrolatum")
	r := calctest.Case{Product: "body-balm"}.Of(t, s, "20")
	assert.Equal(t, finding.Ask, calctest.Finding(t, r, "limit-undecided").Severity)
	s.Documents = []ingredients.Document{{Kind: "purity", File: "evidence/petrolatum.pdf"}}
	assert.Equal(t, limits.LimitNotApplicable,
		verdictOfRow(t, calctest.Case{Product: "body-balm"}.Of(t, s, "20"), "II-904-eugb-01"))
}
