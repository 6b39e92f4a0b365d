package exposure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/table"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/finding"
)

// The arithmetic that the report shows, by hand; amounts of exposure.csv, which cites
// SCCS/1647/22 and the source of each row.
func TestExposureArithmetic(t *testing.T) {
	for _, c := range []struct {
		product  string
		audience formula.Audience
		own      *formula.OwnExposure
		want     string
	}{
		{"body-lotion", formula.Adults, nil, "E/bw = 123.2 mg/kg bw/d as printed"},
		{"body-lotion", formula.ChildrenThree, nil, "E/bw = 123.2 mg/kg bw/d as printed; for children × 1.6 = 197.1"},
		{"body-lotion", formula.UnderThree, nil, "E/bw = 123.2 mg/kg bw/d as printed; for children × 2.3 = 283.4"},
		{"body-oil", formula.Adults, formulatest.Own(t, "relative", "7.5"), "E/bw = 7.5 mg/kg bw/d as given"},
		{"body-oil", formula.UnderThree, formulatest.Own(t, "relative", "7.5"), "E/bw = 7.5 mg/kg bw/d as given"},
		{"shower-gel", formula.Adults, formulatest.Own(t, "g", "4", "retention", "25"),
			"E/bw = 4 g/d × 0.25 × 1000 / 60 kg = 16.67 mg/kg bw/d"},
		{"nail-oil", formula.Adults, formulatest.Own(t, "g", "0.3"), "E/bw = 0.3 g/d × 1000 / 60 kg = 5 mg/kg bw/d"},
		{"shower-gel", formula.Adults, formulatest.Own(t, "weight", "50"),
			"E/bw = 18.67 g/d × 0.01 × 1000 / 50 kg = 3.8 mg/kg bw/d"}, // the printed 0.19 g, not 0.1867
		{"lip-gloss", formula.Adults, nil, "E/bw = 0.372 g/d × 1000 / 60 kg = 6.2 mg/kg bw/d"},
		{"toothpaste-child", formula.ChildrenThree, nil, "E/bw = 2.75 g/d × 1000 / 12 kg = 229.2 mg/kg bw/d"},
	} {
		e, _ := exposureOf(t, c.product, c.audience, c.own)
		assert.Equal(t, c.want, e.Arithmetic, c.product)
	}
}

func TestExposureNotes(t *testing.T) {
	notes := func(product string, audience formula.Audience) string {
		e, _ := exposureOf(t, product, audience, nil)
		return strings.Join(e.Notes, "\n")
	}
	// 2.47 / 0.825 = 2.994 g a use
	assert.Contains(t, notes("bar-soap", formula.Adults),
		"one use of 2.994 g a day; the source spreads 0.825 uses a day over the year")
	// 0.104 / 0.00548 = 18.98
	assert.Contains(t, notes("bath-bomb", formula.Adults),
		"one use of 18.98 g a day; the source spreads 0.00548 uses a day over the year")
	assert.Contains(t, notes("nail-varnish", formula.Adults), "a product that stays on: the factor of the row is not used")
	assert.Contains(t, notes("lip-gloss", formula.Adults), "all of it is taken as swallowed")
	assert.NotContains(t, notes("lip-gloss", formula.Adults), "over the year", "used 1.86 times a day")
	assert.Contains(t, notes("toothpaste-child", formula.ChildrenThree),
		"no figure for children: an adult's amount taken as swallowed whole")
	assert.Contains(t, notes("nappy-balm", formula.UnderThree), "nappy area")
	assert.NotContains(t, notes("body-lotion", formula.Adults), "nappy area")
	assert.Contains(t, notes("body-lotion", formula.Adults),
		"exposure.csv, row body-lotion: Amounts read in a published digest of SCCS/1647/22")
	assert.NotContains(t, notes("body-lotion", formula.Adults), "product-types.csv", "no judgement in that row")
	assert.Contains(t, notes("baby-lotion", formula.UnderThree),
		"product-types.csv, row baby-lotion: Judgement: Under 3 years")

	e, _ := exposureOf(t, "toothpaste-child", formula.ChildrenThree, nil)
	assert.Equal(t, 1.0, e.Retention.Value)
	assert.Equal(t, formula.SeenGiven, e.Retention.Seen)
	assert.Equal(t, 2.75, e.ExposureG.Value)
	e, _ = exposureOf(t, "body-lotion", formula.Adults, nil)
	assert.False(t, e.Population, "a committee's default is no mean")
}

// A child's one use a day is scaled like the rest: 2.495 × 1.6 = 3.992.
func TestOneUseOfAChild(t *testing.T) {
	e, _ := exposureOf(t, "bar-soap", formula.ChildrenThree, nil)
	assert.InDelta(t, 3.992, e.MgPerKg.Value, 0.001)
}

// Figures of 0 in the product file are not taken for figures.
func TestOwnZeroes(t *testing.T) {
	e, _ := exposureOf(t, "shower-gel", formula.Adults, formulatest.Own(t, "area", "0", "weight", "0"))
	assert.Equal(t, 17500.0, e.AreaCm2.Value)
	assert.Equal(t, 60.0, e.BodyWeightKg.Value)
	assert.Equal(t, 2.79, e.MgPerKg.Value)
	assert.Equal(t, 60.0, e.UserWeightKg.Value)
	// an own amount of the table's product: 18.67 g as given by the maker, all of it
	e, _ = exposureOf(t, "body-lotion", formula.Adults, formulatest.Own(t, "g", "6"))
	assert.Equal(t, 6.0, e.AmountG.Value)
	assert.InDelta(t, 100, e.MgPerKg.Value, 1e-9)
}

