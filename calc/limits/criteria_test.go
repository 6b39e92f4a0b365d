package limits

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/annex"
	"gallipot/ingredients"
)

// The pH of a criterion, read and written by hand; a bound that is named is kept
// at the figure itself for "at most" and "at least" and not for "below" and "above".
func TestPHAgainstItsCriterion(t *testing.T) {
	for _, c := range []struct {
		band            annex.PHBand
		words, ph, want string
	}{
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "7")),
			Max: formulatest.Ptr(formulatest.Num(t, "9.5"))}, "pH from 7 to 9.5", "7-9.5", "kept"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "7")),
			Max: formulatest.Ptr(formulatest.Num(t, "9.5"))}, "pH from 7 to 9.5", "6.9-9", "open"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "7")),
			Max: formulatest.Ptr(formulatest.Num(t, "9.5"))}, "pH from 7 to 9.5", "8-9.6", "open"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "7")),
			Max: formulatest.Ptr(formulatest.Num(t, "9.5"))}, "pH from 7 to 9.5", "6-6.9", "broken"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "7")),
			Max: formulatest.Ptr(formulatest.Num(t, "9.5"))}, "pH from 7 to 9.5", "9.6-10", "broken"},
		{annex.PHBand{Max: formulatest.Ptr(formulatest.Num(t, "12.7"))}, "pH at most 12.7", "12.7", "kept"},
		{annex.PHBand{Max: formulatest.Ptr(formulatest.Num(t, "12.7"))}, "pH at most 12.7", "12.71", "broken"},
		{annex.PHBand{Max: formulatest.Ptr(formulatest.Num(t, "12.7"))}, "pH at most 12.7", "1", "kept"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "6"))}, "pH at least 6", "6", "kept"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "6"))}, "pH at least 6", "5.99", "broken"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "6"))}, "pH at least 6", "13", "kept"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "6"))}, "pH at least 6", "5.5-6.5", "open"},
		{annex.PHBand{Max: formulatest.Ptr(formulatest.Num(t, "11")), MaxOpen: true}, "pH below 11", "10.99", "kept"},
		{annex.PHBand{Max: formulatest.Ptr(formulatest.Num(t, "11")), MaxOpen: true}, "pH below 11", "11", "broken"},
		{annex.PHBand{Max: formulatest.Ptr(formulatest.Num(t, "11")), MaxOpen: true}, "pH below 11", "10.5-11", "open"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "6")), MinOpen: true}, "pH above 6", "6.01", "kept"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "6")), MinOpen: true}, "pH above 6", "6", "broken"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "6")), MinOpen: true}, "pH above 6", "6-6.5", "open"},
		{annex.PHBand{Min: formulatest.Ptr(formulatest.Num(t, "6")), MinOpen: true}, "pH above 6", "5", "broken"},
	} {
		assert.Equal(t, c.words, c.band.Words())
		kept, broken := c.band.Kept(formulatest.Range(t, c.ph))
		got := "open"
		if kept {
			got = "kept"
		}
		if broken {
			got = "broken"
		}
		assert.Equal(t, c.want, got, "%s, pH %s", c.words, c.ph)
		assert.False(t, kept && broken)
	}
}

func TestCriteriaInWords(t *testing.T) {
	for spec, want := range map[string]string{
		"peroxide_mmol_l<10 (of the substance)": "peroxide value below 10 mmol/L (of the substance)",
		"secondary_amine_raw_pct<=0.5":          "secondary amine in the raw material at most 0.5 %",
		"nitrosamine_ug_kg<=50":                 "nitrosamine content at most 50 µg/kg",
		"purity_pct>=99.8":                      "purity at least 99.8 %",
		"heavy_metals_ppm<20":                   "heavy metals below 20 ppm",
		"free_of_nitrosating":                   "free of nitrosating",
	} {
		assert.Equal(t, want, specWords(spec))
	}
}

// A paper that states purity may answer, purity before specification before
// certificate of analysis; one that is only mentioned is none.
func TestCriterionPaper(t *testing.T) {
	paper := func(pairs ...string) string {
		s := &ingredients.Sheet{}
		for i := 0; i < len(pairs); i += 2 {
			s.Documents = append(s.Documents, ingredients.Document{Kind: pairs[i], File: pairs[i+1]})
		}
		return criterionPaper(s, 20261128)
	}
	assert.Equal(t, "b", paper("coa", "a", "purity", "b"))
	assert.Equal(t, "a", paper("coa", "a", "purity", ""))
	assert.Equal(t, "c", paper("sds", "a", "specification", "c", "coa", "d"))
	assert.Equal(t, "", paper("sds", "a"))
	assert.Equal(t, "", paper())
}
