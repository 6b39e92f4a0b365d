package plaintest

import (
	"math/big"
	"strings"
)

type Rat = *big.Rat

func Q(n, d int64) Rat { return big.NewRat(n, d) }

// Dec reads a decimal or a quotient of two.
func Dec(s string) Rat {
	if top, bottom, ok := strings.Cut(s, "/"); ok {
		return Over(Dec(top), Dec(bottom))
	}
	r, ok := new(big.Rat).SetString(strings.TrimSpace(s))
	if !ok {
		panic("no number: " + s)
	}
	return r
}

func Plus(all ...Rat) Rat {
	sum := new(big.Rat)
	for _, a := range all {
		sum.Add(sum, a)
	}
	return sum
}

func Minus(a, b Rat) Rat { return new(big.Rat).Sub(a, b) }

func Times(all ...Rat) Rat {
	p := Q(1, 1)
	for _, a := range all {
		p.Mul(p, a)
	}
	return p
}

func Over(a, b Rat) Rat { return new(big.Rat).Quo(a, b) }

func least(a, b Rat) Rat {
	if b.Cmp(a) < 0 {
		return b
	}
	return a
}

func most(a, b Rat) Rat {
	if b.Cmp(a) > 0 {
		return b
	}
	return a
}

func Percent(a, b Rat) Rat { return Over(Times(a, b), Q(100, 1)) }

// Span is a content between bounds, with a typical value.
type Span struct{ Lo, Ty, Hi Rat }

func only(r Rat) Span { return Span{r, r, r} }

func Nothing() Span { return only(new(big.Rat)) }

func (s Span) plus(t Span) Span { return Span{Plus(s.Lo, t.Lo), Plus(s.Ty, t.Ty), Plus(s.Hi, t.Hi)} }

func (s Span) Times(f Rat) Span { return Span{Times(s.Lo, f), Times(s.Ty, f), Times(s.Hi, f)} }

func (s Span) beyond(t Span) Span {
	z := new(big.Rat)
	return Span{most(Minus(s.Lo, t.Lo), z), most(Minus(s.Ty, t.Ty), z), most(Minus(s.Hi, t.Hi), z)}
}
