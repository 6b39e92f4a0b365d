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

// Parabens as acid (V/12, V/12a): one 0.4, propyl and butyl 0.14, all 0.8.
//
//	methyl 0.4 × 0.9078 = 0.36312; ethyl 0.4 × 0.8312 = 0.33248; sum 0.6956
//	propyl 0.13 × 0.7665 = 0.099645; sum 0.795245: kept
//	propyl 0.14 × 0.7665 = 0.10731; sum 0.80291: the mixture is exceeded, no other
func TestParabens(t *testing.T) {
	c := calctest.Case{Product: "body-lotion"}
	methyl, ethyl, propyl := formulatest.Pure(t, "preservative", "Methylparaben"),
		formulatest.Pure(t, "preservative", "Ethylparaben"), formulatest.Pure(t, "preservative", "Propylparaben")
	r := c.Of(t, methyl, "0.4", ethyl, "0.4", propyl, "0.13")
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "V-12-eugb-02"))
	assert.Equal(t, "0.795245", checkOf(t, r, "V-12-eugb-02").Content.Max.Exact())
	assert.Equal(t, "0.795245", checkOf(t, r, "V-12a-eugb-02").Content.Max.Exact())
	r = c.Of(t, methyl, "0.4", ethyl, "0.4", propyl, "0.14")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "V-12-eugb-02"))
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "V-12a-eugb-01"))
	f := calctest.Finding(t, r, "over-limit") // once, though two rows say it
	assert.Equal(t, "Ethylparaben + Methylparaben + Propylparaben", f.Subject)
	assert.Len(t, f.Sum, 6)
}

// Sulfur dioxide as such and the salts through the factors of V/9, which III/99
// refers to: sodium metabisulfite 0.3 × 0.6740 = 0.2022, allowed 0.2.
func TestSulfite(t *testing.T) {
	c := calctest.Case{Product: "face-cream"}
	assert.Equal(t, limits.LimitExceeded,
		verdictOfRow(t, c.Of(t, formulatest.Pure(t, "preservative", "Sodium Metabisulfite"), "0.3"), "V-9-eugb-01"))
	assert.Equal(t, limits.LimitKept,
		verdictOfRow(t, c.Of(t, formulatest.Pure(t, "preservative", "Sodium Metabisulfite"), "0.29"), "V-9-eugb-01"))
	tan := calctest.Case{Product: "self-tan"}.Of(t, formulatest.Pure(t, "antioxidant", "Sodium Metabisulfite"),
		"0.6") // 0.4044, allowed 0.4 on the body
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, tan, "III-99-eugb-04"))
}

// A member without a factor in the table is counted whole and the check says so:
// kept if that keeps it, else undecided, since less of it may count.
func TestNoFactorCountsWhole(t *testing.T) {
	r := calctest.Case{Product: "body-lotion", Market: rows.GB}.Of(t,
		formulatest.Pure(t, "astringent", "Zinc Glutamate"), "1.1")
	c := checkOf(t, r, "III-24-eugb-01")
	assert.Equal(t, limits.LimitUndecided, c.Verdict)
	assert.Equal(t, finding.Ask, calctest.Finding(t, r, "limit-undecided").Severity)
	assert.Equal(t, limits.LimitKept,
		verdictOfRow(t, calctest.Case{Product: "body-lotion", Market: rows.GB}.Of(t,
			formulatest.Pure(t, "astringent", "Zinc Glutamate"), "1"), "III-24-eugb-01"))
	assert.Contains(t, c.Reason, "the table has no factor for Zinc Glutamate: it is counted whole")
}

// Titanium dioxide and its nano form together 25 % (VI/27, VI/27a).
func TestNanoAndNot(t *testing.T) {
	nano := formulatest.Pure(t, "UV filter", "Titanium Dioxide")
	nano.ID, nano.Composition.Constituents[0].Nano = "tio2-nano", true
	c := calctest.Case{Product: "sunscreen"}
	r := c.Of(t, formulatest.Pure(t, "UV filter", "Titanium Dioxide"), "15", nano, "10")
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "VI-27-eugb-01"))
	assert.Equal(t, "25", checkOf(t, r, "VI-27-eugb-01").Content.Max.Exact())
	r = c.Of(t, formulatest.Pure(t, "UV filter", "Titanium Dioxide"), "15", nano, "10.01")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "VI-27-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "VI-27a-eugb-01"))
	calctest.Finding(t, r, "over-limit")
}

// Rose ketones of three entries together 0.02 % (III/157, 159, 164).
func TestRoseKetones(t *testing.T) {
	c := calctest.Case{Product: "body-lotion"}
	fo := func(a, b string) *ingredients.Sheet {
		return formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "alpha-Damascone", a,
			"Rose Ketone 5", b)
	}
	assert.NotContains(t, limitCodes(c.Of(t, fo("1", "1"), "1")), "stop over-limit") // 0.01 + 0.01
	r := c.Of(t, fo("1", "1.01"), "1")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "III-157-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "III-164-eugb-01"))
}

