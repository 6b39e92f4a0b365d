package figure

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/ingredients/exact"
)

// sumAndDifference gives a − b and a + b of two printed decimal numbers.
func sumAndDifference(a, b string) (low, high string, ok bool) {
	x, err1 := exact.ParseNum(a)
	y, err2 := exact.ParseNum(b)
	if err1 != nil || err2 != nil {
		return "", "", false
	}
	return x.Sub(y).Exact(), x.Add(y).Exact(), true
}

// less says whether one printed decimal number is less than another.
func less(a, b string) bool {
	x, err1 := exact.ParseNum(a)
	y, err2 := exact.ParseNum(b)
	return err1 == nil && err2 == nil && x.Less(y)
}

// Percent turns a printed number in a unit of mass into per cent of mass, exact.
// ok is false for a unit that is none.
func Percent(value string, u lexicon.Unit) (string, bool) {
	if value == "" {
		return "", true
	}
	x, err := exact.ParseNum(value)
	if err != nil || u.Divisor == 0 {
		return "", false
	}
	text := x.Quo(exact.Int(u.Divisor)).Exact()
	return text, !strings.Contains(text, "/")
}

// IsNumber says whether a text is a plain decimal number.
func IsNumber(s string) bool {
	_, err := exact.ParseNum(s)
	return err == nil
}

// Sum adds decimal numbers; what is no number counts nothing.
func Sum(values ...string) exact.Num {
	var total exact.Num
	for _, v := range values {
		if x, err := exact.ParseNum(v); err == nil {
			total = total.Add(x)
		}
	}
	return total
}

// Near says whether two numbers differ by no more than within.
func Near(a, b, within exact.Num) bool {
	d := a.Sub(b)
	if d.Sign() < 0 {
		d = d.Neg()
	}
	return !within.Less(d)
}

// HalfStep is half of the last decimal of a printed number: by so much it may have
// been rounded.
func HalfStep(printed string) exact.Num {
	d := exact.Int(2)
	if _, after, ok := strings.Cut(printed, "."); ok {
		for range len(after) {
			d = d.Mul(exact.Int(10))
		}
	}
	return exact.Int(1).Quo(d)
}

func firstOf(s ...string) string {
	for _, x := range s {
		if x != "" {
			return x
		}
	}
	return ""
}