func TestExposureFindingsInWords(t *testing.T) {
	find := func(product string, audience formula.Audience, own *formula.OwnExposure, code string) finding.Finding {
		t.Helper()
		_, fs := ExposureOf(formulatest.OfType(t, product, audience, own))
		for _, f := range fs {
			if f.Code == code {
				return f
			}
		}
		t.Fatalf("no %s in %v", code, formulatest.Codes(fs))
		return finding.Finding{}
	}
	for _, c := range []struct {
		product  string
		audience formula.Audience
		own      *formula.OwnExposure
		want     string
	}{
		{"body-lotion", formula.ChildrenThree, nil,
			"it is for children from three years: an adult's exposure times 1.6 for skin surface is used"},
		{"body-lotion", formula.UnderThree, nil,
			"it is for children under three: an adult's exposure times 2.3 for skin surface is used"},
		{"baby-lotion", formula.Adults, nil, "it is for children under three: a body weight of 5 kg is used"},
		{"baby-lotion", formula.ChildrenThree, nil, "it is for children under three: a body weight of 5 kg is used"},
		{"nappy-balm", formula.UnderThree, formulatest.Own(t, "weight", "8"),
			"it is for children under three: the body weight in the product file is used, 8 kg"},
		{"body-lotion", formula.UnderThree, formulatest.Own(t, "relative", "7"),
			"it is for children under three: the exposure is used as stated in the product file"},
		{"toothpaste-child", formula.ChildrenThree, nil,
			"it is for children from three years: a body weight of 12 kg is used"},
		{"toothpaste-child", formula.Adults, nil, "it is for children under three: a body weight of 5 kg is used"},
	} {
		f := find(c.product, c.audience, c.own, "child-exposure")
		assert.Equal(t, c.want, wordstest.Said(f).Message)
		assert.Equal(t, "the assessor", wordstest.Said(f).Ask)
		assert.Contains(t, wordstest.Said(f).Why, "exposure of the youngest user counts; SCCNFP/0557/02 and EFSA 2012")
		assert.Equal(t, strings.Contains(c.want, "under three"),
			strings.Contains(wordstest.Said(f).Why, "Regulation (EC) 1223/2009 Annex I part B"), "an assessment of their own")
	}
	assert.Equal(t, "there is no published exposure for body oil, so that of body lotion is used: 123.2 mg/kg bw/d", wordstest.Said(find("body-oil", formula.Adults, nil, "exposure-proxy")).Message)
	assert.Equal(t, "there is no published exposure for nail and cuticle oil and none for anything near it, so no exposure to any substance is computed", wordstest.Said(find("nail-oil", formula.Adults, nil, "no-exposure")).Message)
	assert.Equal(t, "it is rinsed off, but the product file does not say how much stays, so all of it is taken to stay", wordstest.Said(find("shower-gel", formula.Adults, formulatest.Own(t, "g", "10"), "exposure-incomplete")).Message)
	assert.Equal(t, "the product file says that nothing of it stays, so no exposure is computed; that is not the same as none",
		wordstest.Said(find("shower-gel", formula.Adults, formulatest.Own(t, "g", "10", "retention", "0"),
			"exposure-incomplete")).Message)
	for in, want := range map[string]string{"Body oil": "body oil", "UV filter": "UV filter", "A": "A", "": "",
		"Az": "az", "Aa": "aa", "A b": "a b", "B 5": "B 5", "B{": "B{"} {
		assert.Equal(t, want, formula.LowerFirst(in))
	}
}

// A child between three years and twelve uses what is made for the youngest as the
// youngest do; covered skin takes up more, which is said.
func TestAudiencesAndNappies(t *testing.T) {
	e, _ := exposureOf(t, "baby-lotion", formula.ChildrenThree, nil)
	assert.Equal(t, formula.UnderThree, e.Audience)
	e, _ = exposureOf(t, "body-lotion", formula.ChildrenThree, nil)
	assert.Equal(t, formula.ChildrenThree, e.Audience)
	e, _ = exposureOf(t, "body-lotion", formula.Adults, formulatest.Own(t, "g", "5"))
	require.NotNil(t, e.Retention)
	assert.Equal(t, "retention not given: all of it is taken to stay", e.Retention.Note)
	tables := table.Builtin()
	var nappy string
	for _, key := range []string{"nappy-cream", "baby-cream", "baby-lotion", "baby-powder", "baby-oil"} {
		if pt, ok := law.ProductType(tables, key); ok && nappy == "" {
			for _, a := range pt.Areas {
				if a == "nappy" {
					nappy = key
				}
			}
		}
	}
	require.NotEmpty(t, nappy)
	e, _ = exposureOf(t, nappy, formula.UnderThree, nil)
	assert.Contains(t, e.Notes, "nappy area: covered, moist or broken skin takes up more; the assessor judges it case by case")
}
