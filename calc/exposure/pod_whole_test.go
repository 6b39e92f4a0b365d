package exposure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc"
	"gallipot/calc/calctest"
	"gallipot/calc/exposure"
	"gallipot/calc/formula/formulatest"
)

// TestSheetToxicology: a sheet's value adds to the table's and the lowest is
// used; only where it says so does it replace them.
func TestSheetToxicology(t *testing.T) {
	// glycerin 5 % in body lotion; the table has NOAEL 8000, absorption 50 % by default
	run := func(replaces bool, pod, dermal string) (*exposure.Margin, *calc.Result) {
		m := formulatest.Sheet(t, "m", "Glycerin", "100")
		formulatest.Tox(t, m, "NOAEL", pod, dermal, "").Replaces = replaces
		r := calctest.Job(t, "body-lotion", "5", m, nil)
		return calctest.Margin(t, r, "Glycerin"), r
	}
	x, r := run(false, "1000", "")
	assert.Equal(t, 1000.0, x.PoD.Value)
	assert.Equal(t, "m", x.PoD.Sheet)
	require.Len(t, x.Others, 1)
	assert.Equal(t, 8000.0, x.Others[0].Value)
	assert.Empty(t, calctest.Findings(r, "toxicology-replaced"))

	x, _ = run(false, "9000", "")
	assert.Equal(t, 8000.0, x.PoD.Value, "the lowest is used")

	x, r = run(true, "9000", "")
	assert.Equal(t, 9000.0, x.PoD.Value)
	assert.Empty(t, x.Others)
	assert.Len(t, calctest.Findings(r, "toxicology-replaced"), 1, "a higher value in place of a lower one is asked about")

	x, _ = run(false, "9000", "12")
	assert.Equal(t, 12.0, x.Absorption.Pct.Value, "a stated absorption stands before the default")
	assert.Equal(t, exposure.AbsorptionStated, x.Absorption.Kind)

	// a measured value of the table and a lower one of a sheet: the higher counts
	m := formulatest.Sheet(t, "m", "Phenoxyethanol", "100")
	formulatest.Tox(t, m, "", "", "20", "")
	assert.Equal(t, 80.0, calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil),
		"Phenoxyethanol").Absorption.Pct.Value)

	// no sheet makes a threshold where none is assumed
	m = formulatest.Sheet(t, "m", "Lead", "100")
	formulatest.Tox(t, m, "NOAEL", "1", "", "").Replaces = true
	assert.Equal(t, exposure.NoMarginNoThreshold,
		calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Lead").None)
}

func TestSheetStudyWords(t *testing.T) {
	for study, want := range map[string]struct {
		divisor float64
		route   string
	}{
		"rat, oral gavage, 28 days":                      {3, "oral"},
		"rat, oral, 4 weeks":                             {3, "oral"},
		"rat, oral, 90-day":                              {1, "oral"},
		"rat, oral, 28 days range finding, then 90 days": {1, "oral"},
		"rabbit, dermal, 13 weeks":                       {1, "dermal"},
		"rat, oral, gestation, 14 days":                  {1, "oral"},
		"":                                               {1, "oral"},
	} {
		m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
		formulatest.Tox(t, m, "NOAEL", "300", "20", "60").Study = study
		x := calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid")
		assert.Equal(t, want.divisor, x.PoD.Divisor(), study)
		assert.Equal(t, want.route, x.PoD.Route, study)
		share := 60.0
		if want.route == "dermal" {
			share = 20
		}
		assert.InDelta(t, 300/want.divisor*share/100, x.PoDSys, 1e-9, study)
	}
}

func TestSheetToxicologyFindings(t *testing.T) {
	m := formulatest.Sheet(t, "m", "Glycerin", "100")
	formulatest.Tox(t, m, "NOAEL", "10", "", "").INCI = "Glycerol Formal"
	r := calctest.Job(t, "body-lotion", "5", m, nil)
	assert.Len(t, calctest.Findings(r, "toxicology-unmatched"), 1)
	assert.Equal(t, 8000.0, calctest.Margin(t, r, "Glycerin").PoD.Value)

	m = formulatest.Sheet(t, "m", "Glycerin", "100")
	formulatest.Tox(t, m, "LD50", "10", "", "")
	r = calctest.Job(t, "body-lotion", "5", m, nil)
	assert.Len(t, calctest.Findings(r, "not-a-pod"), 1)
	assert.Equal(t, 8000.0, calctest.Margin(t, r, "Glycerin").PoD.Value, "a value that is none does not hide one that is")
}

// What a study of a sheet is, in words and figures.
func TestStudiesInMargins(t *testing.T) {
	pod := func(podType, study, value string) exposure.PoD {
		m := formulatest.Sheet(t, "m", "Exemplum Acid", "100")
		formulatest.Tox(t, m, podType, value, "20", "60").Study = study
		x := calctest.Margin(t, calctest.Job(t, "body-lotion", "1", m, nil), "Exemplum Acid")
		if x.PoD != nil {
			return *x.PoD
		}
		require.NotEmpty(t, x.Others)
		return x.Others[0]
	}
	p := pod("NOAEL", "rat, oral, 28 days", "300")
	require.NotNil(t, p.DurationFactor)
	assert.Equal(t, "study of 28 days", p.DurationFactor.Note)
	assert.InDelta(t, 60, p.Sys, 1e-9) // 300 / 3 × 60 %
	assert.Equal(t, "oral absorption stated on sheet m", p.SystemicWhy)
	assert.Nil(t, pod("NOAEL", "rat, oral, 29 days", "300").DurationFactor)
	assert.Equal(t, "", pod("NOAEL", "rat", "300").Unusable)
	p = pod("LOAEL", "rat, oral, 90 days", "300")
	assert.Equal(t, 3.0, p.LOAELFactor.Value)
	assert.InDelta(t, 60, p.Sys, 1e-9)
	p = pod("NOAEL", "rabbit, dermal, 90 days", "300")
	assert.Equal(t, "dermal study: dermal absorption, taken as in the test species", p.SystemicWhy)
	assert.InDelta(t, 60, p.Sys, 1e-9) // 300 × 20 %
	assert.Equal(t, "inhalation study: the assessor converts it by breathing volume and absorption",
		pod("NOAEL", "rat, inhalation, 90 days", "300").Unusable)
	assert.Equal(t, "ADI is a safe intake already, not a point of departure: it is not divided again",
		pod("ADI", "", "5").Unusable)
	assert.Equal(t, "T25 is a dose that causes tumours, not one without effect: margin of exposure, not margin of safety", pod("T25", "", "5").Unusable)
	assert.Equal(t, `"guess" is not known as a point of departure`, pod("guess", "", "5").Unusable)
	assert.Equal(t, "a value of 0 is no point of departure", pod("NOAEL", "", "0").Unusable)
	for study, human := range map[string]bool{"Human volunteers": true, "rat; human data": false} {
		p := pod("NOAEL", study, "5")
		assert.Equal(t, human, p.Human(), study)
	}
}
