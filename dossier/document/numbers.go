package document

import (
	"math"
	"strconv"
	"strings"

	"gallipot/ingredients/exact"
)

// PlainFloat returns a value of an axis to six significant digits, without the
// zeros that mean nothing there.
func PlainFloat(v float64) string {
	s := FormatFloat(math.Round(v*1e9)/1e9, 6) // a computed tick has false last digits
	if strings.Contains(s, ".") && !strings.Contains(s, "×") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Rule names how an exact number is rounded for print. Rounding happens here and
// nowhere else; the number itself stays exact in the tree, and no verdict is
// ever taken from a rounded one. All rules round half away from zero, drop
// trailing zeros unless they say otherwise, and never print a number that is not
// 0 as 0.
type Rule struct {
	Kind   ruleKind
	n      int
	beside exact.Num
}

type ruleKind int

const (
	PctRule ruleKind = iota
	ruleExact
	FixedRule
	ruleSig
	RuleBeside
)

// The rules without a number of their own.
var (
	// RulePct is the rule for contents and limits in per cent, and the zero value:
	// exact where four decimals are enough for that, else four significant digits.
	RulePct = Rule{Kind: PctRule}
	// RuleExact prints every digit; a fraction without a finite decimal gets
	// twelve significant digits.
	RuleExact = Rule{Kind: ruleExact}
)

// RuleFixed returns the rule for readings of a scale: always the given number of
// decimals, trailing zeros kept.
func RuleFixed(decimals int) Rule { return Rule{Kind: FixedRule, n: decimals} }

// RuleSig returns the rule of the given number of significant digits.
func RuleSig(digits int) Rule { return Rule{Kind: ruleSig, n: digits} }

// RulePctBeside returns [RulePct] for a figure that is printed beside the limit
// it was compared with: it takes as many more digits as it needs to stand on the
// same side of the limit in print as it does in truth.
func RulePctBeside(limit exact.Num) Rule { return Rule{Kind: RuleBeside, beside: limit} }

const (
	pctDecimals = 4  // decimals up to which RulePct is exact
	pctDigits   = 4  // significant digits of RulePct beyond them
	mostDigits  = 40 // where RulePctBeside gives up looking for a difference
)

// FormatPct returns a content in per cent by [RulePct]: "12.5", "0.0005",
// "0.00001235".
func FormatPct(n exact.Num) string { return FormatNum(n, RulePct) }

// FormatNum returns n for print by the given rule, without a unit.
func FormatNum(n exact.Num, rule Rule) string {
	switch rule.Kind {
	case ruleExact:
		if s := n.Exact(); !strings.Contains(s, "/") {
			return Minus(s)
		}
		return Minus(n.Sig(12))
	case FixedRule:
		s := n.Fixed(rule.n)
		if !n.IsZero() && isZeroText(s) {
			s = n.Sig(1)
		}
		return Minus(s)
	case ruleSig:
		return Minus(n.Sig(rule.n))
	case RuleBeside:
		return formatBeside(n, rule.beside)
	}
	return formatPct(n, pctDigits)
}

func formatPct(n exact.Num, digits int) string {
	if s := n.Exact(); !strings.Contains(s, "/") {
		if _, frac, _ := strings.Cut(s, "."); len(frac) <= pctDecimals {
			return Minus(s)
		}
	}
	return Minus(n.Sig(digits))
}

func formatBeside(n, limit exact.Num) string {
	want := n.Cmp(limit)
	s := ""
	for digits := pctDigits; digits <= mostDigits; digits++ {
		s = formatPct(n, digits)
		printed, err := exact.ParseNum(strings.Replace(s, "−", "-", 1))
		if err != nil || printed.Cmp(limit) == want {
			break
		}
	}
	return s
}

// Minus writes the sign as a minus, which is as wide as the digits.
func Minus(s string) string {
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		return "−" + rest
	}
	return s
}

func isZeroText(s string) bool { return strings.Trim(s, "-0.") == "" }

// FormatRange returns a range for print: "10–15 (12.5)", with the typical value
// in brackets; a range whose bounds coincide prints as one number.
func FormatRange(r exact.Range, rule Rule) string {
	if r.IsExact() {
		return FormatNum(r.Max, rule)
	}
	return FormatNum(r.Min, rule) + "–" + FormatNum(r.Max, rule) + " (" + FormatNum(r.Typ, rule) + ")"
}

// FormatFloat returns f to the given number of significant digits (at least 1),
// zeros that are significant kept: "0.0350" to three digits. Below 0.0001 and
// from a million on it is written with a power of ten: "1.2 × 10⁻⁷". NaN and
// infinities print as "not computable", since they are no figures.
func FormatFloat(f float64, digits int) string {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return "not computable"
	}
	if f == 0 {
		return "0"
	}
	digits = max(digits, 1)
	mantissa, exp, _ := strings.Cut(strconv.FormatFloat(f, 'e', digits-1, 64), "e")
	e, _ := strconv.Atoi(exp) // the exponent of FormatFloat always parses
	if e < -4 || e >= 6 {
		return Minus(mantissa) + " × 10" + Superscript(e)
	}
	rounded, _ := strconv.ParseFloat(mantissa+"e"+exp, 64) // as above
	return Minus(strconv.FormatFloat(rounded, 'f', max(digits-1-e, 0), 64))
}

var superscripts = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴",
	"5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

func Superscript(i int) string { return superscripts.Replace(strconv.Itoa(i)) }

// RatioDigits is up to how many digits a figure counts as a ratio, which needs
// few decimals.
const RatioDigits = 3

// FormatPlain returns f to the given number of significant digits without a power of
// ten, figures of five digits and more with a space before each three: "15 600".
func FormatPlain(f float64, digits int) string {
	if math.IsNaN(f) || math.IsInf(f, 0) || f == 0 {
		return FormatFloat(f, digits)
	}
	digits = max(digits, 1)
	mantissa, exp, _ := strings.Cut(strconv.FormatFloat(f, 'e', digits-1, 64), "e")
	e, _ := strconv.Atoi(exp) // the exponent of FormatFloat always parses
	rounded, _ := strconv.ParseFloat(mantissa+"e"+exp, 64)
	s := strconv.FormatFloat(rounded, 'f', max(digits-1-e, 0), 64)
	return Minus(Grouped(s))
}

// Grouped sets the thousands of a decimal figure apart where five digits or more stand
// before the point.
func Grouped(s string) string {
	whole, rest, point := strings.Cut(s, ".")
	if strings.Contains(s, "×") {
		return s
	}
	if len(strings.TrimPrefix(whole, "-")) >= 5 {
		for i := len(whole) - 3; i > 0 && whole[i-1] != '-'; i -= 3 {
			whole = whole[:i] + "\u00a0" + whole[i:]
		}
	}
	if point {
		whole += "." + rest
	}
	return whole
}
