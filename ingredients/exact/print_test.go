package exact

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gallipot/testdata"
)

func TestNumPrinted(t *testing.T) {
	// Wanted values by hand.
	for _, c := range []struct {
		n                  Num
		exact, fixed, sig3 string
	}{
		{mustNum(t, "0.035"), "0.035", "0.04", "0.035"},
		{mustNum(t, "0.005"), "0.005", "0.01", "0.005"},
		{mustNum(t, "-0.005"), "-0.005", "-0.01", "-0.005"},
		{mustNum(t, "1.005"), "1.005", "1.01", "1.01"},
		{mustNum(t, "2.50"), "2.5", "2.50", "2.5"},
		{Frac(1, 3), "1/3", "0.33", "0.333"},
		{Frac(2, 3), "2/3", "0.67", "0.667"},
		{mustNum(t, "9.995"), "9.995", "10.00", "10"},
		{mustNum(t, "0.0009999"), "0.0009999", "0.00", "0.001"},
		{mustNum(t, "0.00001234"), "0.00001234", "0.00", "0.0000123"},
		{Int(12345), "12345", "12345.00", "12345"},
		{Frac(1, 8), "0.125", "0.13", "0.125"},
	} {
		assert.Equal(t, c.exact, c.n.Exact())
		assert.Equal(t, c.fixed, c.n.Fixed(2), c.exact)
		assert.Equal(t, c.sig3, c.n.Sig(3), c.exact)
	}
	json, err := Frac(1, 3).MarshalJSON()
	assert.NoError(t, err)
	assert.Equal(t, "0.33333333333333333", string(json))
}

// Numbers beyond 64 bits print like the others: 10^20 / 3 and 1 / (3 × 10^20) by
// hand, a third being 0.333…
func TestBigNumbersInPrint(t *testing.T) {
	ten20, _ := new(big.Int).SetString("100000000000000000000", 10)
	three := big.NewInt(3)
	large, small := FromRat(new(big.Rat).SetFrac(ten20, three)),
		FromRat(new(big.Rat).SetFrac(big.NewInt(1), new(big.Int).Mul(ten20, three)))
	assert.Equal(t, "33333333333333333333", large.Sig(4))
	assert.Equal(t, "33333333333333333333.33", large.Fixed(2))
	assert.Equal(t, "-33333333333333333333", large.Neg().Sig(4))
	assert.Equal(t, "0.000000000000000000003333", small.Sig(4))
	assert.Equal(t, "1/300000000000000000000", small.Exact())
	assert.Equal(t, "0.0000000000000000000033333333333333333", small.Decimal())
	assert.Equal(t, "100000000000000000000", FromRat(new(big.Rat).SetInt(ten20)).Exact())
	// as many decimals as an uint64 holds digits, and one more
	assert.Equal(t, "0.3333333333333333333", Frac(1, 3).Fixed(19))
	assert.Equal(t, "0.33333333333333333333", Frac(1, 3).Fixed(20))
	// 18446744073709551615.5 would round to 2^64, which no uint64 holds
	assert.Equal(t, "18446744073709551616",
		FromRat(new(big.Rat).SetFrac(new(big.Int).Add(new(big.Int).Lsh(big.NewInt(1), 65), big.NewInt(-1)),
			big.NewInt(2))).Fixed(0))
}

// Printing has a short way for numbers that fit; math/big is the reference.
func TestPrintingAgreesWithBigRat(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 11))
	pick := func() int64 {
		switch n := rnd.Int64(); rnd.IntN(4) {
		case 0:
			return n
		case 1:
			return n % 1000
		case 2:
			return n % 1_000_000_007
		default:
			return []int64{0, 1, 5, 10, 99, 100, 101, 125, 999, 1000, 1 << 53, math.MaxInt64, math.MinInt64}[rnd.IntN(13)]
		}
	}
	for range testdata.Cases(10_000, 50_000) {
		n, d := pick(), pick()
		if rnd.IntN(2) == 0 {
			n = -n
		}
		if d == 0 || d == math.MinInt64 {
			d = 7
		}
		a, r := FromRat(big.NewRat(n, d)), big.NewRat(n, d)
		decimals := rnd.IntN(25)
		require.Equal(t, r.FloatString(decimals), a.Fixed(decimals), "%s", r)
		want := r.RatString()
		if n, exact := r.FloatPrec(); exact {
			want = r.FloatString(n)
		}
		require.Equal(t, want, a.Exact(), "%s", r)
		require.Equal(t, sigOf(r, 4), a.Sig(4), "%s", r)
		require.Equal(t, sigOf(r, 17), a.Sig(17), "%s", r)
		f, _ := r.Float64()
		require.Equal(t, f, a.Float(), "%s", r)
	}
}

// sigOf is the rule of Sig step by step: the first digit that is not 0 and as
// many as asked for from there on, halves away from 0.
func sigOf(r *big.Rat, digits int) string {
	if r.Sign() == 0 {
		return "0"
	}
	abs, ten := new(big.Rat).Abs(r), big.NewRat(10, 1)
	decimals := digits - 1
	for x := new(big.Rat).Set(abs); x.Cmp(ten) >= 0; x.Quo(x, ten) {
		decimals--
	}
	for x := new(big.Rat).Set(abs); x.Cmp(big.NewRat(1, 1)) < 0; x.Mul(x, ten) {
		decimals++
	}
	s := r.FloatString(max(decimals, 0))
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
