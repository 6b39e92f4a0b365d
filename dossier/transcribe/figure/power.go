package figure

import (
	"strings"

	"gallipot/ingredients/pattern"
)

// power is ten raised to a whole number at the end of a text, which is no mark of a
// footnote: 10², 2 x 10³.
var power = pattern.New(`(?:^|[^\d.,])10[⁰¹²³⁴⁵⁶⁷⁸⁹]$`)

// Behind a number: a power of ten that multiplies it, and the power itself where the
// number is ten.
var (
	timesTen   = pattern.New(`^ ?[x×·*•] ?10(?:\^|\*\*)?([⁰¹²³⁴⁵⁶⁷⁸⁹]|[0-9]\b)`)
	ofTen      = pattern.New(`^(?:\^|\*\*)?([⁰¹²³⁴⁵⁶⁷⁸⁹]|[0-9]\b)`)
	fromRaised = strings.NewReplacer("⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6",
		"⁷", "7", "⁸", "8", "⁹", "9")
)

// tenTo reads the power of ten behind a number n: 10² and 2 x 10³, raised or with a
// sign for it. by is how many places the decimal sign of n moves to the right.
func tenTo(n, s string) (by int, rest string, ok bool) {
	if m := timesTen.FindStringSubmatch(s); m != nil && strings.ContainsAny(m[0], "^⁰¹²³⁴⁵⁶⁷⁸⁹") {
		return int(fromRaised.Replace(m[1])[0] - '0'), s[len(m[0]):], true
	}
	if m := ofTen.FindStringSubmatch(s); n == "10" && m != nil {
		return int(fromRaised.Replace(m[1])[0]-'0') - 1, s[len(m[0]):], true
	}
	return 0, s, false
}

// shifted moves the decimal point of a number; by may be -1, for ten to the power 0.
func shifted(value string, by int) string {
	whole, after, _ := strings.Cut(value, ".")
	if by < 0 {
		return "1"
	}
	after += strings.Repeat("0", by)
	value = strings.TrimLeft(whole+after[:by], "0")
	if value == "" {
		value = "0"
	}
	if rest := strings.TrimRight(after[by:], "0"); rest != "" {
		value += "." + rest
	}
	return value
}

// letterMark is a raised letter of a footnote behind capitals or a point, as texts give it.
var letterMark = pattern.New(`[\p{Lu}.][a-e]$`)
