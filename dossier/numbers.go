package dossier

import (
	"math"
	"strconv"
	"strings"

	"gallipot/ingredients"
)

// Rule names how an exact number is rounded for print. Rounding happens here and
// nowhere else; the number itself stays exact in the tree, and no verdict is
// ever taken from a rounded one. All rules round half away from zero, drop
// trailing zeros unless they say otherwise, and never print a number that is not
// 0 as 0.
type Rule struct {
	kind   ruleKind
	n      int
	beside ingredients.Num
}

type ruleKind int

const (
	rulePct ruleKind = iota
	ruleExact
	ruleFixed
	ruleSig
	ruleBeside
)

// The rules without a number of their own.
var (
	// RulePct is the rule for contents and limits in per cent, and the zero value:
	// exact where four decimals are enough for that, else four significant digits.
	RulePct = Rule{kind: rulePct}
	// RuleExact prints every digit; a fraction without a finite decimal gets
	// twelve significant digits.
	RuleExact = Rule{kind: ruleExact}
)

// RuleFixed returns the rule for readings of a scale: always the given number of
// decimals, trailing zeros kept.
func RuleFixed(decimals int) Rule { return Rule{kind: ruleFixed, n: decimals} }

// RuleSig returns the rule of the given number of significant digits.
func RuleSig(digits int) Rule { return Rule{kind: ruleSig, n: digits} }

// RulePctBeside returns [RulePct] for a figure that is printed beside the limit
// it was compared with: it takes as many more digits as it needs to stand on the
// same side of the limit in print as it does in truth.
func RulePctBeside(limit ingredients.Num) Rule { return Rule{kind: ruleBeside, beside: limit} }

const (
	pctDecimals = 4  // decimals up to which RulePct is exact
	pctDigits   = 4  // significant digits of RulePct beyond them
	mostDigits  = 40 // where RulePctBeside gives up looking for a difference
)

// FormatPct returns a content in per cent by [RulePct]: "12.5", "0.0005",
// "0.00001235".
func FormatPct(n ingredients.Num) string { return FormatNum(n, RulePct) }

// FormatNum returns n for print by the given rule, without a unit.
func FormatNum(n ingredients.Num, rule Rule) string {
	switch rule.kind {
	case ruleExact:
		if s := n.Exact(); !strings.Contains(s, "/") {
			return minus(s)
		}
		return minus(n.Sig(12))
	case ruleFixed:
		s := n.Fixed(rule.n)
		if !n.IsZero() && isZeroText(s) {
			s = n.Sig(1)
		}
		return minus(s)
	case ruleSig:
		return minus(n.Sig(rule.n))
	case ruleBeside:
		return formatBeside(n, rule.beside)
	}
	return formatPct(n, pctDigits)
}

func formatPct(n ingredients.Num, digits int) string {
	if s := n.Exact(); !strings.Contains(s, "/") {
		if _, frac, _ := strings.Cut(s, "."); len(frac) <= pctDecimals {
			return minus(s)
		}
	}
	return minus(n.Sig(digits))
}

func formatBeside(n, limit ingredients.Num) string {
	want := n.Cmp(limit)
	s := ""
	for digits := pctDigits; digits <= mostDigits; digits++ {
		s = formatPct(n, digits)
		printed, err := ingredients.ParseNum(strings.Replace(s, "−", "-", 1))
		if err != nil || printed.Cmp(limit) == want {
			break
		}
	}
	return s
}

// minus writes the sign as a minus, which is as wide as the digits.
func minus(s string) string {
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		return "−" + rest
	}
	return s
}

func isZeroText(s string) bool { return strings.Trim(s, "-0.") == "" }

// FormatRange returns a range for print: "10–15 (12.5)", with the typical value
// in brackets; a range whose bounds coincide prints as one number.
func FormatRange(r ingredients.Range, rule Rule) string {
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
		return minus(mantissa) + " × 10" + superscript(e)
	}
	rounded, _ := strconv.ParseFloat(mantissa+"e"+exp, 64) // as above
	return minus(strconv.FormatFloat(rounded, 'f', max(digits-1-e, 0), 64))
}

var superscripts = strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴",
	"5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

func superscript(i int) string { return superscripts.Replace(strconv.Itoa(i)) }
