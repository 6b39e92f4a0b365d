package masses

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/calc/formula/formulatest"
	"gallipot/calc/law/table"
)

// TestBaseAddsUp: 880.1 + 873.0 + 393.2 + 13.3 = 2159.6 g of base in the pot; 4 lines
// and 3 portions on steps of 0.1 g explain 0.7 g, and 1 % (stability-micro.csv B16)
// is 21.596 g. By hand, with out − in:
//
//	970.9 + 756.1 + 431.6 = 2158.6   −1.0 g: in order
//	1970.9 …             = 3158.6   +999.0 g: more than there was
//	870.9 …              = 2058.6   −101.0 g: too much is gone
//	972.6 …              = 2160.3   +0.7 g: just what the steps explain
//	972.7 …              = 2160.4   +0.8 g: more than there was
//	950.304 …            = 2138.004 −21.596 g: just allowed
func TestBaseAddsUp(t *testing.T) {
	lines := []MadeLine{made(t, "almond", "", "", "880.1"), made(t, "shea", "", "", "873"),
		made(t, "wax", "", "", "393.2"), made(t, "keep", "", "", "13.3"), made(t, "scent", "plum", "", "6.9")}
	for _, c := range []struct {
		plum, over        string
		tooMuch, tooLittl bool
	}{
		{"970.9", "-1", false, false}, {"1970.9", "999", true, false}, {"870.9", "-101", false, true},
		{"972.6", "0.7", false, false}, {"972.7", "0.8", true, false},
		{"950.304", "-21.596", false, false}, {"950.303", "-21.597", false, true},
	} {
		portions := []MadePortion{{"plum", formulatest.Num(t, c.plum)}, {"moss", formulatest.Num(t, "756.1")},
			{"lavender", formulatest.Num(t, "431.6")}}
		b, ok := BalanceBase(lines, portions, formulatest.Num(t, "0.1"), table.Builtin())
		require.True(t, ok)
		assert.Equal(t, "2159.6", b.InG.Exact())
		assert.Equal(t, c.over, b.OverG.Exact())
		assert.Equal(t, [2]bool{c.tooMuch, c.tooLittl}, [2]bool{b.TooMuch(), b.TooLittle()}, c.plum)
		assert.Equal(t, "0.7", b.StepG.Exact())
		assert.Equal(t, "weigh-tolerance-main", b.Rule.Key)
	}
	_, ok := BalanceBase(lines, nil, formulatest.Num(t, "0.1"), table.Builtin())
	assert.False(t, ok, "one mixture")
	small, _ := BalanceBase([]MadeLine{made(t, "oil", "", "", "10")},
		[]MadePortion{{"a", formulatest.Num(t, "9.8")}}, formulatest.Num(t, "0.1"), table.Builtin())
	assert.Nil(t, small.Rule, "2 weighings × 0.1 g are wider than 1 %% of 10 g")
	assert.False(t, small.TooLittle())
}

// TestBaseOfAPortion: 971.7 g planned, 1 % is 9.717 g either way.
func TestBaseOfAPortion(t *testing.T) {
	for g, within := range map[string]bool{"970.9": true, "981.417": true, "981.418": false, "961.983": true,
		"961.982": false} {
		assert.Equal(t, within, BaseDeviation(formulatest.Num(t, "971.7"), formulatest.Num(t, g),
			formulatest.Num(t, "0.1"), table.Builtin()).Within, g)
	}
}
