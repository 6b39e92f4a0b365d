package exact

import (
	"math/bits"
	"strconv"
	"strings"
)

// Exact returns the shortest text that is exactly a: a decimal such as "0.035"
// where there is one, a fraction such as "1/3" where there is none.
func (a Num) Exact() string {
	if n, exact := a.decimals(); exact {
		return a.Fixed(n)
	}
	return a.rat().RatString()
}

// decimals counts the digits behind the point of a decimal; exact is false where
// a is none.
func (a Num) decimals() (n int, exact bool) {
	if a.r != nil {
		return a.r.FloatPrec()
	}
	twos, fives, rest := 0, 0, a.den()
	for ; rest%2 == 0; rest /= 2 {
		twos++
	}
	for ; rest%5 == 0; rest /= 5 {
		fives++
	}
	return max(twos, fives), rest == 1
}

// Fixed returns a rounded half away from zero to the given number of decimals.
func (a Num) Fixed(decimals int) string {
	if a.r == nil {
		if s, ok := fixed64(a.n, a.den(), decimals); ok {
			return s
		}
	}
	return a.rat().FloatString(decimals)
}

// powersOfTen are those that an uint64 holds.
var powersOfTen = func() (p [20]uint64) {
	p[0] = 1
	for i := 1; i < len(p); i++ {
		p[i] = 10 * p[i-1]
	}
	return p
}()

// fixed64 is Fixed for n/d; ok is false where the digits do not fit an uint64.
func fixed64(n, d int64, decimals int) (s string, ok bool) {
	if decimals < 0 || decimals >= len(powersOfTen) {
		return "", false
	}
	hi, lo := bits.Mul64(abs64(n), powersOfTen[decimals])
	if hi >= uint64(d) {
		return "", false
	}
	q, rest := bits.Div64(hi, lo, uint64(d))
	if rest >= uint64(d)-rest { // half or more
		if q++; q == 0 {
			return "", false
		}
	}
	text := strconv.FormatUint(q, 10)
	if short := decimals + 1 - len(text); short > 0 {
		text = strings.Repeat("0", short) + text
	}
	if decimals > 0 {
		text = text[:len(text)-decimals] + "." + text[len(text)-decimals:]
	}
	if n < 0 {
		text = "-" + text
	}
	return text, true
}

// Sig returns a for print: exact where that needs at most digits significant
// digits, else rounded half away from zero to that many. Trailing zeros behind
// the point are dropped. A number that is not 0 never prints as 0.
func (a Num) Sig(digits int) string {
	if a.IsZero() {
		return "0"
	}
	decimals := max(digits-1-a.place(), 0)
	s := a.Fixed(decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Decimal returns a as a decimal with at least 17 significant digits, for JSON
// and spreadsheets: exact where the decimal ends, else rounded there.
func (a Num) Decimal() string {
	if n, exact := a.decimals(); exact && n <= 40 {
		return a.Fixed(n)
	}
	return a.Sig(17)
}

// place is that of the first significant digit: 0 for units, -3 for 0.00x. a must
// not be 0.
func (a Num) place() int {
	place := 0
	if a.r == nil {
		hi, lo, d := uint64(0), abs64(a.n), uint64(a.den())
		for q := lo / d; q >= 10; q /= 10 {
			place++
		}
		for ; hi == 0 && lo < d; place-- {
			hi, lo = bits.Mul64(lo, 10)
		}
		return place
	}
	abs := a
	if a.Sign() < 0 {
		abs = a.Neg()
	}
	for p := Int(10); !abs.Less(p); p = p.Mul(Int(10)) {
		place++
	}
	for p := Int(1); abs.Less(p); p = p.Quo(Int(10)) {
		place--
	}
	return place
}

// SigDown prints a number above 0 with at most the given significant digits, rounded
// down.
func (a Num) SigDown(digits int) string {
	shown, err := ParseNum(a.Sig(digits))
	if err != nil || !a.Less(shown) {
		return a.Sig(digits)
	}
	unit, ten := Int(1), Int(10)
	for top := a; !top.Less(ten); top = top.Quo(ten) {
		unit = unit.Mul(ten)
	}
	for top := a; top.Less(Int(1)); top = top.Mul(ten) {
		unit = unit.Quo(ten)
	}
	for range digits - 1 {
		unit = unit.Quo(ten)
	}
	return shown.Sub(unit).Exact()
}
