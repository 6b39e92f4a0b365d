package limits_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/ageing"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/headroom"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/table"
	"gallipot/calc/limits"
	"gallipot/calc/standards"
	"gallipot/ingredients"
)

// Digits in sentences: four that count, halves upward.
func TestDigitsInSentences(t *testing.T) {
	r := job(t, "body-lotion", "1.23456", sheet(t, "m", "Phenoxyethanol", "100"), nil)
	assert.Contains(t, r.Aggregates[0].Arithmetic, "SED = 269 × 1.235 % × 80 % = ")
	assert.Contains(t, marginOf(t, r, "Phenoxyethanol").SED.Text, "123.2 × 1.235 % × 80 %")
	fo := declared(t, scentSheet("fo"), ingredients.List2003, "Linalool", "0.043215-0.234564")
	r = assessed(t, withFormula(t, formula.Percent, "base", "q.s.", "fo", "1"), &formula.Variant{}, "body-butter", rows.GB, 20261125, squalane(t), fo)
	assert.Contains(t, said(findingOf(t, r, "allergen-open")).Message, "0.0004322 to 0.002346 % of the product;")
	r = assessed(t, withFormula(t, formula.Percent, "base", "q.s.", "fo", "1.23456"), &formula.Variant{}, "body-butter", rows.GB, 20261125, squalane(t), certified(t, fo, "5A", "1"))
	assert.Equal(t, "1.235 % of the product; its certificate allows 1 % in category 5A", said(findingOf(t, r, "fragrance-over")).Message)
	r = assessed(t, withFormula(t, formula.Percent, "base", "q.s.", "fo", "1.23456"), &formula.Variant{}, "body-lotion", rows.GB, 20261125, squalane(t), fo)
	// 7.82 g / 15670 cm² = 0.499 mg/cm²; 1.23456 × 0.234564 % = 0.0028958
	assert.Contains(t, r.LocalDoses[0].Arithmetic, "0.499 mg/cm² × 0.002896 % × 1000 = 0.01445 µg/cm² a day")
}

// The row of the type stands before its stand-in; a row that holds an area and no
// amount gives no exposure.
func TestWhichExposureRow(t *testing.T) {
	in := exposureInput(t, "body-lotion", formula.Adults, nil)
	in.Type = &table.ProductType{ExposureKey: "body-lotion", ProxyKey: "shower-gel"}
	e, _ := exposure.ExposureOf(in)
	assert.Equal(t, exposure.ExposureTable, e.Origin)
	assert.Equal(t, "body-lotion", e.Key)
	in.Type = &table.ProductType{ExposureKey: "deodorant-paste"}
	e, fs := exposure.ExposureOf(in)
	assert.Equal(t, exposure.ExposureNone, e.Origin)
	assert.False(t, e.Known())
	assert.Equal(t, []string{"ask no-exposure"}, codes(fs))
	for key, mean := range map[string]bool{"face-cream-us": true, "bar-soap": true, "face-cream": false} {
		in.Type = &table.ProductType{ExposureKey: key}
		e, _ = exposure.ExposureOf(in)
		assert.Equal(t, mean, e.Population, key)
	}
	// 1.5 g over 200 cm² is 7.5 mg/cm², below the published driver of 9 for the underarm
	fo := declared(t, scentSheet("fo"), ingredients.List2023, "Linalool", "50")
	r := assessed(t, withFormula(t, formula.Percent, "base", "q.s.", "fo", "1"), &formula.Variant{}, "deodorant-stick", rows.GB, 20261125, squalane(t), fo)
	assert.Equal(t, 9.0, r.LocalDoses[0].ProductMgCm2.Value)
	assert.Equal(t, "published driver for the underarm, above 7.5 mg/cm² from amount and area", r.LocalDoses[0].ProductMgCm2.Note)
}

// A material that is all of the product has no room, nor has one of which there is none.
func TestNoRoom(t *testing.T) {
	assert.Empty(t, headroom.Headrooms(assessed(t, withFormula(t, formula.Percent, "base", "100"), &formula.Variant{}, "body-butter", rows.GB, 20261125, squalane(t))))
	mix := formula.Mixture{Shares: []formula.Share{{Ingredient: "a", Pct: num(t, "100")}, {Ingredient: "b"}}}
	assert.Empty(t, headroom.MoversOf(mix))
	mix = formula.Mixture{Shares: []formula.Share{{Ingredient: "a", Pct: num(t, "60"), Rest: true}, {Ingredient: "b", Pct: num(t, "40"), Slot: "s"}, {Ingredient: "c", Slot: "s"}}}
	movers := headroom.MoversOf(mix)
	require.Len(t, movers, 2)
	assert.Equal(t, []string{"b", "s"}, []string{movers[0].Ingredient, movers[1].Slot})
	assert.Equal(t, "100", movers[0].Room.Exact())
	assert.Equal(t, "0.025", movers[0].Rate["b"].Exact())
	assert.Equal(t, "-1/60", movers[0].Rate["a"].Exact())
	criteria, _ := ageing.ChallengeCriteria(table.Builtin())
	for _, c := range criteria {
		assert.Equal(t, c.LeastLog == 0, c.OnlyNoRise)
	}
}

