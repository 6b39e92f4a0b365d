package preservation_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law"
	"gallipot/calc/law/rows"
	"gallipot/calc/law/safety"
	"gallipot/calc/law/table"
	"gallipot/calc/preservation"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients"
	"gallipot/ingredients/finding"
)

// kept runs a product of half water and half of one material, with evidence.
func keptWith(t testing.TB, product string, m *ingredients.Sheet, pct string, e formula.Evidence) *calc.Result {
	t.Helper()
	p := formulatest.WithFormula(t, formula.Percent, "water", "q.s.", m.ID, pct)
	if pct == "100" {
		p = formulatest.WithFormula(t, formula.Percent, m.ID, "100")
	}
	p.Evidence = e
	return calctest.Assess(t, p, &formula.Variant{}, product, rows.GB, 20261125, m,
		formulatest.Sheet(t, "water", "Aqua", "100"))
}

// preservationCodes are the findings of Preservation alone.
func preservationCodes(r *calc.Result) []string {
	return formulatest.Codes(preservation.Preservation(r.Input, r.Whole()))
}

// Where germs may grow something has to keep them from it, or a case is made; ISO 29621
// and Regulation (EC) 1223/2009 Annex I part A 3.
func TestWhoNeedsAPreservative(t *testing.T) {
	oil := formulatest.Sheet(t, "oil", "Squalane", "100")
	assert.Empty(t, preservationCodes(keptWith(t, "body-butter", oil, "100", formula.Evidence{})),
		"no water, and none gets in")
	r := keptWith(t, "body-lotion", oil, "50", formula.Evidence{})
	require.Equal(t, []string{"ask no-preservative"}, preservationCodes(r))
	f := calctest.Finding(t, r, "no-preservative")
	assert.Equal(t, "it contains 50 % of Aqua but no preservative, so microbes may grow", wordstest.Said(f).Message)
	assert.Equal(t, "a laboratory or the assessor", wordstest.Said(f).Ask)
	assert.Contains(t, wordstest.Said(f).Fix,
		"add a preservative and have it tested (ISO 11930), or enter low_risk with one of: ")
	for _, x := range preservation.LowRiskCriteria(formulatest.Session(table.Builtin())) {
		assert.Contains(t, wordstest.Said(f).Fix, x.Text)
	}
	// plant waters are water: 50 and 20 %
	r = keptWith(t, "body-lotion",
		formulatest.Sheet(t, "rose", "Rosa Damascena Flower Water", "40", "Squalane", "60"), "50", formula.Evidence{})
	assert.Equal(t, "it contains 70 % of Aqua and Rosa Damascena Flower Water but no preservative, so microbes may grow", wordstest.Said(calctest.Finding(t, r, "no-preservative")).Message)

	// a dry product that water gets into: the first such type of the table
	for _, pt := range law.ProductTypes(table.Builtin()) {
		if !pt.WaterContact {
			continue
		}
		r = keptWith(t, pt.Key, oil, "100", formula.Evidence{})
		assert.Equal(t, "it contains no preservative, but water gets in when it is used ("+formula.LowerFirst(pt.Name)+"), so microbes may grow", wordstest.Said(calctest.Finding(t, r, "no-preservative")).Message)
		r = keptWith(t, pt.Key, oil, "100", formula.Evidence{LowRisk: &formula.LowRisk{Reason: "no water"}})
		require.Equal(t, []string{"ask low-risk"}, preservationCodes(r))
		assert.Equal(t, "a low-risk case is made (no water), which the assessor judges; water gets in when it is used, so being without water is not reason enough", wordstest.Said(calctest.Finding(t, r, "low-risk")).Message)
		break
	}

	one := formulatest.Material(t, "keeper", "preservative", "Phenoxyethanol", "100")
	r = keptWith(t, "body-lotion", one, "0.9", formula.Evidence{})
	require.Equal(t, []string{"ask no-challenge-test"}, preservationCodes(r))
	assert.Equal(t, "no challenge test is on record; that it contains a preservative does not show that it is protected: Phenoxyethanol", wordstest.Said(calctest.Finding(t, r, "no-challenge-test")).Text())
	two := formulatest.Material(t, "keeper", "preservative", "Phenoxyethanol", "70", "Sorbic Acid", "30")
	r = keptWith(t, "body-lotion", two, "0.9", formula.Evidence{})
	assert.Equal(t, "no challenge test is on record; that it contains a preservative does not show that it is protected: Phenoxyethanol, Sorbic Acid", wordstest.Said(calctest.Finding(t, r, "no-challenge-test")).Text())
	// a trace of a preservative keeps nothing
	r = keptWith(t, "body-lotion",
		formulatest.Impure(t, formulatest.Sheet(t, "oil", "Squalane", "100"), "Phenoxyethanol", "0.1"), "50",
		formula.Evidence{})
	assert.Equal(t, []string{"ask no-preservative"}, preservationCodes(r))
}

