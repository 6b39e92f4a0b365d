package exact

import (
	"fmt"
	"strings"

	"gallipot/ingredients/pattern"
)

// spelled is an amount taken apart, nothing of it computed yet.
type spelled struct {
	// the bounds as typed; low is "" where only a highest is given, high where only a least
	low, high         string
	LowUnit, HighUnit string // %, ppm or mg/kg; "" where none stands
	single            bool   // one number: low and high are the same
}

const (
	numberForm = `(-?[0-9]+(?:[.,][0-9]+)*)`
	unitForm   = `(%(?: ?(?:w/w|\(w/w\)|m/m|\(m/m\)))?|ppm|mg/kg)?`
	leastForm  = `(?:>=?|min\.?|at least)`
	mostForm   = `(?:<=?|max\.?|up to|at most)`
)

// amountForm joins parts of a form, with room between them.
func amountForm(parts ...string) *pattern.Pattern {
	return pattern.New("^" + strings.Join(parts, " ?") + "$")
}

// The forms of an amount. A supplier's range may repeat the signs and the unit
// on either side.
var (
	oneForm   = amountForm(numberForm, unitForm)
	leastOnly = amountForm(leastForm, numberForm, unitForm)
	mostOnly  = amountForm(mostForm, numberForm, unitForm)
	rangeForm = amountForm(leastForm+"?", numberForm, unitForm, `(?:-|to)`, mostForm+"?", numberForm, unitForm)
	signsForm = amountForm(leastForm, numberForm, unitForm, ",?", mostForm, numberForm, unitForm)
	roundForm = pattern.New(`^(?:~|≈|approx\.?|approximately|ca\.?|circa|about|around) ?[0-9]`)
	evenSigns = strings.NewReplacer("≤", "<=", "≥", ">=", "–", "-", "—", "-", "w / w", "w/w")
)

// Spell takes an amount apart.
//
// Errors: a *ValueError where the text has none of the forms, is only about
// right, or holds a decimal comma.
func Spell(text string) (spelled, error) {
	s := evenSigns.Replace(strings.ToLower(strings.Join(strings.Fields(text), " ")))
	var x spelled
	if err := AskedAbout(text); err != nil {
		return x, err
	}
	if m := oneForm.FindStringSubmatch(s); m != nil {
		x = spelled{m[1], m[1], m[2], m[2], true}
	} else if m := leastOnly.FindStringSubmatch(s); m != nil {
		x = spelled{low: m[1], LowUnit: m[2]}
	} else if m := mostOnly.FindStringSubmatch(s); m != nil {
		x = spelled{high: m[1], HighUnit: m[2]}
	} else if m := rangeForm.FindStringSubmatch(s); m != nil {
		x = spelled{m[1], m[3], m[2], m[4], false}
	} else if m := signsForm.FindStringSubmatch(s); m != nil {
		x = spelled{m[1], m[3], m[2], m[4], false}
	} else if roundForm.MatchString(s) {
		return x, &ValueError{What: fmt.Sprintf("%q says neither the least nor the most", text),
			Fix: `ask the supplier for the range and write both ends, in the form "10-15"`}
	} else {
		return x, NumError(text)
	}
	if strings.HasPrefix(x.LowUnit, "%") {
		x.LowUnit = "%"
	}
	if strings.HasPrefix(x.HighUnit, "%") {
		x.HighUnit = "%"
	}
	if strings.Contains(x.low+x.high, ",") && (!x.single || x.LowUnit != "") {
		return x, x.commaError(text)
	}
	if x.LowUnit == "" {
		x.LowUnit = x.HighUnit
	}
	return x, nil
}

// commaError says how an amount of several parts is written with points.
func (x spelled) commaError(text string) error {
	for _, n := range []string{x.low, x.high} {
		whole, frac, comma := strings.Cut(n, ",")
		switch {
		case !comma:
		case strings.Contains(frac, ","):
			return NumError(text)
		case MayBeThousands(whole, frac):
			return thousandsError(text, whole, frac)
		}
	}
	points := strings.NewReplacer(",", ".")
	fix := points.Replace(text)
	if x.IsRange() {
		fix = points.Replace(x.Plain())
	}
	return &ValueError{What: fmt.Sprintf("%q has a decimal comma", text), Fix: "write " + InQuotes(fix)}
}

// TwoWays says whether a number as typed can be read in two ways: 1,250 is one and a quarter or
// more than a thousand.
func TwoWays(typed string) bool {
	whole, frac, ok := strings.Cut(strings.TrimSpace(typed), ",")
	return ok && MayBeThousands(whole, frac)
}

// MayBeThousands says whether a comma between these digits can also part
// thousands: 1,000 can, 0,125 cannot.
func MayBeThousands(whole, frac string) bool {
	return len(frac) == 3 && Digits(frac) && strings.TrimLeft(whole, "-") != "" &&
		!strings.HasPrefix(strings.TrimLeft(whole, "-"), "0")
}

func thousandsError(text, whole, frac string) error {
	return &ValueError{What: fmt.Sprintf("%q has a comma that parts decimals or thousands", text),
		Fix: fmt.Sprintf("write %s.%s or %s%s, whichever the paper means", whole, frac, whole, frac)}
}

// IsRange says whether both ends are given and differ in text.
func (x spelled) IsRange() bool { return x.low != "" && x.high != "" && !x.single }

// Plain writes a range in the form that needs no thought: 60-75, with the unit
// behind it where it is not per cent.
func (x spelled) Plain() string {
	low, high := x.low, x.high
	if x.LowUnit != "" && x.LowUnit != x.HighUnit {
		low += " " + x.LowUnit
	}
	if x.HighUnit != "" && (x.HighUnit != "%" || low != x.low) {
		high += " " + x.HighUnit
	}
	return low + "-" + high
}

// Bounds computes the range in %; top is the most there can be where only the
// least is given.
//
// Errors: a *ValueError for a number that is none, or for a unit that only the
// lower end has, where that end could be meant either way.
func (x spelled) Bounds(top Num) (r Range, err error) {
	if x.IsRange() && x.HighUnit == "" && x.LowUnit != "" && x.LowUnit != "%" {
		return r, &ValueError{What: fmt.Sprintf("%s has the unit %s and %s has none", x.low, x.LowUnit, x.high),
			Fix: fmt.Sprintf(`write the unit behind both: "%s-%s %s"`, x.low, x.high, x.LowUnit)}
	}
	r.Max = top
	if x.low != "" {
		if r.Min, err = inPct(x.low, x.LowUnit); err != nil {
			return r, err
		}
	}
	if x.high != "" {
		if r.Max, err = inPct(x.high, x.HighUnit); err != nil {
			return r, err
		}
	}
	r.Typ = r.Min.Add(r.Max).Quo(Int(2))
	return r, nil
}

func inPct(number, unit string) (Num, error) {
	n, err := ParseNum(number)
	if unit == "ppm" || unit == "mg/kg" {
		n = n.Quo(ppmPerPct)
	}
	return n, err
}

// Unquoted takes off the quotes, straight or curly, that stand around a text.
func Unquoted(s string) (string, bool) {
	r := []rune(s)
	if len(r) < 2 {
		return s, false
	}
	closing := map[rune]string{'"': `"`, '\'': "'", '“': "”", '„': "“”", '‘': "’", '‚': "‘’",
		'«': "»", '»': "«",
		'”': "”", '’': "’"}[r[0]]
	if closing == "" || !strings.ContainsRune(closing, r[len(r)-1]) {
		return s, false
	}
	return strings.TrimSpace(string(r[1 : len(r)-1])), true
}