// A ban on a fragrance ingredient is for the assessor where plants bring it in, or where
// it may be absent.
func TestBansOfStandards(t *testing.T) {
	run := handRun(t, "a", "1")
	run.In.Materials = map[string]*formula.Material{}
	for _, s := range []*ingredients.Sheet{sheet(t, "plant", "Exemplum Flower Oil", "100"), sheet(t, "plain", "Exemplum", "100")} {
		run.In.Materials[s.ID] = formula.Prepare(s, ingredients.NewDictionary())
	}
	ban := func(basis, material, content string) standards.StandardCheck {
		c := standards.StandardCheck{Row: &table.FragranceStandard{Basis: basis}, Content: rangeOf(t, content)}
		standards.StandardBan(run, &c, []*limits.LimitUse{brought(t, "Exemplum", material, content)})
		assert.Equal(t, standards.StandardProhibited, c.Verdict)
		return c
	}
	const says, soft = "not to be used as a fragrance ingredient", "; here it comes in with natural materials or may be absent, which is for the assessor"
	c := ban(says, "plain", "1")
	assert.Equal(t, says, c.Reason)
	assert.False(t, c.Soft)
	c = ban("sensitiser", "plain", "1")
	assert.Equal(t, says+": sensitiser", c.Reason)
	c = ban("sensitiser", "plant", "1")
	assert.Equal(t, says+": sensitiser"+soft, c.Reason)
	assert.True(t, c.Soft)
	c = ban(says, "plain", "0-1")
	assert.Equal(t, says+soft, c.Reason)
	assert.True(t, c.Soft)

	u := brought(t, "Exemplum", "plain", "1")
	s := limits.UseSituation(run.In, law.Situation{}, u.S)
	assert.Equal(t, law.No, s.Natural)
	assert.Equal(t, law.No, s.Nano)
	u.Roles = limits.Roles{Main: []string{"a"}, All: []string{"a", "b"}, Known: true}
	for f, want := range map[string][2]bool{"a": {true, true}, "b": {false, true}, "c": {false, false}} {
		sure, may := u.HasRole(f)
		assert.Equal(t, want, [2]bool{sure, may}, f)
	}
	u.Roles.Known = false
	_, may := u.HasRole("c")
	assert.True(t, may)
	u.Roles = limits.Roles{Main: []string{"a"}, Known: true}
	_, may = u.HasRole("a")
	assert.True(t, may)
}

// A spray is breathed in beside what the skin takes up, at the typical content too: of 1
// to 3 %, 2 is two thirds of 3.
func TestTypicalDoseOfASpray(t *testing.T) {
	m := sheet(t, "m", "Cocamidopropyl Betaine", "10-30", "Glycerin", "70-90")
	r := job(t, "deodorant-aerosol", "10", m, nil)
	x := marginOf(t, r, "Cocamidopropyl Betaine")
	require.Positive(t, x.SED.Inhaled)
	assert.InEpsilon(t, x.SED.Max*2/3, x.SED.Typical, 1e-9)
	assert.InEpsilon(t, x.SED.Max, x.SED.Skin+x.SED.Inhaled, 1e-12)
	assert.Contains(t, x.SED.Text, " × 3 % inhaled")

	// a sheet's value replaces the table's of the same kind alone
	dermal := func(change func(*ingredients.Toxicology)) float64 {
		m := sheet(t, "m", "Phenoxyethanol", "100")
		v := tox(t, m, "", "", "", "")
		v.Replaces = true
		change(v)
		return marginOf(t, job(t, "body-lotion", "1", m, nil), "Phenoxyethanol").Absorption.Pct.Value
	}
	assert.Equal(t, 20.0, dermal(func(v *ingredients.Toxicology) { v.DermalAbsorptionPct = ptr(num(t, "20")) }))
	assert.Equal(t, 80.0, dermal(func(v *ingredients.Toxicology) { v.OralAbsorptionPct = ptr(num(t, "20")) }))
	assert.Equal(t, 80.0, dermal(func(v *ingredients.Toxicology) { v.PoDType, v.PoD = "NOAEL", ptr(num(t, "100")) }))
	assert.Equal(t, 50.0, dermal(func(v *ingredients.Toxicology) { v.DermalUgCm2 = ptr(num(t, "1")) }), "the default, beside the figure per area")

	// clay does not react, and stands beside the soap
	soap := soapProduct(t, "KOH", "olive", "50", "koh", "8", "clay", "2", "water", "40")
	r = assessed(t, soap, &formula.Variant{}, "bar-soap", rows.GB, 20261125, append(soapSheets(t, "olive", "Olea Europaea Fruit Oil"), sheet(t, "clay", "Kaolin", "100"))...)
	assert.Equal(t, []string{"lye reaction 98", "clay 2"}, sharesText(r.Whole().Mixture))
	assert.Equal(t, []string{"olive", "koh", "water"}, []string{r.Reactions[0].From[0].Ingredient, r.Reactions[0].From[1].Ingredient, r.Reactions[0].From[2].Ingredient})
}
