package lexicon

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

var spelled = strings.NewReplacer(
	"α", "alpha ", "β", "beta ", "γ", "gamma ", "δ", "delta ", "Α", "alpha ", "Β", "beta ", "ß", "ss",
	"œ", "oe", "æ", "ae", "ø", "o", "ł", "l", "ı", "i", "’", " ", "º", " ", "°", " ", "™", "", "®", "",
	"©", "")

// Fold is the form in which words are compared: small letters without accents,
// every run of other signs one blank, Greek letters spelled out.
func Fold(s string) string {
	s = norm.NFKD.String(spelled.Replace(strings.ToLower(s)))
	var b strings.Builder
	gap := false
	for _, r := range s {
		switch {
		case unicode.Is(unicode.Mn, r):
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			b.WriteRune(r)
		default:
			gap = true
		}
	}
	return b.String()
}
