package exact

import (
	"fmt"
	"math/big"
	"math/bits"
	"strings"
)

// Num is an exact rational number. Its zero value is 0.
//
// Every percentage and every limit is a Num, so that 0.8 + 0.2 is 1, a formula
// in grams keeps its thirds, and no limit is decided by binary rounding. Values
// are kept as a reduced fraction of two int64 while they fit and as a
// math/big.Rat beyond that; both forms give the same results.
//
// A Num carries no unit; the name of the field or function that holds it does
// (Pct, PerKg, G). Compare with Cmp or Equal, never with ==.
type Num struct {
	n, d int64    // reduced, d > 0; d == 0 stands for the zero value 0/1
	r    *big.Rat // set only where n/d does not fit; never changed once set
}

// Int returns i as a Num.
func Int(i int64) Num { return Num{n: i, d: 1} }

// Frac returns n/d as a Num. It panics when d is 0.
func Frac(n, d int64) Num { return Int(n).Quo(Int(d)) }

func (a Num) rat() *big.Rat {
	if a.r != nil {
		return a.r
	}
	return new(big.Rat).SetFrac64(a.n, a.den())
}

func (a Num) den() int64 {
	if a.d == 0 {
		return 1
	}
	return a.d
}

// FromRat returns the number that r is. r is not kept.
func FromRat(r *big.Rat) Num { return fromRat(new(big.Rat).Set(r)) }

// fromRat takes ownership of r.
func fromRat(r *big.Rat) Num {
	if r.Num().IsInt64() && r.Denom().IsInt64() {
		return Num{n: r.Num().Int64(), d: r.Denom().Int64()}
	}
	return Num{r: r}
}

