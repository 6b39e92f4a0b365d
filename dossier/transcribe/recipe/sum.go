package recipe

import (
	"strconv"

	"gallipot/ingredients/exact"
)

func itoa(n int) string { return strconv.Itoa(n) }

// num is a decimal number that was read; what is none is 0.
func num(s string) exact.Num {
	x, err := exact.ParseNum(s)
	if err != nil {
		return exact.Num{}
	}
	return x
}

func near(a, b, within exact.Num) bool {
	d := a.Sub(b)
	if d.Sign() < 0 {
		d = d.Neg()
	}
	return !within.Less(d)
}

// dosesOf sums a column over the lines that count.
func dosesOf(es []*entry, col int) exact.Num {
	var total exact.Num
	for _, e := range es {
		if a, ok := e.amounts[col]; ok && a.Value != "" && !e.line.Struck {
			total = total.Add(num(a.Value))
		}
	}
	return total
}

// decimalsOf is how many decimals a printed number has.
func decimalsOf(s string) int {
	for i := range s {
		if s[i] == '.' {
			return len(s) - i - 1
		}
	}
	return 0
}

// halfStep is half of the last decimal of a printed number.
func halfStep(s string) exact.Num {
	d := exact.Int(2)
	for range decimalsOf(s) {
		d = d.Mul(exact.Int(10))
	}
	return exact.Int(1).Quo(d)
}
