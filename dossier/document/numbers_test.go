package document

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"gallipot/ingredients/exact"
)

// The wanted texts are rounded by hand from the rule's own words.
func TestFormatPct(t *testing.T) {
	for _, c := range []struct {
		n    exact.Num
		want string
	}{
		{exact.Int(0), "0"},
		{exact.Int(100), "100"},
		{exact.Frac(125, 10), "12.5"},
		{exact.Frac(271234, 10000), "27.1234"},        // four decimals: exact
		{exact.Frac(2712345, 100000), "27.12"},        // five: four significant digits
		{exact.Frac(1, 3), "0.3333"},                  //
		{exact.Frac(2, 3), "0.6667"},                  //
		{exact.Frac(1, 10000), "0.0001"},              //
		{exact.Frac(12345, 1000000000), "0.00001235"}, // half away from zero
		{exact.Frac(1, 3000000000), "0.0000000003333"},
		{exact.Frac(99999999, 1000000), "100"},
		{exact.Frac(-1, 8), "−0.125"},
	} {
		require.Equal(t, c.want, FormatPct(c.n), c.n.Exact())
	}
}

func TestFormatPctBesideKeepsTheSide(t *testing.T) {
	limit := exact.Frac(1, 1000) // 0.001 %
	rule := RulePctBeside(limit)
	for _, c := range []struct {
		n    exact.Num
		want string
	}{
		{exact.Frac(100004, 100000000), "0.00100004"}, // RulePct alone would print 0.001
		{exact.Frac(99996, 100000000), "0.00099996"},
		{limit, "0.001"},
		{exact.Frac(12345678, 10000000000), "0.001235"}, // no more digits than needed
		{limit.Add(exact.Frac(1, 1e18)).Add(exact.Frac(0, 1)), "0.001000000000000001"},
	} {
		require.Equal(t, c.want, FormatNum(c.n, rule), c.n.Exact())
	}
}

func TestFormatNumNeverPrintsNonZeroAsZero(t *testing.T) {
	tiny := exact.Frac(1, 1e15)
	for _, rule := range []Rule{RulePct, RuleExact, RuleFixed(0), RuleFixed(2), RuleSig(1), RulePctBeside(exact.Int(0))} {
		require.False(t, isZeroText(FormatNum(tiny, rule)), FormatNum(tiny, rule))
	}
	require.Equal(t, "0.00", FormatNum(exact.Int(0), RuleFixed(2)))
	require.Equal(t, "12.50", FormatNum(exact.Frac(25, 2), RuleFixed(2)))
	require.Equal(t, "0.333333333333", FormatNum(exact.Frac(1, 3), RuleExact))
}

func TestFormatFloat(t *testing.T) {
	for _, c := range []struct {
		f      float64
		digits int
		want   string
	}{
		{0, 3, "0"},
		{0.035, 3, "0.0350"},
		{1234, 3, "1230"},
		{999.6, 3, "1000"},
		{0.00012345, 2, "0.00012"},
		{0.000012345, 2, "1.2 × 10⁻⁵"},
		{2.5e7, 2, "2.5 × 10⁷"},
		{-4.25, 2, "−4.2"}, // binary 4.25 is a tie; FormatFloat takes the even digit
		{math.NaN(), 3, "not computable"},
		{math.Inf(1), 3, "not computable"},
	} {
		require.Equal(t, c.want, FormatFloat(c.f, c.digits))
	}
}

func TestFormatRange(t *testing.T) {
	r := exact.Range{Min: exact.Int(10), Typ: exact.Frac(25, 2), Max: exact.Int(15)}
	require.Equal(t, "10–15 (12.5)", FormatRange(r, RulePct))
	require.Equal(t, "3", FormatRange(exact.Exactly(exact.Int(3)), RulePct))
}
