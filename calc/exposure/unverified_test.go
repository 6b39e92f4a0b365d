package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula"
	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/rows"
	"gallipot/dossier/words/wordstest"
	"gallipot/ingredients/finding"
)

// rowsFromMemory are the rows of a table that a result names as not read.
func rowsFromMemory(r *calc.Result, table string) []string {
	var out []string
	for _, m := range r.MemoryFigures() {
		if m.Table == table {
			out = append(out, m.Row)
		}
	}
	return out
}

// whatFromMemory says what figures of a margin are named as not read.
func whatFromMemory(x *exposure.Margin) []string {
	var out []string
	for _, m := range x.Memory {
		out = append(out, m.What)
	}
	return out
}

// The marks as facts.csv has them: the breathing rate was read, the rest of the
// inhalation model was not; figures of this program and of a sheet are no memory.
func TestFiguresFromMemory(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "", "")
	r := calctest.Job(t, "face-mist", "1", m, nil)
	assert.Equal(t, []string{"body-weight-adult", "dermal-absorption-default", "inhalation-airborne-pump",
		"inhalation-far-time", "inhalation-far-volume",
		"inhalation-near-time", "inhalation-near-volume", "inhalation-respirable-pump", "inhalation-retained",
		"lung-absorption"}, rowsFromMemory(r, "facts.csv"))
	f := calctest.Finding(t, r, "figures-unverified")
	assert.Equal(t, finding.Ask, f.Severity)

	// body lotion prints its exposure per body weight: nothing is divided by 60 kg;
	// grams of the maker's own are
	assert.Equal(t, []string{"dermal-absorption-default"},
		rowsFromMemory(calctest.Job(t, "body-lotion", "1", m, nil), "facts.csv"))
	assert.Equal(t, []string{"body-weight-adult", "dermal-absorption-default"},
		rowsFromMemory(calctest.Job(t, "body-lotion", "1", m, formulatest.Own(t, "g", "5")), "facts.csv"))
	assert.Equal(t, []string{"dermal absorption"},
		whatFromMemory(calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid")))
	assert.Equal(t, []string{"oral absorption"},
		whatFromMemory(calctest.Margin(t, calctest.Job(t, "lip-balm", "1", m, nil), "Exemplum Acid")))
}

// Each kind of figure behind a margin is named: the value (betaine, from memory),
// its absorption, the factor for 28 days, the threshold of class II, the total of
// all cosmetics, a published figure for a trace. Marks as in the tables.
func TestEachKindOfFigureFromMemory(t *testing.T) {
	assert.Contains(t, whatFromMemory(calctest.Margin(t,
		calctest.Job(t, "body-lotion", "0.9", formulatest.Sheet(t, "m", "Cocamidopropyl Betaine", "100"), nil),
		"Cocamidopropyl Betaine")), "point of departure")
	assert.NotContains(t, whatFromMemory(calctest.Margin(t,
		calctest.Job(t, "body-lotion", "1", formulatest.Sheet(t, "m", "Glycerin", "100"), nil), "Glycerin")),
		"point of departure", "read in its source")
	assert.Contains(t, whatFromMemory(calctest.Margin(t,
		calctest.Job(t, "body-lotion", "0.1", formulatest.Sheet(t, "m", "Linalool", "100"), nil), "Linalool")),
		"factor for the length of the study")
	dermalStudy := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, dermalStudy, "NOAEL", "100", "", "").Study = "rat, dermal, 90 days" // counts by the default of 50 %
	assert.Contains(t, whatFromMemory(calctest.Margin(t, calctest.Job(t, "body-lotion", "1", dermalStudy, nil),
		"Exemplum Acid")), "absorption in the study")
	screened := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, screened, "", "", "", "").CramerClass = "II"
	assert.Contains(t, whatFromMemory(calctest.Margin(t, calctest.Job(t, "body-lotion", "1", screened, nil),
		"Exemplum Acid")), "threshold of toxicological concern")

	assert.Contains(t, rowsFromMemory(calctest.Job(t, "body-lotion", "1",
		formulatest.Sheet(t, "m", "Phenoxyethanol", "100"), nil), "facts.csv"), "aggregate-exposure-relative")
	lead := calctest.Job(t, "body-lotion", "1",
		formulatest.Traced(t, formulatest.Sheet(t, "m", "Kaolin", "100"), "Lead", "1 ppm"), nil)
	assert.Contains(t, rowsFromMemory(lead, "facts.csv"), "impurity-fda-lead")
	assert.NotContains(t, rowsFromMemory(lead, "facts.csv"), "impurity-lead", "read in its source")
	dioxane := calctest.Job(t, "body-lotion", "10",
		formulatest.Traced(t, formulatest.Sheet(t, "m", "Exemplum Acid", "100"), "1,4-Dioxane", "80 ppm"), nil)
	assert.Contains(t, rowsFromMemory(dioxane, "tox-values.csv"), "1,4-Dioxane")
}

// Nothing from memory: exposure, area and weight of the maker's own, absorption and value of a
// sheet. With the default weight one figure is left, and asked about.
func TestNoFigureFromMemory(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
	formulatest.Tox(t, m, "NOAEL", "100", "20", "60")
	of := func(pairs ...string) *calc.Result {
		p := formulatest.WithFormula(t, formula.Percent, "m", "100")
		p.IntendedFor, p.Exposure = formula.Adults, formulatest.Own(t, pairs...)
		return calctest.Assess(t, p, &formula.Variant{}, "body-lotion", rows.EU, today, m)
	}
	assert.Empty(t, of("relative", "2", "weight", "60", "area", "100").MemoryFigures())
	assert.Empty(t, calctest.Findings(of("relative", "2", "weight", "60", "area", "100"), "figures-unverified"))
	assert.Equal(t, []string{"body-weight-adult"}, rowsFromMemory(of("relative", "2", "area", "100"), "facts.csv"))
	assert.Equal(t, []string{"facts.csv body-weight-adult"},
		wordstest.Said(calctest.Finding(t, of("relative", "2", "area", "100"), "figures-unverified")).Items)
}
