package law

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/calc/law/trade"
)

// The ages that words stand for, in months: from the first on, up to the last and not it.
func TestAgesInMonths(t *testing.T) {
	for word, want := range map[string]Ages{
		"adults": {216, 1200}, "children-3-plus": {36, 1200}, "under-3": {0, 36}, "under-6": {0, 72}, "under-10": {0, 120},
		"0.5-1": {6, 12}, "6-10": {72, 120}, "3-10": {36, 120}, "1-plus": {12, 1200}, "3-plus": {36, 1200},
		"6-plus": {72, 1200}, "10-plus": {120, 1200}, "children": {0, 216},
	} {
		ages, err := AgesOf(word)
		require.NoError(t, err, word)
		assert.Equal(t, want, ages, word)
	}
	_, err := AgesOf("")
	require.Error(t, err)
}

// What a product type says of a use, and what a pack adds to it.
func TestSituationOfATypes(t *testing.T) {
	spray := &trade.ProductType{RinseOff: true, Forms: []string{"pump-spray", "inhalable"}, Codes: []string{"mascara"},
		Population: "under-3"}
	s := SituationOf(spray)
	assert.Equal(t, []string{"pump-spray", "spray"}, s.Forms)
	assert.Equal(t, Yes, s.Inhalable)
	assert.Equal(t, &Ages{0, 36}, s.Ages)
	assert.Contains(t, s.Codes, "eye-product")
	cream := SituationOf(&trade.ProductType{Areas: []string{"face"}})
	assert.Equal(t, No, cream.Inhalable)
	assert.Nil(t, cream.Ages, "a blank says nothing of ages")
	assert.Equal(t, []string{"face", "skin"}, cream.Areas)

	packed := cream.AddForm("aerosol")
	assert.Equal(t, []string{"aerosol", "propellant-spray", "spray"}, packed.Forms)
	assert.Equal(t, Unknown, packed.Inhalable, "it has to be assessed")
	assert.Empty(t, cream.Forms, "the first stays as it was")
	assert.Equal(t, Yes, s.AddForm("loose-powder").Inhalable)
	cream.Forms = []string{"spray"}
	assert.Equal(t, No, cream.AddForm("spray").Inhalable, "it has that form already")

	for form, want := range map[string][]string{"propellant-spray": {"aerosol", "propellant-spray", "spray"},
		"pump-spray": {"pump-spray", "spray"}, "loose-powder": {"loose-powder"}} {
		s := Situation{Forms: []string{form}, Codes: []string{"mascara"}}.Complete()
		assert.Equal(t, want, s.Forms)
		assert.Equal(t, s, s.Complete(), "what is complete stays as it is")
		s.Codes = []string{"lip"}
		assert.Contains(t, s.Complete().Areas, "lip", "what was added later is completed")
	}
}

// A condition is judged by what follows from the words of a use, and one that was not read
// holds nowhere. A rule for some product types is for no other.
func TestConditionsOfAUse(t *testing.T) {
	c, err := condition.Parse("product=eye-product")
	require.NoError(t, err)
	assert.Equal(t, Holds, JudgeCondition(c, Situation{Codes: []string{"mascara"}}).Verdict)
	assert.Equal(t, DoesNot, JudgeCondition(condition.Condition{}, Situation{}).Verdict)
	all, err := condition.Parse("all")
	require.NoError(t, err)
	only := &annex.OtherRule{Types: []string{"body-lotion"}, Condition: all}
	assert.Equal(t, Holds, Fits(only, "body-lotion", Situation{}).Verdict)
	assert.Equal(t, DoesNot, Fits(only, "shampoo", Situation{}).Verdict)
	assert.Equal(t, Holds, Fits(&annex.OtherRule{Condition: all}, "shampoo", Situation{}).Verdict)
	// a UV filter known to be a colourant and nothing else is beyond Annex VI
	filter := &annex.Limit{Annex: "VI", Condition: all}
	for _, x := range []struct {
		s    Situation
		want Verdict
	}{
		{Situation{Functions: []string{"colorant"}, FunctionsKnown: true}, DoesNot},
		{Situation{Functions: []string{"colorant"}}, Holds},
		{Situation{FunctionsKnown: true}, Holds},
		{Situation{Functions: []string{"colorant", "uv-filter"}, FunctionsKnown: true}, Holds},
		{Situation{}, Holds},
	} {
		assert.Equal(t, x.want, JudgeLimit(filter, x.s).Verdict, x.s.Functions)
	}
}
