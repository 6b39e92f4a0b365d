package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/rows"
	"gallipot/calc/limits"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

func messages(fs []finding.Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Severity.String()+" "+said(f).Message)
	}
	return out
}

// Retinol 0.1 % in an EU body lotion: no limit before 2025-11-01, then 0.05 %;
// stock placed before may be sold until 2027-05-01 (Reg (EU) 2024/996).
func TestRuleBeforeAndAfterItsDay(t *testing.T) {
	retinol := pure(t, "skin conditioning", "Retinol")
	before := limitCase{product: "body-lotion", day: 20251031}.of(t, retinol, "0.1")
	assert.NotContains(t, limitCodes(before), "stop over-limit")
	coming := findingOf(t, before, "coming-limit")
	assert.Equal(t, finding.Ask, coming.Severity)
	assert.Contains(t, said(coming).Message, "from 2025-11-01: 0.1 % of the product")
	assert.Contains(t, said(coming).Fix, "before 2025-11-01: reduce retinol to 0.05 % or less (now 0.1 %)")
	label := findingOf(t, before, "coming-label")
	assert.Equal(t, finding.Note, label.Severity)
	assert.Contains(t, said(label).Message, "Contains Vitamin A.")

	after := limitCase{product: "body-lotion", day: 20251101}.of(t, retinol, "0.1")
	f := findingOf(t, after, "over-limit")
	assert.Contains(t, said(f).Why, "from 2025-11-01; stock already on the market may be sold until 2027-05-01")
	assert.Empty(t, findingsOf(after, "coming-limit"))
	assert.NotContains(t, said(findingOf(t, limitCase{product: "body-lotion", day: 20270502}.of(t, retinol, "0.1"), "over-limit")).Why, "stock placed")

	gb := limitCase{product: "body-lotion", day: 20251101, market: rows.GB}.of(t, retinol, "0.1")
	assert.NotContains(t, limitCodes(gb), "stop over-limit")
	ni := limitCase{product: "body-lotion", day: 20251101, market: rows.NI}.of(t, retinol, "0.1")
	assert.Contains(t, limitCodes(ni), "stop over-limit") // the EU annexes hold there
}

// An older rule that is milder says so before it ends, and one that ends says
// that nothing stops the product from then on.
func TestRuleThatEnds(t *testing.T) {
	// Benzophenone-3 in GB: 6 % to 2026-01-20, from then 2.2 % on the body.
	b3 := pure(t, "UV filter", "Benzophenone-3")
	r := limitCase{product: "sunscreen", market: rows.GB, day: 20260120}.of(t, b3, "3")
	assert.NotContains(t, limitCodes(r), "stop over-limit")
	assert.Contains(t, said(findingOf(t, r, "coming-limit")).Message, "from 2026-01-21: ")
	// Silver zinc zeolite in the EU: closed list from 2026-05-18 opens deodorant sprays.
	z := pure(t, "preservative", "Ammonium Silver Zinc Aluminium Silicate")
	r = limitCase{product: "deodorant-aerosol", day: 20260517}.of(t, z, "0.5")
	assert.Contains(t, limitCodes(r), "stop not-listed-preservative")
	assert.Contains(t, messages(findingsOf(r, "coming-limit")), "note from 2026-05-18 no rule in the tables stops it any more")
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
		return texts(limitCase{product: "hair-mask"}.of(t, pure(t, "pH adjuster", "Ammonia"), pct))
	}
	assert.Equal(t, map[string]bool{}, ammonia("2")) // III/4: label above 2 %
	assert.Equal(t, map[string]bool{"Contains ammonia": true}, ammonia("2.1"))

	fluoride := texts(limitCase{product: "toothpaste"}.of(t, pure(t, "oral care", "Sodium Fluoride"), "0.2"))
	assert.Equal(t, map[string]bool{"Contains Sodium Fluoride": true}, fluoride)

	// Triclocarban in the EU: on toothpaste only (V/23).
	tcc := pure(t, "preservative", "Triclocarban")
	assert.Equal(t, map[string]bool{}, texts(limitCase{product: "shower-gel"}.of(t, tcc, "0.1")))
	assert.NotEmpty(t, texts(limitCase{product: "toothpaste"}.of(t, tcc, "0.1")))

	// Parabens of V/12a on leave-on products for children under 3.
	pp := pure(t, "preservative", "Propylparaben")
	assert.Equal(t, map[string]bool{"Do not use on the nappy area": true}, texts(limitCase{product: "baby-lotion", audience: formula.UnderThree}.of(t, pp, "0.1")))
	assert.Equal(t, map[string]bool{}, texts(limitCase{product: "body-lotion"}.of(t, pp, "0.1")))

	// Salicylic acid as preservative: depends on who might use it (V/3).
	sa := limitCase{product: "face-cream"}.of(t, pure(t, "preservative", "Salicylic Acid"), "0.3")
	require.Len(t, limits.LabelTexts(sa.Limits), 1)
	assert.False(t, limits.LabelTexts(sa.Limits)[0].Certain)
	assert.Contains(t, limits.LabelTexts(sa.Limits)[0].When, "products that children under 3 might use")
	assert.Contains(t, said(findingOf(t, sa, "label-wording")).Message, "may need")

	// Formaldehyde released: the wording is open until it is measured.
	dmdm := limitCase{product: "shampoo"}.of(t, pure(t, "preservative", "DMDM Hydantoin"), "0.3")
	assert.Equal(t, map[string]bool{"releases formaldehyde": false}, texts(dmdm))
	assert.Equal(t, "have the released formaldehyde measured or calculated", said(findingOf(t, dmdm, "limit-undecided")).Fix)
	free := impure(t, pure(t, "preservative", "DMDM Hydantoin"), "Formaldehyde", "1") // 0.003 % is there as such
	assert.Equal(t, map[string]bool{"releases formaldehyde": true}, texts(limitCase{product: "shampoo"}.of(t, free, "0.3")))
}

