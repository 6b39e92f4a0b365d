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

func mustNum(t testing.TB, s string) Num {
	t.Helper()
	n, err := ParseNum(s)
	require.NoError(t, err)
	return n
}

func TestNumDecimalSumsAreExact(t *testing.T) {
	assert.True(t, mustNum(t, "0.8").Add(mustNum(t, "0.2")).Equal(Int(1)))
	assert.True(t, mustNum(t, "0.1").Add(mustNum(t, "0.2")).Equal(mustNum(t, "0.3")))
	third := Frac(1, 3)
	assert.True(t, third.Add(third).Add(third).Equal(Int(1)))
	var sum Num
	for range 1000 {
		sum = sum.Add(mustNum(t, "0.001"))
	}
	assert.True(t, sum.Equal(Int(1)), "float64 gives 1.0000000000000007")
}

// edges are the places where two int64 stop being enough.
var edges = []int64{0, 1, -1, 2, 3, 10, 100, 10_000, math.MaxInt32, math.MinInt32, 1 << 31, 1 << 32,
	3037000499, 3037000500,
	math.MaxInt64, math.MaxInt64 - 1, math.MinInt64, math.MinInt64 + 1, 999_999_999_999_999}

func randomNum(r *rand.Rand) (Num, *big.Rat) {
	pick := func() int64 {
		switch r.IntN(3) {
		case 0:
			return edges[r.IntN(len(edges))]
		case 1:
			return r.Int64N(2001) - 1000
		}
		return int64(r.Uint64())
	}
	n, d := pick(), pick()
	for d == 0 {
		d = pick()
	}
	// big.Rat is the reference: it is in the standard library and has no fast path.
	return Frac(n, d), new(big.Rat).SetFrac(big.NewInt(n), big.NewInt(d))
}

// invariant holds for every result: reduced, positive denominator, and the big
// form only where the small one cannot hold it.
func invariant(t *testing.T, a Num) {
	t.Helper()
	if a.r != nil {
		require.False(t, a.r.Num().IsInt64() && a.r.Denom().IsInt64(), "%s fits two int64", a)
		return
	}
	require.Positive(t, a.den())
	if a.n != 0 {
		require.EqualValues(t, 1, gcd(abs64(a.n), uint64(a.den())), "%d/%d is not reduced", a.n, a.d)
	}
}

func TestNumAgreesWithBigRat(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range testdata.Cases(4_000, 20_000) {
		a, ra := randomNum(r)
		b, rb := randomNum(r)
		check := func(name string, got Num, want *big.Rat) {
			t.Helper()
			require.Zero(t, got.rat().Cmp(want), "%s %s %s: got %s, want %s", ra.RatString(), name, rb.RatString(),
				got, want.RatString())
			invariant(t, got)
		}
		check("itself", a, ra)
		check("+", a.Add(b), new(big.Rat).Add(ra, rb))
		check("-", a.Sub(b), new(big.Rat).Sub(ra, rb))
		check("×", a.Mul(b), new(big.Rat).Mul(ra, rb))
		check("neg", a.Neg(), new(big.Rat).Neg(ra))
		if !b.IsZero() {
			check("÷", a.Quo(b), new(big.Rat).Quo(ra, rb))
		}
		check("pct", a.Pct(b), new(big.Rat).Quo(new(big.Rat).Mul(ra, rb), big.NewRat(100, 1)))
		require.Equal(t, ra.Cmp(rb), a.Cmp(b), "%s ? %s", ra.RatString(), rb.RatString())
		require.Equal(t, ra.Sign(), a.Sign())
		require.Equal(t, ra.Cmp(rb) < 0, a.Less(b))
		require.Equal(t, ra.Cmp(rb) == 0, a.Equal(b))
		require.False(t, a.Min(b).Cmp(a) > 0 || a.Min(b).Cmp(b) > 0)
		require.False(t, a.Max(b).Cmp(a) < 0 || a.Max(b).Cmp(b) < 0)
		f, _ := ra.Float64()
		require.Equal(t, f, a.Float())
	}
}

func TestNumChainsStayExact(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		got, want := Int(0), new(big.Rat)
		for range 50 {
			a, ra := randomNum(r)
			b, rb := randomNum(r)
			got = got.Add(a.Mul(b))
			want.Add(want, new(big.Rat).Mul(ra, rb))
		}
		require.Zero(t, got.rat().Cmp(want))
		invariant(t, got)
	}
}

func TestNumComesBackFromTheBigForm(t *testing.T) {
	big := Int(math.MaxInt64).Mul(Int(math.MaxInt64))
	require.NotNil(t, big.r)
	back := big.Quo(Int(math.MaxInt64))
	assert.Nil(t, back.r)
	assert.True(t, back.Equal(Int(math.MaxInt64)))
	assert.True(t, Int(math.MinInt64).Neg().Neg().Equal(Int(math.MinInt64)))
	assert.True(t, Int(math.MinInt64).Quo(Int(math.MinInt64)).Equal(Int(1)))
	assert.True(t, Int(math.MinInt64).Quo(Int(-1)).Equal(Int(math.MinInt64).Neg()))
}