func TestChallengeTestsOnRecord(t *testing.T) {
	keeper := formulatest.Material(t, "keeper", "preservative", "Phenoxyethanol", "100")
	for _, c := range []struct{ verdict, want, message, ask string }{
		{"A", "note challenge-test", "challenge test ISO 11930 of 2026-05-01: criterion A", ""},
		{"a", "note challenge-test", "challenge test ISO 11930 of 2026-05-01: criterion A", ""},
		{"B", "ask challenge-test-b", "challenge test ISO 11930 of 2026-05-01 meets criterion B only", "the assessor"},
		{"fail", "stop challenge-test-failed", "challenge test ISO 11930 of 2026-05-01 failed", ""},
	} {
		r := keptWith(t, "body-lotion", keeper, "0.9",
			formula.Evidence{ChallengeTests: []formula.ChallengeTest{{Method: "ISO 11930", Verdict: c.verdict,
				Dated: 20260501}}})
		fs := preservation.Preservation(r.Input, r.Whole())
		require.Equal(t, []string{c.want}, formulatest.Codes(fs), "a test is on record")
		assert.Equal(t, c.message, wordstest.Said(fs[0]).Message)
		assert.Equal(t, c.ask, wordstest.Said(fs[0]).Ask)
	}
	// without a preservative a test answers too
	r := keptWith(t, "body-lotion", formulatest.Sheet(t, "oil", "Squalane", "100"), "50",
		formula.Evidence{ChallengeTests: []formula.ChallengeTest{{Verdict: "A"}}})
	assert.Equal(t, []string{"note challenge-test"}, preservationCodes(r))
}

func TestLowRiskCase(t *testing.T) {
	oil := formulatest.Sheet(t, "oil", "Squalane", "100")
	f := func(c formula.LowRisk) finding.Finding {
		r := keptWith(t, "body-lotion", oil, "50", formula.Evidence{LowRisk: &c})
		require.Equal(t, []string{"ask low-risk"}, preservationCodes(r), "the case stands for preservative and test")
		return calctest.Finding(t, r, "low-risk")
	}
	assert.Equal(t, "a low-risk case is made (dry), which the assessor judges",
		wordstest.Said(f(formula.LowRisk{Reason: "dry"})).Message)
	assert.Equal(t, "add the measured figure (water_activity, ph or ethanol_pct) and the report",
		wordstest.Said(f(formula.LowRisk{Reason: "dry"})).Fix)
	for _, c := range []formula.LowRisk{{WaterActivity: formulatest.Ptr(formulatest.Num(t, "0.6"))},
		{PH: formulatest.Ptr(formulatest.Num(t, "2"))}, {EthanolPct: formulatest.Ptr(formulatest.Num(t, "40"))}} {
		assert.Equal(t, "add the report of the measurement under evidence", wordstest.Said(f(c)).Fix)
		c.File = "evidence/aw.txt"
		assert.Equal(t, "show the assessor evidence/aw.txt", wordstest.Said(f(c)).Fix)
	}
	kinds := map[string]safety.LowRiskKind{"yes": safety.LowRiskAlone, "supports": safety.LowRiskSupports}
	for _, c := range []struct{ item, value, unit, want string }{
		{"water activity", "<=0.75", "aw", "water activity at most 0.75"},
		{"pH", "<3", "pH", "pH below 3"},
		{"filling", ">=65", "deg C", "filling at least 65 °C"},
		{"ethanol", ">20", "% w/w", "ethanol above 20 % w/w"},
		{"single-use pack", "yes", "flag", "single-use pack"},
		{"chelating agent", "supports", "flag", "chelating agent, which only supports a case"},
		{"ratio", "0.5", "", "ratio 0.5"},
	} {
		assert.Equal(t, c.want, preservation.LowRiskWords(&safety.StabilityItem{Item: c.item, Value: c.value,
			Unit: c.unit, LowRisk: kinds[c.value]}))
	}
	for _, row := range law.LowRiskCriteria(table.Builtin()) {
		assert.Equal(t, row.Value != "rule",
			formula.HasValue(preservation.LowRiskCriteria(formulatest.Session(table.Builtin())),
				finding.Value{Kind: finding.KindQuote, Text: preservation.LowRiskWords(row)}), row.Item)
	}
}

