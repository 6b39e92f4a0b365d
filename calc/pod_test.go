package calc

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law"
)

// TestSheetToxicology: a sheet's value adds to the table's and the lowest is
// used; only where it says so does it replace them.
func TestSheetToxicology(t *testing.T) {
	// glycerin 5 % in body lotion; the table has NOAEL 8000, absorption 50 % by default
	run := func(replaces bool, pod, dermal string) (*Margin, *Result) {
		m := sheet(t, "m", "Glycerin", "100")
		tox(t, m, "NOAEL", pod, dermal, "").Replaces = replaces
		r := job(t, "body-lotion", "5", m, nil)
		return marginOf(t, r, "Glycerin"), r
	}
	x, r := run(false, "1000", "")
	assert.Equal(t, 1000.0, x.PoD.Value)
	assert.Equal(t, "m", x.PoD.Sheet)
	require.Len(t, x.Others, 1)
	assert.Equal(t, 8000.0, x.Others[0].Value)
	assert.Empty(t, foundBy(r, "toxicology-replaced"))

	x, _ = run(false, "9000", "")
	assert.Equal(t, 8000.0, x.PoD.Value, "the lowest is used")

	x, r = run(true, "9000", "")
	assert.Equal(t, 9000.0, x.PoD.Value)
	assert.Empty(t, x.Others)
	assert.Len(t, foundBy(r, "toxicology-replaced"), 1, "a higher value in place of a lower one is asked about")

	x, _ = run(false, "9000", "12")
	assert.Equal(t, 12.0, x.Absorption.Pct.Value, "a stated absorption stands before the default")
	assert.Equal(t, AbsorptionStated, x.Absorption.Kind)

	// a measured value of the table and a lower one of a sheet: the higher counts
	m := sheet(t, "m", "Phenoxyethanol", "100")
	tox(t, m, "", "", "20", "")
	assert.Equal(t, 80.0, marginOf(t, job(t, "body-lotion", "1", m, nil), "Phenoxyethanol").Absorption.Pct.Value)

	// no sheet makes a threshold where none is assumed
	m = sheet(t, "m", "Lead", "100")
	tox(t, m, "NOAEL", "1", "", "").Replaces = true
	assert.Equal(t, NoMarginNoThreshold, marginOf(t, job(t, "body-lotion", "1", m, nil), "Lead").None)
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
		m := sheet(t, "m", "Exemplum Acid", "100")
		tox(t, m, "NOAEL", "300", "20", "60").Study = study
		x := marginOf(t, job(t, "body-lotion", "1", m, nil), "Exemplum Acid")
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
	m := sheet(t, "m", "Glycerin", "100")
	tox(t, m, "NOAEL", "10", "", "").INCI = "Glycerol Formal"
	r := job(t, "body-lotion", "5", m, nil)
	assert.Len(t, foundBy(r, "toxicology-unmatched"), 1)
	assert.Equal(t, 8000.0, marginOf(t, r, "Glycerin").PoD.Value)

	m = sheet(t, "m", "Glycerin", "100")
	tox(t, m, "LD50", "10", "", "")
	r = job(t, "body-lotion", "5", m, nil)
	assert.Len(t, foundBy(r, "not-a-pod"), 1)
	assert.Equal(t, 8000.0, marginOf(t, r, "Glycerin").PoD.Value, "a value that is none does not hide one that is")
}

// The types of values by their first letters; what is not known is no dose without
// effect.
func TestKindsOfValues(t *testing.T) {
	for kind, types := range map[podKind][]string{podEffect: {"NOAEL", "noel", "BMDL10", "No effect level"}, podLowest: {"LOAEL", "LOEL"},
		podIntake: {"ADI", "TDI", "UL", "ARfD", "RfD", "DNEL", "tolerable intake"}, podTumour: {"T25", "TD50"}, podUnknown: {"LD50", ""}} {
		for _, name := range types {
			assert.Equal(t, kind, kindOf(law.Builtin(), name), name)
		}
	}
}