func abs64(i int64) uint64 {
	if i < 0 {
		return uint64(-i) // correct for the smallest int64 too
	}
	return uint64(i)
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// mul64 multiplies and says whether the product fits an int64.
func mul64(a, b int64) (int64, bool) {
	hi, lo := bits.Mul64(abs64(a), abs64(b))
	if hi != 0 || lo > 1<<63-1 {
		return 0, false
	}
	if (a < 0) != (b < 0) {
		return -int64(lo), true
	}
	return int64(lo), true
}

func add64(a, b int64) (int64, bool) {
	s := a + b
	if (a > 0 && b > 0 && s < 0) || (a < 0 && b < 0 && s >= 0) {
		return 0, false
	}
	return s, true
}

// Add returns a + b.
func (a Num) Add(b Num) Num {
	if a.r == nil && b.r == nil {
		ad, bd := a.den(), b.den()
		g := int64(gcd(uint64(ad), uint64(bd)))
		x, ok1 := mul64(a.n, bd/g)
		y, ok2 := mul64(b.n, ad/g)
		d, ok3 := mul64(ad/g, bd)
		if ok1 && ok2 && ok3 {
			if n, ok := add64(x, y); ok {
				h := int64(gcd(abs64(n), uint64(d)))
				return Num{n: n / h, d: d / h}
			}
		}
	}
	return fromRat(new(big.Rat).Add(a.rat(), b.rat()))
}

// Sub returns a - b.
func (a Num) Sub(b Num) Num { return a.Add(b.Neg()) }

// Neg returns -a.
func (a Num) Neg() Num {
	if a.r == nil && a.n != -1<<63 {
		return Num{n: -a.n, d: a.d}
	}
	return fromRat(new(big.Rat).Neg(a.rat()))
}

// Mul returns a × b.
func (a Num) Mul(b Num) Num {
	if a.r == nil && b.r == nil {
		ad, bd := a.den(), b.den()
		g := int64(gcd(abs64(a.n), uint64(bd)))
		h := int64(gcd(abs64(b.n), uint64(ad)))
		if g > 0 && h > 0 {
			n, ok1 := mul64(a.n/g, b.n/h)
			d, ok2 := mul64(ad/h, bd/g)
			if ok1 && ok2 {
				return Num{n: n, d: d}
			}
		}
	}
	return fromRat(new(big.Rat).Mul(a.rat(), b.rat()))
}

// Quo returns a ÷ b. It panics when b is 0: callers check first, since a maker's
// file can never be allowed to reach that.
func (a Num) Quo(b Num) Num {
	if b.Sign() == 0 {
		panic("ingredients: division by zero")
	}
	if b.r == nil && b.n != -1<<63 {
		inv := Num{n: b.den(), d: b.n}
		if inv.d < 0 {
			inv.n, inv.d = -inv.n, -inv.d
		}
		return a.Mul(inv)
	}
	return fromRat(new(big.Rat).Quo(a.rat(), b.rat()))
}

// Cmp returns -1, 0 or +1 as a is below, equal to or above b.
func (a Num) Cmp(b Num) int {
	if a.r == nil && b.r == nil {
		x, ok1 := mul64(a.n, b.den())
		y, ok2 := mul64(b.n, a.den())
		if ok1 && ok2 {
			switch {
			case x < y:
				return -1
			case x > y:
				return 1
			}
			return 0
		}
	}
	return a.rat().Cmp(b.rat())
}

// Equal says whether a and b are the same number.
func (a Num) Equal(b Num) bool { return a.Cmp(b) == 0 }

// Less says whether a is below b.
func (a Num) Less(b Num) bool { return a.Cmp(b) < 0 }

// Sign returns -1, 0 or +1.
func (a Num) Sign() int {
	if a.r != nil {
		return a.r.Sign()
	}
	switch {
	case a.n < 0:
		return -1
	case a.n > 0:
		return 1
	}
	return 0
}

// IsZero says whether a is 0.
func (a Num) IsZero() bool { return a.Sign() == 0 }

// Min returns the smaller of a and b.
func (a Num) Min(b Num) Num {
	if b.Less(a) {
		return b
	}
	return a
}

// Max returns the larger of a and b.
func (a Num) Max(b Num) Num {
	if a.Less(b) {
		return b
	}
	return a
}

// Floor returns the largest whole number that is not above a.
func (a Num) Floor() Num {
	if a.r == nil {
		d := a.den()
		q := a.n / d
		if a.n%d < 0 {
			q--
		}
		return Int(q)
	}
	r := a.rat()
	q := new(big.Int)
	q.Div(r.Num(), r.Denom()) // Euclidean: rounds down, since the denominator is positive
	return fromRat(new(big.Rat).SetInt(q))
}

// Pct returns a per cent of b: a × b / 100.
func (a Num) Pct(b Num) Num { return a.Mul(b).Quo(Int(100)) }

// Float returns the nearest float64, for drawings and for exposure figures that
// carry two or three significant digits. Never decide a limit on it.
func (a Num) Float() float64 {
	const exact = 1 << 53 // whole numbers up to here are floats, and a quotient of two floats is the nearest one
	if a.r == nil && abs64(a.n) <= exact && a.den() <= exact {
		return float64(a.n) / float64(a.den())
	}
	f, _ := a.rat().Float64()
	return f
}

// String returns Exact.
func (a Num) String() string { return a.Exact() }

// MarshalJSON writes a as a JSON number (see Decimal).
func (a Num) MarshalJSON() ([]byte, error) { return []byte(a.Decimal()), nil }

// maxDigits bounds what a maker can type, so that arithmetic stays small.
const maxDigits = 15

// ParseNum reads a plain decimal such as "12", "0.5" or "-3.25".
//
// Refused, each with a fix: a decimal comma, exponents, digit separators,
// hexadecimal, NaN, infinity, and more than 15 digits.
func ParseNum(text string) (Num, error) {
	s := strings.TrimPrefix(text, "-")
	whole, frac, point := strings.Cut(s, ".")
	if whole == "" || point && frac == "" || !Digits(whole) || !Digits(frac) {
		return Num{}, NumError(text)
	}
	if len(whole)+len(frac) > maxDigits {
		return Num{}, &ValueError{What: fmt.Sprintf("%q has more than %d digits", text, maxDigits),
			Fix: "round it to what the paper says"}
	}
	var n int64
	for _, c := range whole + frac {
		n = n*10 + int64(c-'0')
	}
	d := int64(1)
	for range frac {
		d *= 10
	}
	if len(s) != len(text) {
		n = -n
	}
	return Frac(n, d), nil
}

func Digits(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

func NumError(text string) error {
	if err := AskedAbout(text); err != nil {
		return err
	}
	e := &ValueError{What: fmt.Sprintf("%q is not a number", text),
		Fix: "write a plain decimal such as 12 or 0.5"}
	if whole, frac, ok := strings.Cut(text, ","); ok && whole != "" && frac != "" && Digits(whole) &&
		Digits(frac) {
		if MayBeThousands(whole, frac) {
			return thousandsError(text, whole, frac)
		}
		e.What = fmt.Sprintf("%q has a decimal comma", text)
		e.Fix = "write " + whole + "." + frac
	}
	return e
}

// ValueError says what is wrong with one typed value and how to mend it.
type ValueError struct {
	What string // what is wrong, with the value as given
	Fix  string // one thing to do
}

// Error returns what is wrong and the fix in one sentence.
func (e *ValueError) Error() string {
	if e.Fix == "" {
		return e.What
	}
	return e.What + ": " + e.Fix
}
