package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// What is empty is left out; what is there comes in the order given.
func TestValuesLeaveOutWhatIsEmpty(t *testing.T) {
	v := finding.With().Name("name", "").Quote("quote", "").Day("day", 0).At("at", exact.Pos{}).Term("term", "",
		nil).Flag(false, "flag").Figure("figure", "", "%").
		MaybeNum("num", nil, "%", finding.AsIs).Names("names", nil).Quotes("quotes", []string{""}).Those("those",
		nil).Source("source", nil)
	assert.Empty(t, v)
	n := exact.Int(2)
	v = finding.With().Name("name", "a").Flag(true, "flag").MaybeNum("num", &n, "%", finding.AsIs).Names("names",
		[]string{"b", "c"}).Count("count", 0).Day("day", 20260301)
	var names []string
	for _, x := range v {
		names = append(names, x.Name)
	}
	assert.Equal(t, []string{"name", "flag", "num", "names", "count", "day"}, names)
	list, ok := v.Get("names")
	require.True(t, ok)
	assert.Len(t, list.List, 2)
	_, ok = v.Get("other")
	assert.False(t, ok)
}

// 1.09876 by hand: as it is, to four digits, never upwards, one decimal.
func TestRounding(t *testing.T) {
	n, err := exact.ParseNum("1.09876")
	require.NoError(t, err)
	for r, want := range map[finding.Rounding]string{finding.AsIs: "1.09876", finding.FourDigits: "1.099", finding.ThreeDigits: "1.1",
		finding.FourDown: "1.098", finding.ThreeDown: "1.09", finding.OneDecimal: "1.1"} {
		assert.Equal(t, want, r.Of(n), "%d", r)
	}
}