// Cetrimonium and steartrimonium 2.5 %, with behentrimonium 5 % in rinsed hair
// products (III/286, III/287).
func TestQuats(t *testing.T) {
	c := calctest.Case{Product: "conditioner-rinse-off"}
	ctac, stac, btac := formulatest.Pure(t, "hair conditioning", "Cetrimonium Chloride"),
		formulatest.Pure(t, "hair conditioning", "Steartrimonium Chloride"),
		formulatest.Pure(t, "hair conditioning", "Behentrimonium Chloride")
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, c.Of(t, ctac, "1.5", stac, "1"), "III-286-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, c.Of(t, ctac, "1.5", stac, "1.01"), "III-286-eugb-01"))
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, c.Of(t, ctac, "1.5", stac, "1", btac, "2.5"), "III-287-eugb-01"))
	r := c.Of(t, ctac, "1.5", stac, "1", btac, "2.6")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "III-287-eugb-01"))
	assert.Equal(t, "5.1", checkOf(t, r, "III-287-eugb-01").Content.Max.Exact())
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "III-286-eugb-01"))
}

// Tagetes of two species together 0.01 % in leave-on products (III/308, 309).
func TestTagetes(t *testing.T) {
	c := calctest.Case{Product: "face-cream"}
	minuta, patula := formulatest.Pure(t, "fragrance", "Tagetes Minuta Flower Oil"),
		formulatest.Pure(t, "fragrance", "Tagetes Patula Flower Oil")
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, c.Of(t, minuta, "0.006", patula, "0.004"), "III-308-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, c.Of(t, minuta, "0.006", patula, "0.005"), "III-308-eugb-01"))
	sun := calctest.Case{Product: "sunscreen"}.Of(t, minuta, "0.006")
	assert.Contains(t, limitCodes(sun), "stop prohibited")
}

// Methyl octine carbonate 0.002 % on its own, 0.01 % with methyl 2-octynoate
// (III/89, III/173); allyl heptine carbonate stands beside neither (III/152).
func TestAlkynoates(t *testing.T) {
	c := calctest.Case{Product: "body-lotion"}
	fo := func(pairs ...string) *ingredients.Sheet {
		return formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, pairs...)
	}
	r := c.Of(t, fo("Methyl 2-Octynoate", "0.8", "Methyl octine carbonate", "0.2"), "1")
	assert.NotContains(t, limitCodes(r), "stop over-limit")
	r = c.Of(t, fo("Methyl 2-Octynoate", "0.7", "Methyl octine carbonate", "0.21"), "1")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "III-173-eugb-01"))
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "III-89-eugb-01"))
	r = c.Of(t, fo("Methyl 2-Octynoate", "0.81", "Methyl octine carbonate", "0.2"), "1")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "III-89-eugb-01"))

	r = c.Of(t, fo("Allyl Heptine Carbonate", "0.2"), "1")
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "III-152-eugb-01"))
	r = c.Of(t, fo("Allyl Heptine Carbonate", "0.1", "Methyl 2-Octynoate", "0.1"), "1")
	assert.Contains(t, limitCodes(r), "stop not-together")
}

// Mercury of two entries together 0.007 % in eye products (V/16, V/17):
// thimerosal 0.006 × 0.4955 = 0.002973; acetate 0.0067 × 0.5957 = 0.00399; 0.0070.
func TestMercury(t *testing.T) {
	c := calctest.Case{Product: "mascara"}
	r := c.Of(t, formulatest.Pure(t, "preservative", "Thimerosal"), "0.006",
		formulatest.Pure(t, "preservative", "Phenyl Mercuric Acetate"), "0.0067")
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "V-16-eugb-01"))
	r = c.Of(t, formulatest.Pure(t, "preservative", "Thimerosal"), "0.006",
		formulatest.Pure(t, "preservative", "Phenyl Mercuric Acetate"), "0.0068")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "V-16-eugb-01"))
}

// Fluorides together 0.15 % as fluorine: 0.2 × 0.4525 + 0.45 × 0.1320 = 0.1499.
func TestFluorides(t *testing.T) {
	c := calctest.Case{Product: "toothpaste"}
	naf, mfp := formulatest.Pure(t, "oral care", "Sodium Fluoride"),
		formulatest.Pure(t, "oral care", "Sodium Monofluorophosphate")
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, c.Of(t, naf, "0.2", mfp, "0.45"), "III-26_43_47_56-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, c.Of(t, naf, "0.2", mfp, "0.46"), "III-26_43_47_56-eugb-01"))
}