// Each raw material is asked once for all of its criteria; a purity statement on
// file makes it a note.
func TestCriteriaOfRawMaterials(t *testing.T) {
	pine := declared(t, material(t, "pine", "fragrance", "Pinus Sylvestris Leaf Oil", "100"), ingredients.List2023, "Limonene", "5", "Terpinolene", "1")
	r := limitCase{product: "shower-gel"}.of(t, pine, "0.5")
	list := limits.Criteria(r.Input, r.Compositions)
	require.Len(t, list, 3)
	assert.Equal(t, "Pinus Sylvestris Leaf Oil", list[1].Substance)
	f := findingOf(t, r, "criterion")
	assert.Equal(t, finding.Ask, f.Severity)
	for _, c := range list {
		assert.Contains(t, said(f).Message, c.Substance)
		assert.Contains(t, said(f).Why, "row "+c.Row.Key)
	}
	pine.Documents = []ingredients.Document{{Kind: "coa", File: "evidence/pine.pdf"}}
	assert.Equal(t, finding.Note, findingOf(t, limitCase{product: "shower-gel"}.of(t, pine, "0.5"), "criterion").Severity)
}

// Reg (EU) 2023/1545: from 2026-08-01 newly placed products name more allergens;
// stock placed before may be sold until 2028-07-31. GB keeps the older list.
func TestComingAllergens(t *testing.T) {
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "2", "Linalyl Acetate", "3", "Vanillin", "0.001")
	before := limitCase{product: "body-lotion", day: 20260731}.of(t, fo, "1")
	f := findingOf(t, before, "coming-allergen")
	assert.Equal(t, finding.Note, f.Severity)
	assert.Equal(t, "from 2026-08-01 its EU label must also name Linalyl Acetate", said(f).Message)
	assert.Contains(t, said(f).Why, "2028-07-31")
	assert.Empty(t, findingsOf(before, "old-stock"))

	after := limitCase{product: "body-lotion", day: 20260801}.of(t, fo, "1")
	assert.Empty(t, findingsOf(after, "coming-allergen"))
	assert.Equal(t, "stock placed on the EU market before 2026-08-01 without Linalyl Acetate on its label may be sold until 2028-07-31", said(findingOf(t, after, "old-stock")).Message)
	assert.Empty(t, findingsOf(limitCase{product: "body-lotion", day: 20280801}.of(t, fo, "1"), "old-stock"))

	gb := limitCase{product: "body-lotion", day: 20260731, market: rows.GB}.of(t, fo, "1")
	assert.Empty(t, findingsOf(gb, "coming-allergen"))

	old := declared(t, scentSheet("fo"), ingredients.List2003, "Linalool", "2") // says nothing of the newer names
	f = findingOf(t, limitCase{product: "body-lotion", day: 20260731}.of(t, old, "1"), "coming-allergen")
	assert.Contains(t, said(f).Message, "of them are not stated in the documents of fo")
}

// A rule that is only drafted says so.
func TestDraftSaysSo(t *testing.T) {
	s := pure(t, "skin conditioning", "N,N-Methylenebisacrylamide")
	r := limitCase{product: "face-cream", market: rows.GB}.of(t, s, "0.01")
	f := findingOf(t, r, "draft-law")
	assert.Equal(t, finding.Ask, f.Severity, "a draft stops nothing")
	from, _ := f.Values.Get("from")
	assert.Equal(t, "2027-03-23", from.Date.String())

	r = limitCase{product: "eau-de-toilette", market: rows.GB, day: 20261129}.of(t, pure(t, "fragrance", "Hexyl Salicylate"), "3")
	assert.Equal(t, finding.Ask, findingOf(t, r, "draft-law").Severity, "the draft of November 2025")
	assert.Empty(t, findingsOf(r, "over-limit"))
	r = limitCase{product: "eau-de-toilette", market: rows.EU, day: 20261129}.of(t, pure(t, "fragrance", "Hexyl Salicylate"), "3")
	assert.Equal(t, finding.Stop, findingOf(t, r, "over-limit").Severity, "Reg (EU) 2026/78: 2 % in hydroalcoholic fragrances")
}

// Petrolatum needs its refining history (II/904); a purity statement answers.
func TestRefiningHistory(t *testing.T) {
	s := pure(t, "emollient", "Petrolatum")
	r := limitCase{product: "body-balm"}.of(t, s, "20")
	assert.Equal(t, finding.Ask, findingOf(t, r, "limit-undecided").Severity)
	s.Documents = []ingredients.Document{{Kind: "purity", File: "evidence/petrolatum.pdf"}}
	assert.Equal(t, limits.LimitNotApplicable, verdictOfRow(t, limitCase{product: "body-balm"}.of(t, s, "20"), "II-904-eugb-01"))
}