func TestNumZeroValue(t *testing.T) {
	var z Num
	assert.True(t, z.IsZero())
	assert.True(t, z.Equal(Int(0)))
	assert.True(t, z.Add(Int(2)).Equal(Int(2)))
	assert.True(t, z.Mul(Int(2)).IsZero())
	assert.True(t, z.Quo(Int(2)).IsZero())
	assert.True(t, z.Neg().IsZero())
	assert.Equal(t, "0", z.Exact())
	assert.Equal(t, "0.00", z.Fixed(2))
	assert.Equal(t, "0", z.Sig(3))
	assert.Panics(t, func() { Int(1).Quo(z) })
}

func TestParseNum(t *testing.T) {
	for text, want := range map[string]Num{
		"0": Int(0), "12": Int(12), "12.5": Frac(25, 2), "-3.25": Frac(-13, 4), "0.10": Frac(1, 10), "007": Int(7),
		"-0": Int(0), "123456789012345": Int(123456789012345), "0.00000000000001": Frac(1, 100_000_000_000_000),
	} {
		n, err := ParseNum(text)
		assert.NoError(t, err, text)
		assert.True(t, n.Equal(want), text)
	}
	for text, fix := range map[string]string{
		"": "plain decimal", "-": "plain decimal", "+1": "plain decimal", ".5": "plain decimal",
		"5.": "plain decimal", "1e3": "plain decimal",
		"0x10": "plain decimal", "1_000": "plain decimal", "NaN": "plain decimal", "Inf": "plain decimal",
		"١٢": "plain decimal", "--1": "plain decimal",
		"1 000": "write 1000", "1,5": "write 1.5", "1,000,000": "write 1000000", "1234567890123456": "round it",
		"1.2.3": "plain decimal",
	} {
		_, err := ParseNum(text)
		var v *ValueError
		if assert.ErrorAs(t, err, &v, text) {
			assert.Contains(t, v.Fix, fix, text)
			assert.NotEmpty(t, v.What)
		}
	}
}

// FuzzParseNum: what parses prints back and reads the same, and equals what
// math/big makes of it.
func FuzzParseNum(f *testing.F) {
	for _, s := range []string{"0", "12", "0.5", "-3.25", "007", "999999999999999", "0.00000000000001", "1,5",
		"1e3", "", ".", "-", strings.Repeat("9", 30)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		n, err := ParseNum(s)
		if err != nil {
			return
		}
		want, ok := new(big.Rat).SetString(s)
		require.True(t, ok, s)
		require.Zero(t, n.rat().Cmp(want), s)
		again, err := ParseNum(n.Exact())
		require.NoError(t, err, n.Exact())
		require.True(t, again.Equal(n))
	})
}

// The three benchmarks add up a formula of 50 lines: amount × content, as for
// the content of one substance in a product.
const benchLines = 50

func benchTexts() (amounts, contents []string) {
	r := rand.New(rand.NewPCG(5, 6))
	for range benchLines {
		amounts = append(amounts, Frac(r.Int64N(5000)+1, 100).Exact())
		contents = append(contents, Frac(r.Int64N(100_000)+1, 1000).Exact())
	}
	return amounts, contents
}

func BenchmarkFiftyLinesNum(b *testing.B) {
	var x, y [benchLines]Num
	as, cs := benchTexts()
	for i := range x {
		x[i], y[i] = mustNum(b, as[i]), mustNum(b, cs[i])
	}
	b.ReportAllocs()
	for b.Loop() {
		var sum Num
		for i := range x {
			sum = sum.Add(x[i].Pct(y[i]))
		}
		if sum.IsZero() {
			b.Fatal("no sum")
		}
	}
}

func BenchmarkFiftyLinesBigRat(b *testing.B) {
	var x, y [benchLines]*big.Rat
	as, cs := benchTexts()
	for i := range x {
		x[i], _ = new(big.Rat).SetString(as[i])
		y[i], _ = new(big.Rat).SetString(cs[i])
	}
	hundred := big.NewRat(100, 1)
	b.ReportAllocs()
	for b.Loop() {
		sum, p := new(big.Rat), new(big.Rat)
		for i := range x {
			sum.Add(sum, p.Quo(p.Mul(x[i], y[i]), hundred))
		}
		if sum.Sign() == 0 {
			b.Fatal("no sum")
		}
	}
}

func BenchmarkFiftyLinesFloat64(b *testing.B) {
	var x, y [benchLines]float64
	as, cs := benchTexts()
	for i := range x {
		x[i], y[i] = mustNum(b, as[i]).Float(), mustNum(b, cs[i]).Float()
	}
	b.ReportAllocs()
	for b.Loop() {
		sum := 0.0
		for i := range x {
			sum += x[i] * y[i] / 100
		}
		if sum == 0 {
			b.Fatal("no sum")
		}
	}
}

func TestFloor(t *testing.T) {
	for _, c := range []struct {
		n    Num
		want string
	}{{Frac(7, 2), "3"}, {Int(3), "3"}, {Num{}, "0"}, {Frac(-1, 3), "-1"}, {Int(-2), "-2"},
		{Frac(999_999_999_999_999, 1000), "999999999999"}} {
		require.Equal(t, c.want, c.n.Floor().Exact(), c.n.Exact())
	}
	huge := Int(1 << 62).Mul(Int(1 << 62)).Add(Frac(1, 2))
	require.True(t, huge.Floor().Equal(Int(1<<62).Mul(Int(1<<62))))
}

func TestErrorWithoutFix(t *testing.T) {
	assert.Equal(t, "it is wrong", (&ValueError{What: "it is wrong"}).Error())
	assert.Equal(t, "it is wrong: mend it", (&ValueError{What: "it is wrong", Fix: "mend it"}).Error())
}