// MCI with MI is the mixture of V/39; MI alone is V/57; not both in one product.
func TestIsothiazolinones(t *testing.T) {
	c := calctest.Case{Product: "shampoo"}
	mix := formulatest.Material(t, "mix", "preservative", "Aqua", "98.5", "Methylchloroisothiazolinone", "1.125",
		"Methylisothiazolinone", "0.375")
	mi := formulatest.Material(t, "mi", "preservative", "Aqua", "90", "Methylisothiazolinone", "10")
	r := c.Of(t, mix, "0.1") // 1.5 × 0.1 / 100 = 0.0015
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "V-39-eugb-01"))
	assert.Equal(t, limits.LimitNotApplicable, verdictOfRow(t, r, "V-57-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, c.Of(t, mix, "0.101"), "V-39-eugb-01"))

	r = c.Of(t, mi, "0.015") // 0.0015
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "V-57-eugb-01"))
	assert.Equal(t, limits.LimitNotApplicable, verdictOfRow(t, r, "V-39-eugb-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, c.Of(t, mi, "0.0151"), "V-57-eugb-01"))

	r = c.Of(t, mix, "0.05", mi, "0.005")
	f := calctest.Finding(t, r, "not-together")
	assert.Equal(t, finding.Stop, f.Severity)
	assert.Contains(t, wordstest.Said(f).Message, "(entry V/57)")

	// a range of either mends nothing: nobody but the maker can
	open := formulatest.Supplied(formulatest.Material(t, "open", "preservative", "Aqua", "q.s.",
		"Methylchloroisothiazolinone", "1-1.125", "Methylisothiazolinone", "0.3-0.375"), "Alder Supplies (invented)", "")
	f = calctest.Finding(t, c.Of(t, open, "0.05", mi, "0.005"), "not-together")
	assert.Equal(t, []finding.Party{finding.TheMaker}, f.Who)
}

// Vitamin A as retinol together 0.05 % in body lotions (III/376):
// retinol 0.03 + palmitate 0.03 × 0.5458 = 0.046374; with 0.04: 0.051832.
func TestVitaminA(t *testing.T) {
	c := calctest.Case{Product: "body-lotion"}
	retinol, palmitate := formulatest.Pure(t, "skin conditioning", "Retinol"),
		formulatest.Pure(t, "skin conditioning", "Retinyl Palmitate")
	r := c.Of(t, retinol, "0.03", palmitate, "0.03")
	assert.Equal(t, "0.046374", checkOf(t, r, "III-376-eu-01").Content.Max.Exact())
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, r, "III-376-eu-01"))
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, c.Of(t, retinol, "0.03", palmitate, "0.04"), "III-376-eu-01"))
}

// Hydroxides that adjust the pH have a pH limit and no figure (III/15a); a callus
// remover has 1.5 % as sodium hydroxide (III/15d): KOH 2 × 0.7129 = 1.4258.
func TestHydroxides(t *testing.T) {
	r := calctest.Case{Product: "shampoo"}.Of(t, formulatest.Pure(t, "pH adjuster", "Sodium Hydroxide"), "0.3")
	assert.Equal(t, limits.LimitNoFigure, verdictOfRow(t, r, "III-15a-eugb-05"))
	assert.Equal(t, finding.Ask, calctest.Finding(t, r, "ph-limit").Severity)
	with := func(ph string) *calc.Result {
		return calctest.Case{Product: "shampoo", Change: func(p *formula.Product) {
			a, err := exact.ParseAmount(ph)
			require.NoError(t, err)
			p.Evidence.PH = &a
		}}.Of(t, formulatest.Pure(t, "pH adjuster", "Sodium Hydroxide"), "0.3")
	}
	assert.Empty(t, calctest.Findings(with("5.0-6.0"), "ph-limit"))
	assert.Equal(t, finding.Stop, calctest.Finding(t, with("11-11.5"), "ph-limit").Severity) // below 11
	assert.Equal(t, finding.Ask, calctest.Finding(t, with("10-11.5"), "ph-limit").Severity)
}

// Aluminium as element over all its compounds (III/379, EU, from 2027-01-01):
// chlorohydrate 20 × 0.3093 = 6.186, alum 27 × 0.0569 = 1.5363, sum 7.7223.
func TestAluminium(t *testing.T) {
	c := calctest.Case{Product: "deodorant-stick", Day: 20270101}
	ach, alum := formulatest.Pure(t, "antiperspirant", "Aluminum Chlorohydrate"),
		formulatest.Pure(t, "antiperspirant", "Potassium Alum")
	assert.Equal(t, limits.LimitKept, verdictOfRow(t, c.Of(t, ach, "20", alum, "27"), "III-379-eu-03"))
	r := c.Of(t, ach, "20", alum, "28")
	assert.Equal(t, limits.LimitExceeded, verdictOfRow(t, r, "III-379-eu-03"))
	assert.Contains(t, checkOf(t, r, "III-379-eu-03").Reason, "the entry is a class and wider than the names listed")
}

// The parts of a content by raw material add up to it, declarations included.
func TestPartsAddUp(t *testing.T) {
	fo := formulatest.Declared(t, formulatest.Material(t, "oil", "fragrance", "Lavandula Angustifolia Oil", "60",
		"Linalool", "40"), ingredients.List2023, "Linalool", "45-50")
	r := calctest.Case{Product: "body-lotion"}.Of(t, fo, "1",
		formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "3"), "2")
	for _, s := range r.Whole().Substances {
		var sum exact.Range
		for _, p := range limits.PartsOf(s) {
			sum = sum.Add(p.Pct)
		}
		assert.True(t, sum.Max.Equal(s.Total.Max) && sum.Min.Equal(s.Total.Min), "%s: %v, parts %v", s.INCI, s.Total, sum)
	}
}
