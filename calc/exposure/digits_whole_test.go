package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/trade"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
)

// Digits in sentences: four that count, halves upward.
func TestDigitsInSentences(t *testing.T) {
	r := calctest.Job(t, "body-lotion", "1.23456", formulatest.Sheet(t, "m", "Phenoxyethanol", "100"), nil)
	assert.Contains(t, r.Aggregates[0].Arithmetic, "SED = 269 × 1.235 % × 80 % = ")
	assert.Contains(t, calctest.Margin(t, r, "Phenoxyethanol").SED.Text(), "123.2 × 1.235 % × 80 %")
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2003, "Linalool", "0.043215-0.234564")
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1"),
		&formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t), fo)
	assert.Contains(t, wordstest.Said(calctest.Finding(t, r, "allergen-open")).Message,
		"0.0004322 to 0.002346 % of the product;")
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1.23456"),
		&formula.Variant{}, "body-butter", rows.GB, 20261125, formulatest.Squalane(t),
		formulatest.Certified(t, fo, "5A", "1"))
	assert.Equal(t, "1.235 % of the product; its certificate allows 1 % in category 5A",
		wordstest.Said(calctest.Finding(t, r, "fragrance-over")).Message)
	r = calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1.23456"),
		&formula.Variant{}, "body-lotion", rows.GB, 20261125, formulatest.Squalane(t), fo)
	// 7.82 g / 15670 cm² = 0.499 mg/cm²; 1.23456 × 0.234564 % = 0.0028958
	assert.Contains(t, r.LocalDoses[0].Arithmetic(), "0.499 mg/cm² × 0.002896 % × 1000 = 0.01445 µg/cm² a day")
}

// The row of the type stands before its stand-in; a row that holds an area and no
// amount gives no exposure.
func TestWhichExposureRow(t *testing.T) {
	in := formulatest.OfType(t, "body-lotion", formula.Adults, nil)
	in.Type = &trade.ProductType{ExposureKey: "body-lotion", ProxyKey: "shower-gel"}
	e, _ := exposure.ExposureOf(in)
	assert.Equal(t, exposure.ExposureTable, e.Origin)
	assert.Equal(t, "body-lotion", e.Key)
	in.Type = &trade.ProductType{ExposureKey: "deodorant-paste"}
	e, fs := exposure.ExposureOf(in)
	assert.Equal(t, exposure.ExposureNone, e.Origin)
	assert.False(t, e.Known())
	assert.Equal(t, []string{"ask no-exposure"}, formulatest.Codes(fs))
	for key, mean := range map[string]bool{"face-cream-us": true, "bar-soap": true, "face-cream": false} {
		in.Type = &trade.ProductType{ExposureKey: key}
		e, _ = exposure.ExposureOf(in)
		assert.Equal(t, mean, e.Population, key)
	}
	// 1.5 g over 200 cm² is 7.5 mg/cm², below the published driver of 9 for the underarm
	fo := formulatest.Declared(t, formulatest.ScentSheet("fo"), ingredients.List2023, "Linalool", "50")
	r := calctest.Assess(t, formulatest.WithFormula(t, formula.Percent, "base", "q.s.", "fo", "1"),
		&formula.Variant{}, "deodorant-stick", rows.GB, 20261125, formulatest.Squalane(t), fo)
	assert.Equal(t, 9.0, r.LocalDoses[0].ProductMgCm2.Value)
	assert.Equal(t, "published driver for the underarm, above 7.5 mg/cm² from amount and area",
		r.LocalDoses[0].ProductMgCm2.Note)
}

// A spray is breathed in beside what the skin takes up, at the typical content too: of 1
// to 3 %, 2 is two thirds of 3.
func TestTypicalDoseOfASpray(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Cocamidopropyl Betaine", "10-30", "Glycerin", "70-90")
	r := calctest.Job(t, "deodorant-aerosol", "10", m, nil)
	x := calctest.Margin(t, r, "Cocamidopropyl Betaine")
	require.Positive(t, x.SED.Inhaled)
	assert.InEpsilon(t, x.SED.Max*2/3, x.SED.Typical, 1e-9)
	assert.InEpsilon(t, x.SED.Max, x.SED.Skin+x.SED.Inhaled, 1e-12)
	assert.Contains(t, x.SED.Text(), " × 3 % inhaled")

	// a sheet's value replaces the table's of the same kind alone
	dermal := func(change func(*ingredients.Toxicology)) float64 {
		m := formulatest.Sheet(t, "m", "Phenoxyethanol", "100")
		v := formulatest.Tox(t, m, "", "", "", "")
		v.Replaces = true
		change(v)
		return calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Phenoxyethanol").Absorption.Pct.Value
	}
	assert.Equal(t, 20.0, dermal(func(v *ingredients.Toxicology) { v.DermalAbsorptionPct = formulatest.Ptr(formulatest.Num(t, "20")) }))
	assert.Equal(t, 80.0, dermal(func(v *ingredients.Toxicology) { v.OralAbsorptionPct = formulatest.Ptr(formulatest.Num(t, "20")) }))
	assert.Equal(t, 80.0, dermal(func(v *ingredients.Toxicology) {
		v.PoDType, v.PoD = "NOAEL", formulatest.Ptr(formulatest.Num(t, "100"))
	}))
	assert.Equal(t, 50.0, dermal(func(v *ingredients.Toxicology) { v.DermalUgCm2 = formulatest.Ptr(formulatest.Num(t, "1")) }), "the default, beside the figure per area")

	// clay does not react, and stands beside the soap
	soap := formulatest.SoapProduct(t, "KOH", "olive", "50", "koh", "8", "clay", "2", "water", "40")
	r = calctest.Assess(t, soap, &formula.Variant{}, "bar-soap", rows.GB, 20261125,
		append(formulatest.SoapSheets(t, "olive", "Olea Europaea Fruit Oil"),
			formulatest.Sheet(t, "clay", "Kaolin", "100"))...)
	assert.Equal(t, []string{"lye reaction 98", "clay 2"}, formulatest.Shares(r.Whole().Mixture))
	assert.Equal(t, []string{"olive", "koh", "water"},
		[]string{r.Reactions[0].From[0].Ingredient, r.Reactions[0].From[1].Ingredient, r.Reactions[0].From[2].Ingredient})
}
