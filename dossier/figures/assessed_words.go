package figures

import (
	"encoding/json"
	"math"
	"math/big"
	"strings"

	"gallipot/dossier/document"
)

// num reads a decimal that [ReadFigures] has checked. Figures carry up to 17
// digits, more than [ingredients.ParseNum] takes from a maker.
func num(n json.Number) *big.Rat {
	if r, ok := new(big.Rat).SetString(string(n)); ok {
		return r
	}
	return new(big.Rat)
}

func same(a, b json.Number) bool { return a == b || num(a).Cmp(num(b)) == 0 }

// sigText prints a decimal to the given significant digits, without zeros at its
// end.
func sigText(n json.Number, digits int) string {
	r := num(n)
	if r.Sign() == 0 {
		return "0"
	}
	f, _ := r.Float64()
	s := r.FloatString(max(digits-1-int(math.Floor(math.Log10(math.Abs(f)))), 0))
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func decimalText(n json.Number) string { return sigText(n, 4) }

// apart prints two figures with as many digits as it takes to tell them apart.
func apart(a, b json.Number) (string, string) {
	for digits := 4; digits < 17; digits++ {
		if x, y := sigText(a, digits), sigText(b, digits); x != y {
			return x, y
		}
	}
	return decimalText(a), decimalText(b)
}

func (s keptSubstance) name() string {
	if s.Nano {
		return s.INCI + " (nano)"
	}
	return s.INCI
}

func contentText(s *keptSubstance) string {
	if same(s.Min, s.Max) {
		return decimalText(s.Typical) + " %"
	}
	return decimalText(s.Min) + "–" + decimalText(s.Max) + " % (typically " + decimalText(s.Typical) + " %)"
}

// contentChange tells the typical and the highest content, which order and
// limits rest on, and the range where only that moved.
func contentChange(a, b *keptSubstance) string {
	var parts []string
	for _, p := range []struct {
		word    string
		was, is json.Number
	}{{"typically", a.Typical, b.Typical}, {"at most", a.Max, b.Max}, {"at least", a.Min, b.Min}} {
		if same(p.was, p.is) {
			continue
		}
		from, to := apart(p.was, p.is)
		parts = append(parts, p.word+" "+from+" % → "+to+" %")
	}
	if len(parts) == 3 && same(a.Min, a.Max) && same(b.Min, b.Max) {
		from, to := apart(a.Typical, b.Typical)
		parts = []string{from + " % → " + to + " %"}
	}
	return b.name() + ": " + strings.Join(parts, ", ")
}

// sameFloat compares margins and exposures; both are computed the same way, so
// that only the last digits of a float may differ between machines.
func sameFloat(a, b *float64) bool {
	if a == nil || b == nil {
		return a == b
	}
	return math.Abs(*a-*b) <= 1e-9*math.Max(math.Abs(*a), math.Abs(*b))
}

func floatChange(a, b *float64, unit string) string {
	text := func(f *float64, digits int) string {
		if f == nil {
			return "none"
		}
		return document.FormatPlain(*f, digits) + unit
	}
	for digits := 3; digits < 15; digits++ {
		if x, y := text(a, digits), text(b, digits); x != y {
			return x + " → " + y
		}
	}
	return text(a, 15) + " → " + text(b, 15)
}