// A low-risk case of a dry product that gets wet in use does not rest on dryness.
func TestLowRiskOfAWetProduct(t *testing.T) {
	glycerin := formulatest.Sheet(t, "m", "Glycerin", "100")
	low := func(pct string) string {
		r := keptWith(t, "shower-gel", glycerin, pct, formula.Evidence{LowRisk: &formula.LowRisk{Reason: "no water"}})
		return wordstest.Said(calctest.Finding(t, r, "low-risk")).Message
	}
	assert.NotContains(t, low("50"), "water gets in when it is used")
	assert.Contains(t, low("100"), "water gets in when it is used")
	lotion := keptWith(t, "body-lotion", glycerin, "50",
		formula.Evidence{LowRisk: &formula.LowRisk{Reason: "much glycerin"}})
	assert.NotContains(t, wordstest.Said(calctest.Finding(t, lotion, "low-risk")).Message, "water gets in when it is used")
}

// Water under its own names, and plant waters however they are called, hold water; oils and
// powders of plants do not.
func TestWhatIsWater(t *testing.T) {
	session := formulatest.Session(table.Builtin())
	for name, want := range map[string]bool{"Aqua": true, "Rosa Damascena Flower Water": true,
		"Exemplum Leaf Water": true,
		// a plant water though another word comes last
		"Rosa Damascena Flower Water (Organic)": true, "Rosa Damascena Flower Water Extract": true,
		"Rosa Damascena Flower/Leaf Extract": false,
		"Maris Aqua":                         true,
		"Aloe Barbadensis Leaf Juice":        true, "Aloe Barbadensis Leaf Juice Powder": false, "Squalane": false,
		"Rosa Damascena Flower Oil": false,
		"Exemplum Borealis water":   true, "Watermelon Seed Oil": false, "Exemplum Leaf Powder": false} {
		for range 2 { // the second time from what is remembered
			assert.Equal(t, want, preservation.IsWater(session, name), name)
		}
	}
	// sea water alone is water too, by whatever name it is printed
	for _, printed := range []string{"Sea Water", "Maris Aqua", "Aloe Barbadensis Leaf Juice"} {
		assert.Equal(t, []string{"ask no-preservative"}, preservationCodes(keptWith(t, "body-butter",
			formulatest.Sheet(t, "sea", printed, "100"), "100", formula.Evidence{})), printed)
	}
	r := keptWith(t, "body-lotion", formulatest.Sheet(t, "m", "Squalane", "100"), "33.33333", formula.Evidence{})
	water, ok := calctest.Finding(t, r, "no-preservative").Values.Get("water")
	require.True(t, ok)
	assert.Equal(t, "66.67", water.Round.Of(water.High()))
}
